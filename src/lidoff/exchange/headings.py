"""What a column heading means: the kind of table it belongs to, its field, and the unit in it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

from ..quantities import Dimension, UnitError, parse_unit
from ..quantities.dimension import LENGTH, MASS, TIME
from ..quantities.written import unit_word
from .vocabulary import Vocabulary, load, normal, spellings


class Kind(StrEnum):
    """What a table holds."""

    PARTS = "parts"
    JOINTS = "joints"
    LOG = "log"
    REMOVALS = "removals"
    FACTS = "facts"


@dataclass(frozen=True, slots=True)
class Claim:
    """One reading of a heading. ``shy`` readings give way to what the column holds."""

    kind: Kind
    field: str
    score: float
    unit: str = ""
    shy: bool = False


DIMENSIONS: dict[str, Dimension] = {
    "mass": MASS,
    "length": LENGTH,
    "time": TIME,
    "torque": parse_unit("N*m").dimension,
}
#: Characters a heading may have.
_LONGEST = 120
_BRACKET = re.compile(r"[\[({<]\s*([^\])}>]*?)\s*[\])}>]")
_TAIL = re.compile(
    r"^(?P<body>.*?\S)(?:\s+in\s+|\s*/\s*|\s*,\s*|_|\s+|\.\s*)(?P<unit>[^\s/,_]+)$", re.IGNORECASE
)
_CORES = {
    Kind.PARTS: (
        {"name", "number"},
        {"quantity", "quantity_total", "mass_each", "mass_total", "material", "process", "length", "width",
         "thickness", "size", "function", "level", "basis"},
    ),
    Kind.JOINTS: ({"first", "what"}, {"second", "count", "tool", "torque", "direction", "live", "reusable"}),
    Kind.LOG: ({"what"}, {"start", "finish", "duration", "day"}),
    Kind.REMOVALS: ({"duration"}, {"ordinal", "note"}),
    Kind.FACTS: ({"label"}, {"value"}),
}  # fmt: skip
_TELLING_JOINTS = {"second", "torque", "live", "reusable", "direction"}


@cache
def dimension_of(kind: Kind, field: str) -> Dimension | None:
    """The dimension that a field's numbers have, where it is one with units."""
    name = load("headings")[kind.value].get(field, {}).get("dimension")
    return DIMENSIONS[name] if name else None


@cache
def _vocabularies() -> dict[Kind, tuple[Vocabulary, Vocabulary, tuple[tuple[str, str], ...]]]:
    """For each kind: words, shy words, and (stem, field)."""
    out = {}
    for kind in Kind:
        fields = load("headings")[kind.value]
        spelled = [(w, f) for f, spec in fields.items() for w in spec.get("stems", ())]
        stems = tuple((s, f) for w, f in spelled for s in spellings(w))
        out[kind] = (
            Vocabulary({f: spec["words"] for f, spec in fields.items()}),
            Vocabulary({f: spec.get("shy", ()) for f, spec in fields.items()}),
            stems,
        )
    return out


@cache
def _turned(kind: Kind) -> tuple[tuple[str, str, frozenset[str]], ...]:
    """Fields that a mark in the heading of another makes: "total" turns a mass into a line's mass."""
    fields = load("headings")[kind.value].items()
    return tuple((f, spec["base"], frozenset(spec["marks"])) for f, spec in fields if "marks" in spec)


@lru_cache(maxsize=4096)
def heading_unit(text: str) -> str:
    """The unit that a bracket, a unit row or the end of a heading names, or ""."""
    if len(text) > _LONGEST:
        return ""
    bare = re.sub(r"^(?:in|je|per)\s+", "", text.strip().strip("[](){}").strip(), flags=re.IGNORECASE)
    for cut in (bare, re.split(r"[\s/,;]", bare)[0] if bare else ""):
        unit = unit_word(cut)
        if unit and unit != "part":
            return unit
    return ""


def unit_fits(unit: str, dimension: Dimension | None) -> bool:
    """Whether a unit has the dimension wanted."""
    if not unit or dimension is None:
        return False
    try:
        return parse_unit(unit).dimension.exponents == dimension.exponents
    except UnitError:
        return False


@lru_cache(maxsize=4096)
def _variants(text: str) -> tuple[tuple[str, str, float], ...]:
    """The heading without its unit, the unit, and how much a match of that form counts."""
    work = " ".join(text.split())
    out: list[tuple[str, str, float]] = []
    unit, body = "", work
    for match in _BRACKET.finditer(work):
        found = heading_unit(match.group(1))
        if found and not unit:
            unit, body = found, " ".join(body.replace(match.group(), " ").split())
    if unit:
        out.append((body, unit, 1.0))
    tail = _TAIL.match(_BRACKET.sub(" ", work).strip())
    if tail and heading_unit(tail.group("unit")):
        out.append((tail.group("body"), heading_unit(tail.group("unit")), 1.0))
    out.append((work, unit, 0.999))
    bare = " ".join(_BRACKET.sub(" ", work).split())
    if bare and bare not in (work, body):
        out.append((bare, unit, 0.99))
    return tuple(out)


def unit_said(text: str) -> str:
    """The unit a heading names anywhere: as a whole, in a bracket, or at its end."""
    if len(text) > _LONGEST:
        return ""
    return heading_unit(text) or next((unit for _, unit, _ in _variants(text) if unit), "")


@lru_cache(maxsize=4096)
def claims(text: str) -> tuple[Claim, ...]:
    """Every reading of a heading, over all kinds of table, the best of each field."""
    if len(text) > _LONGEST:
        return ()
    best: dict[tuple[Kind, str], Claim] = {}

    def take(kind: Kind, field: str, score: float, unit: str, shy: bool) -> None:
        dimension = dimension_of(kind, field)
        fitting = unit if unit_fits(unit, dimension) else ""
        if unit and not fitting:
            score *= 0.6  # a unit that does not belong to the field speaks against it
        known = best.get((kind, field))
        if known is None or score > known.score:
            best[kind, field] = Claim(kind, field, score, fitting, shy)

    for body, unit, weight in _variants(text):
        for kind, (words, shy, stems) in _vocabularies().items():
            spelled = normal(body)
            whole = words.exact.get(spelled, ())
            modest = shy.exact.get(spelled, ())
            for field in whole:
                take(kind, field, weight, unit, False)
            for field in modest:
                take(kind, field, 0.7 * weight, unit, True)
            if whole or len(spelled) < 3:
                continue
            for hit in words.parts(body):
                take(kind, hit.meaning, hit.score * 0.95 * weight, unit, False)
            for stem, field in stems:
                if len(spelled) > len(stem) and any(stem in t and t != stem for t in spelled.split()):
                    take(kind, field, (0.54 if field in ("name", "what") else 0.58) * weight, unit, False)
            for field, base, marks in _turned(kind):
                known = best.get((kind, base))
                if known is not None and marks & set(spelled.split()):
                    take(kind, field, min(1.0, known.score + 0.05), unit, known.shy)
            near = words.near(body)
            if near and not any(k is kind for k, _ in best):
                take(kind, near.meaning, 0.55 * weight, unit, True)
    sizes = [
        best[Kind.PARTS, f] for f in ("length", "width", "thickness", "height") if (Kind.PARTS, f) in best
    ]
    if len(sizes) > 1 and (Kind.PARTS, "size") not in best and not any(c.score >= 0.99 for c in sizes):
        unit = next((c.unit for c in sizes if c.unit), "")
        best[Kind.PARTS, "size"] = Claim(Kind.PARTS, "size", 0.8, unit)  # "length x width x height"
    alone = heading_unit(text)
    if alone and unit_fits(alone, MASS) and not any(f == "mass_each" for _, f in best):
        take(Kind.PARTS, "mass_each", 0.5, alone, True)
    return tuple(sorted(best.values(), key=lambda c: -c.score))


def of_kind(text: str, kind: Kind) -> list[Claim]:
    return [c for c in claims(text) if c.kind is kind]


@dataclass(frozen=True, slots=True)
class Guess:
    """A row read as a header: the kind, how well it fits, and the columns it spans."""

    kind: Kind
    score: float
    first: int
    last: int


def guess_header(cells: Sequence[tuple[int, str]], hints: dict[Kind, float]) -> Guess | None:
    """Whether the (column, text) cells of a row are the header of a table, and of which kind."""
    if len(cells) < 2:
        return None
    best: Guess | None = None
    for kind in Kind:
        taken: dict[str, float] = {}
        offered: set[str] = set()
        matched = 0
        for _, text in cells:
            candidates = of_kind(text, kind)
            offered.update(c.field for c in candidates if c.score >= 0.5)
            free = next((c for c in candidates if c.field not in taken), None)
            if free is not None and free.score >= 0.5:
                taken[free.field] = free.score
                matched += 1
            elif candidates and candidates[0].score >= 0.7:
                matched += 1
                if candidates[0].field == "level":
                    offered.add("name")  # "Level 1", "Level 2": names staggered over levels
        score = sum(taken.values()) + hints.get(kind, 0.0)
        if not _qualifies(kind, taken, offered, matched, len(cells), hints):
            continue
        if best is None or score > best.score + 1e-9:
            best = Guess(kind, score, cells[0][0], cells[-1][0])
    return best


def _qualifies(
    kind: Kind,
    taken: dict[str, float],
    offered: set[str],
    matched: int,
    cells: int,
    hints: dict[Kind, float],
) -> bool:
    sure = sum(score >= 0.65 for score in taken.values())
    one, other = _CORES[kind]
    fields = set(taken)
    if sure < 2 or matched < 0.5 * cells or not offered & one or not fields & other:
        return False
    if kind is Kind.JOINTS and not fields & _TELLING_JOINTS and not hints.get(kind):
        return False
    if kind is Kind.REMOVALS and cells > 6:
        return False
    return not (kind is Kind.FACTS and cells > 5)
