"""Scales a bench names, which one weighed what, and weighings of several pieces together."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..quantities import parse_unit
from ..quantities.dimension import MASS
from ..quantities.parsing import Parsed, QuantityError, scan

_STEP = (
    r"(?:div(?:ision)?s?|resolution|readability|teilung|ziffernschritt|auflösung|échelon|divisione|división"
    r"|deling)"
)
_DIVISION = re.compile(
    rf"(\d[\d.,]*\s*(?:mg|kg|g))\s*{_STEP}\b|\b{_STEP}\s*[:=]?\s*(?:of\s+|von\s+)?(\d[\d.,]*\s*(?:mg|kg|g))\b"
    r"|\b[de]\s*=\s*(\d[\d.,]*\s*(?:mg|kg|g))\b",
    re.IGNORECASE,
)
_WORDS = re.compile(
    r"\b(?:parts?|teile\w*|crane|kran\w*|bench|tisch\w*|floor|boden\w*|platform|fine|fein\w*|small|large|big)\b",
    re.IGNORECASE,
)
_PAIR = re.compile(
    r"(\d[\d.,]*\s*(?:kg|g|t|lb))\s*(?:/|x|à|@|,|mit|with|in)\s*(\d[\d.,]*\s*(?:mg|kg|g|oz|lb))"
)


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale: its name as shown, greatest load and division [kg]."""

    name: str
    capacity: float | None
    division: float


def _mass(parsed: Parsed) -> float | None:
    if not parsed.unit or not parsed.single:
        return None
    unit = parse_unit(parsed.unit)
    return parsed.value * unit.factor if unit.dimension.exponents == MASS.exponents else None


def read_scales(text: str, decimal: str | None) -> list[Scale]:
    """Scales in a note: "parts 6 kg / 0.1 g; 60 kg / 5 g", "Kranwaage Teilung 0,5 kg"."""
    out: list[Scale] = []
    for clause in re.split(r"[;\n]|,\s+(?=[A-Za-z])|\band\b|\bund\b", text):
        pair = _PAIR.search(clause)
        alone = None if pair else _DIVISION.search(clause)
        word = _WORDS.search(clause)
        label = f"{word.group().lower()} scale" if word else "scale"
        try:
            if pair:
                capacity, division = (_first_mass(pair.group(i), decimal) for i in (1, 2))
                if capacity and division and division < capacity:
                    shown = " / ".join(" ".join(pair.group(i).split()) for i in (1, 2))
                    out.append(Scale(f"{label} {shown}", capacity, division))
            elif alone:
                shown = next(g for g in alone.groups() if g)
                division = _first_mass(shown, decimal)
                if division:
                    out.append(Scale(f"{label}, division {shown}", None, division))
        except QuantityError:
            continue
    return out


def _first_mass(text: str, decimal: str | None) -> float | None:
    groups = scan(text, decimal=decimal)
    return _mass(groups[0]) if groups else None


def parts_scales(scales: list[Scale]) -> list[Scale]:
    """Scales with a stated load, the finest first."""
    return sorted(
        (s for s in scales if s.capacity is not None), key=lambda s: (s.division, s.capacity or 0.0)
    )


def scale_for(mass: float, scales: list[Scale]) -> Scale | None:
    """The first scale of `parts_scales` that carries the mass."""
    for scale in scales:
        if scale.capacity is not None and scale.capacity >= mass:
            return scale
    return None


@dataclass(frozen=True, slots=True)
class Together:
    """Pieces weighed together: "10 off = 71 g". ``total`` [kg] is ``None`` where only the count is said."""

    count: int
    total: float


_TOGETHER = re.compile(
    r"(?P<n>\d{1,5})\s*(?:off|x|pcs?\.?|pieces|stk\.?|stück|st\.?|pz|uds?|stuks|pièces|parts|cells|zellen)?\s*"
    r"(?:together|zusammen|ensemble|insieme|weighed|gewogen|weigh|wiegen)?\s*(?:=|:|→|->|are|sind|weigh|wiegen)\s*"
    r"(?P<mass>\d[\d.,]*\s*(?:mg|kg|g|lb|oz)\b)",
    re.IGNORECASE,
)


def weighed_together(text: str, decimal: str | None) -> Together | None:
    """A weighing of several pieces noted in a remark."""
    found = _TOGETHER.search(text)
    if not found:
        return None
    try:
        total = _first_mass(found.group("mass"), decimal)
    except QuantityError:
        return None
    count = int(found.group("n"))
    return Together(count, total) if total and count > 1 else None
