"""What the value of a fact says: quantities to their keys, cell layouts, shares, words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..quantities import Basis, Reading, parse_unit
from ..quantities.parsing import Parsed, QuantityError, scan
from ..records import FACTS
from .measures import Measure, spread_of
from .scales import Scale

_BASIS = {
    "mass_weighed": Basis.WEIGHED,
    "coolant_in_weighing": Basis.COUNTED,
    "cells_series": Basis.COUNTED,
    "cells_parallel": Basis.COUNTED,
    "ribbons_per_module": Basis.COUNTED,
    "ports_per_ribbon": Basis.COUNTED,
    "fuse_current": Basis.MARKED,
    "fuse_voltage": Basis.MARKED,
    "contactor_current": Basis.MARKED,
    "contactor_voltage": Basis.MARKED,
    "cell_voltage": Basis.MARKED,
    "cell_voltage_max": Basis.MARKED,
    "cell_voltage_min": Basis.MARKED,
    "cell_energy": Basis.MARKED,
    "label_voltage": Basis.MARKED,
    "label_energy": Basis.MARKED,
    "label_capacity": Basis.MARKED,
}
_SERIES_PARALLEL = re.compile(r"(?<![\w.])(\d{1,4})\s*s\s*(\d{1,4})\s*p\b", re.IGNORECASE)
_PARALLEL_SERIES = re.compile(r"(?<![\w.])(\d{1,4})\s*p\s*(\d{1,4})\s*s\b", re.IGNORECASE)
_SERIES = re.compile(
    r"(?<![\w.])(\d{1,4})\s*(?:s\b|in series|in serie|seriell|in reihe|en série|en serie)", re.IGNORECASE
)
_PARALLEL = re.compile(
    r"(?<![\w.])(\d{1,4})\s*(?:p\b|parallel|in parallel|en parallèle|in parallelo|en paralelo)", re.IGNORECASE
)
_ROUND = re.compile(r"\b(18650|21700|26650|32700|46\d{2,3}|4695)\b")
_FORMS = (
    ("prismatic", re.compile(r"prismati|prismatique|prismatisch", re.IGNORECASE)),
    ("pouch", re.compile(r"\bpouch|beutel|poche|laminat", re.IGNORECASE)),
    (
        "cylindrical",
        re.compile(r"cylindric|zylindri|rundzelle|cylindrique|cilindric|cilíndric", re.IGNORECASE),
    ),
)
_CHEMISTRY = re.compile(
    r"\b(LMFP|LFP|NMCA|NCMA|NCA|NMC|NCM|LMO|LTO|LCO|Na-?ion)(?:\s?\d{3})?\b", re.IGNORECASE
)
_RATIO = re.compile(
    r"(\d{1,6})\s*(?:cells?|zellen?|cellules?)?\s*(?:in|of|von|aus|auf|out of|sur|su|de|/|:)\s*(\d{1,6})",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Value:
    """One key with the measure that fills it."""

    key: str
    measure: Measure


def layout_values(text: str) -> list[Value]:
    """Cells in series and parallel that a text states: "108s40p", "112s"."""

    def counted(key: str, number: str) -> Value:
        return Value(key, Measure(value=float(number), unit="", text=number))

    both = _SERIES_PARALLEL.search(text)
    if both:
        return [counted("cells_series", both.group(1)), counted("cells_parallel", both.group(2))]
    swapped = _PARALLEL_SERIES.search(text)
    if swapped:
        return [counted("cells_series", swapped.group(2)), counted("cells_parallel", swapped.group(1))]
    out = []
    series, parallel = _SERIES.search(text), _PARALLEL.search(text)
    if series:
        out.append(counted("cells_series", series.group(1)))
    if parallel and series:
        out.append(counted("cells_parallel", parallel.group(1)))
    return out


def cell_format(text: str) -> str:
    """The cell's format that a text names: "cylindrical 21700", "prismatic", "pouch", or ""."""
    number = _ROUND.search(text)
    if number:
        return f"cylindrical {number.group(1)}"
    return next((name for name, pattern in _FORMS if pattern.search(text)), "")


def chemistry(text: str) -> str:
    found = _CHEMISTRY.search(text)
    return (
        found.group(1).upper().replace("NA", "Na", 1)
        if found and found.group(1).lower().startswith("na-")
        else (found.group(1).upper() if found else "")
    )


def share(text: str) -> Measure | None:
    """ "about 1 cell in 9", "11 %", "0.11" as a share."""
    ratio = _RATIO.search(text)
    if ratio and int(ratio.group(2)) > 0:
        value = int(ratio.group(1)) / int(ratio.group(2))
        return (
            Measure(value=value, unit="", text=text, approximate=bool(re.match(r"\D{2,}", text)))
            if value <= 1
            else None
        )
    groups = scan(text)
    if not groups:
        return None
    value = groups[0].value * (0.01 if groups[0].unit == "percent" else 1.0)
    return (
        Measure(value=value, unit="", text=text, approximate=groups[0].approximate)
        if 0 <= value <= 1
        else None
    )


def assign(keys: Sequence[str], text: str, unit: str, decimal: str | None) -> list[Value]:
    """Quantities of a text to the first key of their dimension that is still free.

    A number without unit takes the label's unit, else the key's own. Raises `QuantityError`.
    """
    free = [k for k in keys if not FACTS[k].is_word]
    out: list[Value] = []
    for group in scan(text, decimal=decimal):
        if group.unit == "part" and group.rest.startswith("="):
            continue
        for value in group.values:
            key = _key_for(free, group.unit or unit)
            if key is None:
                continue
            free.remove(key)
            out.append(Value(key, _measure(group, value, group.unit or unit or FACTS[key].unit, text)))
    return out


def _key_for(free: Sequence[str], unit: str) -> str | None:
    if not free:
        return None
    if not unit or unit == "part":
        return free[0]
    wanted = parse_unit(unit).dimension.exponents
    for key in free:
        own = parse_unit(FACTS[key].unit)
        if own.dimension.exponents == wanted and (
            wanted or FACTS[key].unit in ("", unit) or unit == "percent"
        ):
            return key
    return None


def _measure(group: Parsed, value: float, unit: str, text: str) -> Measure:
    known = parse_unit("" if unit == "part" else unit)
    single = group.single
    low, high = (group.low, group.high) if single else (None, None)
    if single and group.plus_minus is not None and low is None:
        low, high = value - group.plus_minus, value + group.plus_minus
    return Measure(
        value=known.to_si(value),
        unit=known.text,
        text=text,
        low=None if low is None else known.to_si(low),
        high=None if high is None else known.to_si(high),
        deviation=group.deviation * known.factor if single and group.deviation is not None else None,
        count=group.count if single else 1,
        approximate=group.approximate,
        bound=group.bound,
    )


def fact_reading(value: Value, origin: str, scale: Scale | None = None) -> Reading:
    """The reading of a fact, with the basis its key has unless the text says otherwise."""
    measure = value.measure
    basis = _BASIS.get(value.key, Basis.MEASURED)
    if measure.deviation is not None or measure.count > 1:
        basis = Basis.MEASURED
    if (measure.approximate or measure.bound) and basis is not Basis.COUNTED:
        basis = Basis.ESTIMATED
    instrument = scale.name if scale and basis is Basis.WEIGHED else None
    division = scale.division if scale and basis is Basis.WEIGHED else None
    return Reading(
        value=measure.value,
        unit=measure.unit,
        basis=basis,
        spread=spread_of(measure, basis, instrument=instrument, division=division),
        instrument=instrument,
        origin=origin,
        text=measure.text,
        count=measure.count,
    )


__all__ = [
    "QuantityError",
    "Value",
    "assign",
    "cell_format",
    "chemistry",
    "fact_reading",
    "layout_values",
    "share",
]
