"""Cells as quantities in SI, and as readings: one number, its unit, what qualifies it.

The unit is the cell's own, else the column's; the decimal mark is the column's habit.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from ..quantities import Basis, Dimension, Reading, Spread, UnitError, parse_unit
from ..quantities.defaults import default_spread
from ..quantities.dimension import LENGTH, MASS
from ..quantities.numbers import LITERAL, read_number
from ..quantities.parsing import Parsed, QuantityError, scan
from ..quantities.spread import between
from ..quantities.spread import normal as bell
from .sheets import Cell
from .vocabulary import basis_meaning, is_blank, load, normal, small_words


@dataclass(frozen=True, slots=True)
class Measure:
    """A cell read as a quantity, SI. ``problem`` says why there is none.

    ``other`` is the value under the other decimal mark where the cell alone cannot tell; ``strange``
    a word right behind the number that may be a unit nobody knows.
    """

    value: float = math.nan
    values: tuple[float, ...] = ()
    unit: str = ""
    text: str = ""
    low: float | None = None
    high: float | None = None
    deviation: float | None = None
    count: int = 1
    approximate: bool = False
    bound: str = ""
    rest: str = ""
    other: float | None = None
    own_unit: bool = False
    strange: str = ""
    problem: str = ""


@dataclass(frozen=True, slots=True)
class Habit:
    """How a column writes numbers: what they measure, in which unit unless said, the decimal mark.

    ``strict`` marks a file that writes thousands plainly, so that a grouped one is doubtful.
    """

    dimension: Dimension
    unit: str
    decimal: str | None = None
    what: str = "number"
    strict: bool = False
    low: float = 0.0
    high: float = math.inf

    @property
    def single(self) -> bool:
        """Whether a cell holds one number, so that a space in it can only part thousands."""
        return self.what in ("mass", "size")


def _value_text(cell: float) -> str:
    return repr(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)


#: Characters a cell with a number may have.
_LONGEST = 200
_STRANGE = re.compile(r"^\W*[\d.,' ]*\d\s*([A-Za-zÄÖÜäöüß]+)\b")
_SPACED = re.compile(r"(?<![\d.,])\d{1,3}(?: \d{3})+(?!\d)")


class CellReader:
    """Reads the cells of one column by its habit; equal texts are read once."""

    def __init__(self, habit: Habit) -> None:
        self.habit = habit
        self._texts: dict[str, Measure | None] = {}

    def __call__(self, cell: Cell) -> Measure | None:
        if not isinstance(cell, str):
            return read_cell(cell, self.habit)
        if cell not in self._texts:
            self._texts[cell] = read_text(cell, self.habit)
        return self._texts[cell]


def read_cell(cell: Cell, habit: Habit) -> Measure | None:
    """Read a cell; ``None`` where it says that there is nothing."""
    if isinstance(cell, str):
        return read_text(cell, habit)
    if isinstance(cell, bool):
        return Measure(text=str(cell), problem=f"{cell} is a yes or no, not a {habit.what}")
    if isinstance(cell, (float, int)):
        unit = parse_unit(habit.unit)
        value = unit.to_si(float(cell))
        text = _value_text(float(cell))
        if not math.isfinite(value):
            return Measure(text=text, problem=f"{text} is not a finite number")
        return Measure(value=value, values=(value,), unit=habit.unit, text=text)
    if isinstance(cell, (datetime, date)):
        day = f"{cell:%d.%m.%Y}"
        return Measure(text=day, problem=f"a date ({day}) stands where a {habit.what} should")
    if isinstance(cell, timedelta):
        return Measure(text=str(cell), problem=f"a time ({cell}) stands where a {habit.what} should")
    return Measure(text=f"{cell:%H:%M}", problem=f"a time ({cell:%H:%M}) stands where a {habit.what} should")


def read_text(text: str, habit: Habit) -> Measure | None:
    """Read a text cell by the habit of its column."""
    if not text or is_blank(text):
        return None
    written = " ".join(text.split())
    if len(written) > _LONGEST:
        return Measure(text=f"{written[:40]}…", problem=f"{written[:40]!r}… is too long for a number")
    if habit.single:
        written = _SPACED.sub(lambda m: m.group().replace(" ", ""), written)
    try:
        groups = scan(written, decimal=habit.decimal)
    except QuantityError as error:
        return Measure(text=written, problem=str(error))
    if not groups:
        if basis_meaning(written) == "none":
            return None
        return Measure(text=written, problem=f"{written!r} holds no number")
    parsed = groups[0]
    broken = habit.single and _broken(written)
    if broken or written.startswith("=") or _spelled_wrong(written, parsed):
        return Measure(text=written, problem=f"{written!r} is not a number")
    if habit.what == "mass" and not parsed.single:
        return Measure(text=written, problem=f"{written!r} is not one number")
    measure = _plausible(_in_si(parsed, habit, written), habit)
    most = _MOST.get(habit.dimension)
    if most is not None and not measure.problem and max(map(abs, measure.values)) > most:
        return Measure(text=written, problem=f"{written!r} is more than any {habit.what} of a pack can be")
    strange = None if measure.own_unit or measure.problem else _STRANGE.match(written)
    if strange and normal(strange.group(1)) not in small_words("beside"):
        return replace(measure, strange=strange.group(1))
    if measure.problem or habit.decimal is None or not habit.strict or len(groups) > 1:
        return measure
    return _doubtful_group(measure, written, habit)


_RUN = re.compile(r"[\d.,]*\d")
_WHOLE_RUN = re.compile(rf"(?P<low>{LITERAL})(?:\.{{2,3}}(?P<high>{LITERAL}))?")


def _broken(text: str) -> bool:
    """Whether the first run of digits and marks is no number: "12..5", "1.2.3"."""
    run = _RUN.search(text)
    if run is None:
        return False
    whole = _WHOLE_RUN.fullmatch(run.group())
    if whole is None:
        return True
    return (
        bool(whole.group("high"))
        and read_number(whole.group("low")).value > read_number(whole.group("high")).value
    )


def _doubtful_group(measure: Measure, written: str, habit: Habit) -> Measure:
    """A lone grouped thousand in a file that writes thousands plainly keeps its other value."""
    mark = "," if habit.decimal == "." else "."
    if mark not in written or not scan(written, decimal=None)[0].alternatives:
        return measure
    other = _in_si(scan(written, decimal=mark)[0], habit, written)
    if other.problem or other.value == measure.value:
        return measure
    return _plausible(replace(measure, other=other.value), habit)


#: No single part of a pack, nor a pack, is heavier [kg] or longer [m] than this.
_MOST = {MASS: 1000.0, LENGTH: 15.0}


#: A doubtful number is believed to lie within this factor of the column's smallest and largest sure ones.
_SPAN = 3.0


def _plausible(measure: Measure, habit: Habit) -> Measure:
    """Of two readings of one number, drop the one that no part of a pack can have."""
    if measure.other is None:
        return measure
    most = _MOST.get(habit.dimension, math.inf)
    low, high = habit.low / _SPAN, min(most, habit.high * _SPAN)
    taken, other = (low <= abs(v) <= high for v in (measure.value, measure.other))
    if taken and not other:
        return replace(measure, other=None)
    if other and not taken:
        return replace(measure, value=measure.other, values=(measure.other,), other=None)
    return measure


def _spelled_wrong(text: str, parsed: Parsed) -> bool:
    """Letters typed for digits ("1O5", "l2"): the number read would be only a part of it."""
    rest = parsed.rest.split(" ")[0] if parsed.rest else ""
    head = text[: len(rest)] if rest else ""
    return (
        bool(rest)
        and rest[:1] in "OolI"
        and any(c.isdigit() for c in rest)
        and (head == rest or not text.startswith(rest))
    )


def _in_si(parsed: Parsed, habit: Habit, text: str) -> Measure:
    own = parsed.unit not in ("", "part")
    name = parsed.unit if own else habit.unit
    try:
        unit = parse_unit(name)
    except UnitError as error:
        return Measure(text=text, problem=str(error))
    if own and unit.dimension.exponents != habit.dimension.exponents:
        return Measure(text=text, problem=f"{text!r} is in {name}, which is no unit of {habit.what}")

    def si(value: float) -> float:
        return unit.to_si(value)

    low, high = parsed.low, parsed.high
    if parsed.plus_minus is not None and low is None:
        low, high = parsed.value - parsed.plus_minus, parsed.value + parsed.plus_minus
    if any(not math.isfinite(si(v)) for v in parsed.values):
        return Measure(text=text, problem=f"{text!r} is not a finite number")
    return Measure(
        value=si(parsed.value),
        values=tuple(si(v) for v in parsed.values),
        unit=name,
        text=text,
        low=None if low is None else si(low),
        high=None if high is None else si(high),
        deviation=None if parsed.deviation is None else parsed.deviation * unit.factor,
        count=parsed.count,
        approximate=parsed.approximate,
        bound=parsed.bound,
        rest=parsed.rest,
        other=si(parsed.alternatives[0]) if parsed.alternatives and habit.decimal is None else None,
        own_unit=own,
    )


def spread_of(
    measure: Measure, basis: Basis, *, instrument: str | None = None, division: float | None = None
) -> Spread:
    """The spread a measure states, else the default of its basis."""
    if measure.low is not None and measure.high is not None and measure.low < measure.high:
        return between(measure.low, measure.high)
    if measure.deviation is not None:
        return bell(measure.deviation / math.sqrt(max(measure.count, 1)))
    if division is None:
        return _default(measure.value, basis)
    return default_spread(measure.value, basis, instrument=instrument, division=division)


@lru_cache(maxsize=65536)
def _default(value: float, basis: Basis) -> Spread:
    return default_spread(value, basis)


def reading_of(measure: Measure, basis: Basis, origin: str, *, note: str = "") -> Reading:
    """A reading with the spread the measure states, or the default of its basis."""
    return Reading(
        value=measure.value,
        unit=measure.unit,
        basis=basis,
        spread=spread_of(measure, basis),
        origin=origin,
        text=measure.text,
        note=note,
        count=measure.count,
    )


@lru_cache(maxsize=1024)
def number_word(text: str) -> int | None:
    """The number a word names ("two", "zwei"), from the word list."""
    word = normal(text)
    for value, names in enumerate(load("common")["numbers"]):
        if word in {normal(n) for n in names.split()}:
            return value
    return None


@lru_cache(maxsize=1)
def dittos() -> frozenset[str]:
    """Cells that say "the same as above"."""
    words = {
        w for word in small_words("ditto") for w in (word, word.title(), word.capitalize(), word.upper())
    }
    listed = {w for word in load("common")["ditto"] for w in (word, word.capitalize(), word.upper())}
    return frozenset({'"', "''", "〃", "”", '-"-', "-''-", "-”-", *words, *listed})


def day_seconds(cell: time | datetime) -> float:
    return cell.hour * 3600.0 + cell.minute * 60.0 + cell.second
