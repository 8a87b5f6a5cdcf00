"""What the parts of one import share: the file's habits, its scales, the desk."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from ..quantities import Dimension
from ..quantities.dimension import LENGTH, MASS, TIME
from ..quantities.numbers import decimal_mark
from ..quantities.written import unit_word
from .columns import Layout
from .desk import Desk
from .headings import dimension_of, unit_fits
from .measures import Habit
from .scales import Scale
from .sheets import Cell, Sheet, letters
from .tables import Table

_COUNTED = ("quantity", "quantity_total", "count", "duration", "torque")
_STATEMENT = re.compile(
    r"(?:\bin\b|\bunits?\b|\beinheit(?:en)?\b|\ben\b|\ball\b|\balle\b|\bunità\b|\bunidades\b|=|:)\s*",
    re.IGNORECASE,
)
_LISTED = re.compile(r"\s*(?:,|/|;|&|\band\b|\bund\b|\bet\b|\be\b|\by\b)\s*|\s+")
_ABOUT = re.compile(
    r"mass|weight|gewicht|size|dimension|length|maße|masze|abmessung|länge|unit|einheit|angabe|cote|mesure|mass[ae]|quote|misur|medida|maten|afmeting|spessor|poids|peso|dims?\b|all\b|alle\b",
    re.IGNORECASE,
)
_GROUPED = re.compile(r"\d[.,'\u00a0\u202f ]\d{3}(?:[.,]\d+)?(?!\d)")
_THOUSANDS = re.compile(r"(?<![\d.,])\d{4,6}(?![\d.,]*\d)")


@dataclass(slots=True)
class Bench:
    """One file being imported."""

    file: str
    desk: Desk
    decimal: str | None = None
    strict: bool = False
    units: dict[str, str] = field(default_factory=dict)
    scales: list[Scale] = field(default_factory=list)

    def origin(self, sheet: Sheet, row: int, column: int) -> str:
        """Where a record came from, with the file: ``heron.xlsx!Parts!E6``, ``marlin.csv!D14``."""
        return f"{self.column_origin(sheet, column)}{sheet.line(row)}"

    def column_origin(self, sheet: Sheet, column: int) -> str:
        """The origin of a column's cells but for the line number behind it."""
        name = self.file if sheet.is_text else f"{self.file}!{sheet.name}"
        return f"{name}!{letters(column)}"

    def where(self, sheet: Sheet, row: int, column: int, heading: str = "") -> str:
        """The place as people look it up: ``Parts!E31``; a text file adds line and column heading."""
        place = sheet.place(row, column)
        if not sheet.is_text:
            return place
        said = f", column {heading}" if heading else ""
        return f"{place} (line {sheet.line(row)}{said})"


def cells_of(table: Table, column: int, rows: Sequence[int]) -> list[Cell]:
    """The cells of a column, "" where the row is too short."""
    every = table.sheet.rows
    return [cells[column] if column < len(cells := every[row]) else "" for row in rows]


def find_habits(bench: Bench, laid: Iterable[tuple[Table, Layout]], loose: Iterable[str]) -> None:
    """The file's decimal mark, whether it groups thousands, and the units its notes state."""
    numbers: list[str] = []
    notes = list(loose)
    for table, layout in laid:
        for name, column in layout.at.items():
            if dimension_of(table.kind, name) is not None or name in _COUNTED:
                numbers += [c for c in cells_of(table, column, table.body[:3000]) if isinstance(c, str) and c]
    bench.decimal = decimal_mark(numbers) or decimal_mark(notes)
    grouped = sum(_groups(text, bench.decimal) for text in numbers)
    bench.strict = any(map(_THOUSANDS.search, numbers)) and grouped < 2
    for text in notes:
        for name, unit in stated_units(text).items():
            bench.units.setdefault(name, unit)


def _groups(text: str, decimal: str | None) -> int:
    """2 where a text groups thousands beyond doubt ("1,630.0", "1'630"), 1 where it may ("1,630")."""
    if re.search(r"\d[.,']\d{3}[.,]\d|\d['\u00a0\u202f]\d{3}|\d([.,])\d{3}\1\d{3}", text):
        return 2
    mark = {".": ",", ",": r"\."}.get(decimal or "")
    return int(bool(mark) and bool(re.search(rf"(?<![\d.,])[1-9]\d{{0,2}}{mark}\d{{3}}(?![\d.,])", text)))


def stated_units(text: str) -> dict[str, str]:
    """Units that a note states for the file: "masses in grams unless said", "alle Maße in mm"."""
    out: dict[str, str] = {}
    if not _ABOUT.search(text):
        return out
    for match in _STATEMENT.finditer(text):
        after = True  # a bare "in" is inches only right behind the statement or another unit
        for word in _LISTED.split(text[match.end() :])[:4]:
            bare = word.strip("()[].,;:")
            unit = (
                "" if bare.lower() in ("l", "a") or (bare.lower() == "in" and not after) else unit_word(bare)
            )
            after = bool(unit)
            for name, dimension in (("mass", MASS), ("length", LENGTH), ("time", TIME)):
                if unit_fits(unit, dimension):
                    out.setdefault(name, unit)
    return out


def column_decimal(bench: Bench, cells: Iterable[Cell]) -> str | None:
    """The decimal mark of one column: its own where it shows one, else the file's."""
    own = decimal_mark([c for c in cells if isinstance(c, str)])
    return own or bench.decimal


def habit(bench: Bench, cells: Iterable[Cell], dimension: Dimension, unit: str, what: str) -> Habit:
    return Habit(dimension, unit, column_decimal(bench, cells), what, bench.strict)
