"""Sheets of cells, before a file format is chosen."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from decimal import Decimal
from random import Random

from .style import Style
from .truth import SIZE


@dataclass(frozen=True)
class Formula:
    """A workbook formula with the value that the program which saved it had worked out."""

    text: str
    value: Decimal


Cell = None | str | int | Decimal | dt.time | dt.date | Formula
Row = list[Cell]


@dataclass(kw_only=True)
class Page:
    """One sheet, or the whole of a text file. ``add`` answers with the row's number as people count it."""

    name: str
    rows: list[Row] = field(default_factory=list)
    titles: list[int] = field(default_factory=list)  # rows whose first cell is merged over the table
    offset: tuple[int, int] = (0, 0)

    def add(self, row: Row) -> int:
        self.rows.append(row)
        return len(self.rows) + self.offset[0]


def sized(value: Decimal, digits: int) -> Decimal:
    """Rounded to that many figures, but never coarser than whole numbers."""
    places = max(0, digits - 1 - value.adjusted())
    rounded = value.quantize(Decimal(1).scaleb(-places))
    return rounded


def mass_text(style: Style, value: Decimal, unit: str) -> Decimal:
    """A mass as a bench scale of that unit would show it."""
    digits = {"g": 3, "kg": 4, "lb": 4, "oz": 4}[unit]
    shown = sized(value, digits)
    if unit == "g" and shown >= 1000:
        shown = shown.quantize(Decimal(1))
    return trimmed(shown) if style.trims else shown


def trimmed(value: Decimal) -> Decimal:
    """Without trailing noughts behind the point."""
    return value.quantize(Decimal(1)) if value == value.to_integral() else value.normalize()


def size_text(style: Style, millimetres: float) -> Decimal:
    value = Decimal(str(millimetres)) * Decimal("0.001") / SIZE[style.size_unit]
    if style.size_unit == "in":
        return sized(value, 3) if value < 10 else value.quantize(Decimal("0.01"))
    return trimmed(value)


def shown(style: Style, value: Decimal | int) -> Cell:
    """A number as its cell: a number in a workbook, text elsewhere or in a workbook of texts."""
    if style.is_book and not style.text_numbers:
        return value
    return style.number(value)


UNIT_NAMES = {
    "en": {"g": ["g", "g", "grams"], "kg": ["kg"], "lb": ["lb", "lbs"], "oz": ["oz"],
           "mm": ["mm"], "cm": ["cm"], "in": ["in", "inch"]},
    "de": {"g": ["g", "Gramm"], "kg": ["kg"], "mm": ["mm"], "cm": ["cm"]},
    "fr": {"g": ["g"], "kg": ["kg"], "mm": ["mm"], "cm": ["cm"]},
}  # fmt: skip


def unit_name(rng: Random, style: Style, unit: str) -> str:
    return rng.choice(UNIT_NAMES[style.language][unit])
