"""Figures and readings as cells of a table."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ...evaluate.findings import Covers, Figure, Money
from ...pictures import Palette, common_scale, evidence_bar, shares, whisker
from ...pictures.numbers import (
    MISSING,
    Scaled,
    by_interval,
    decimals_of,
    number,
    percent,
    reading_scale,
    span,
    unit_text,
)
from ...quantities import Reading, parse_unit
from ..blocks import Cell, Run, Text, say, soft

#: Digits a reading is shown with at most; benches rarely write more.
READING_DIGITS = 6

Scale = tuple[float, float]


def words(*parts: str | Run, tag: str = "", across: int = 1) -> Cell:
    return Cell(text=say(*parts), tag=tag, across=across)


def quiet(text: str) -> Cell:
    return Cell(text=(soft(text),))


EMPTY = Cell()


def scale_of(figures: Sequence[Figure | None]) -> Scaled:
    """The unit that one row of figures is read in."""
    known = [f for f in figures if f is not None and f.value is not None]
    named = next((f for f in figures if f is not None), None)
    if not known:
        return reading_scale(0.0, named.unit if named is not None else "")
    return reading_scale(max(abs(f.value or 0.0) for f in known), known[0].unit)


def value(figure: Figure | None, scaled: Scaled) -> str:
    """A figure's value in the row's unit, "missing", or "none" where a pack has no such thing."""
    if figure is None:
        return "none"
    if figure.value is None:
        return MISSING
    low, high = (None if end is None else end / scaled.factor for end in (figure.low, figure.high))
    return by_interval(figure.value / scaled.factor, low, high)


def interval(figure: Figure | None, scaled: Scaled) -> str:
    if figure is None or figure.value is None:
        return ""
    low, high = (None if end is None else end / scaled.factor for end in (figure.low, figure.high))
    return span(low, high)


def whisker_cell(figure: Figure | None, scale: Scale | None, name: str = "") -> Cell:
    """The figure's interval on the row's scale."""
    if figure is None or figure.value is None or scale is None:
        return EMPTY
    at, low, high = figure.value, figure.low, figure.high
    told = f"{figure.title}{f' of {name}' if name else ''}: {by_interval(at, low, high)}, {span(low, high)}"

    def draw(palette: Palette) -> str:
        return whisker(at, low, high, scale, told=told, palette=palette)

    return Cell(draw=draw, alt=told)


def row_scale(figures: Sequence[Figure | None]) -> Scale | None:
    """One scale for the intervals of a row's figures."""
    known = [f for f in figures if f is not None and f.value is not None]
    return common_scale(
        *((f.value if f.low is None else f.low, f.value if f.high is None else f.high) for f in known)
    )


def evidence_cell(figure: Figure | None) -> Cell:
    """How much of the figure was observed, documented, or is open."""
    part = shares(figure.basis) if figure is not None and figure.value is not None else None
    if part is None:
        return EMPTY
    return Cell(draw=lambda palette: evidence_bar(part, palette=palette), alt=part.told)


def covers_text(covers: Covers | None) -> str:
    """What a cost figure stands for; to be printed with every one."""
    if covers is None:
        return "coverage not stated"
    return f"covers {percent(covers.lines)} of lines, {percent(covers.mass)} of mass"


def money(amount: Money | None) -> str:
    """An amount with the digits its interval supports, but no finer than a tenth of a cent."""
    if amount is None:
        return MISSING
    if amount.value == 0.0 and amount.low == amount.high:
        return "0"
    return number(amount.value, min(decimals_of(amount.value, amount.low, amount.high), 3))


def short_number(at: float) -> str:
    """A number as entered, without digits that only its conversion made."""
    if at == 0.0 or not math.isfinite(at):
        return number(at)
    places = max(0, READING_DIGITS - 1 - math.floor(math.log10(abs(at))))
    text = f"{at:.{places}f}"
    decimals = len(text.partition(".")[2].rstrip("0")) if "." in text else 0
    return number(at, decimals)


def entered(reading: Reading | None) -> str:
    """A reading in the unit it was entered in, without the unit."""
    return MISSING if reading is None else short_number(parse_unit(reading.unit).from_si(reading.value))


def entered_with_unit(reading: Reading | None) -> str:
    if reading is None:
        return MISSING
    unit = unit_text(reading.unit)
    return f"{entered(reading)} {unit}".strip()


def both(first: Text, *parts: str | Run) -> Text:
    return first + say(*parts)
