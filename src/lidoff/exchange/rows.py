"""Sorting the rows of a parts table: items, section heads, totals, notes between rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from .columns import FIND_NUMBER, Layout, is_level, is_numeric
from .measures import dittos
from .sheets import Cell
from .tables import Table
from .vocabulary import is_blank, normal, small_words

_FILLS = (
    "quantity", "quantity_total", "mass_each", "mass_total", "material", "process", "length", "width",
    "thickness", "height", "wall", "diameter", "size", "function", "basis",
)  # fmt: skip
_NUMBERS = ("quantity", "quantity_total", "mass_each", "mass_total", "length", "width", "thickness", "size")


@dataclass(slots=True)
class PartRows:
    """The rows of one parts table by their role, and the columns of its item rows."""

    table: Table
    layout: Layout
    items: list[int] = field(default_factory=list)
    sections: set[int] = field(default_factory=set)
    notes: list[int] = field(default_factory=list)
    totals: list[int] = field(default_factory=list)
    _columns: list[Sequence[Cell]] = field(default_factory=list)
    _lines: list[str] = field(default_factory=list)

    def column(self, name: str) -> Sequence[Cell]:
        """The cells of a field, one for each item row; "" throughout where there is no such column."""
        at = self.layout.at.get(name)
        return [""] * len(self.items) if at is None else self.cells(at)

    def cells(self, column: int) -> Sequence[Cell]:
        """The cells of a column, one for each item row, ditto marks written out."""
        if not self._columns:
            rows = self.table.sheet.rows
            self._columns = list(zip_longest(*(rows[r] for r in self.items), fillvalue=""))
            plain = {self.layout.at.get(n) for n in ("number", "level", "name")}
            for at, cells in enumerate(self._columns):
                if at not in plain and _has_ditto(cells):
                    self._columns[at] = _written_out(cells)
        return self._columns[column] if column < len(self._columns) else [""] * len(self.items)

    @property
    def lines(self) -> list[str]:
        """The line number of each item row, as text."""
        if not self._lines:
            self._lines = [str(self.table.sheet.line(r)) for r in self.items]
        return self._lines


def _has_ditto(cells: Sequence[Cell]) -> bool:
    return any(isinstance(c, str) and c.strip() in dittos() for c in set(cells))


def _written_out(cells: Sequence[Cell]) -> list[Cell]:
    out: list[Cell] = []
    for cell in cells:
        same = out and isinstance(cell, str) and cell.strip() in dittos()
        out.append(out[-1] if same else cell)
    return out


def _filled(cell: Cell) -> bool:
    return not isinstance(cell, str) or (cell != "" and not is_blank(cell))


def sort_rows(table: Table, layout: Layout) -> PartRows:
    """Give every body row its role."""
    out = PartRows(table, layout)
    rows = table.sheet.rows
    number_at = layout.at.get("number")
    first, last = table.span
    for row in table.body:
        cells = rows[row]
        if number_at is not None and number_at < len(cells):
            cell = cells[number_at]
            if isinstance(cell, float) or (isinstance(cell, str) and FIND_NUMBER.fullmatch(cell.strip())):
                out.items.append(row)
                continue
        mine = [c if first <= i <= last else "" for i, c in enumerate(cells)]
        role = _role(mine, layout)
        if role == "item":
            out.items.append(row)
        elif role == "section":
            out.items.append(row)
            out.sections.add(row)
        elif role == "total":
            out.totals.append(row)
        elif role == "note":
            out.notes.append(row)
    _settle_sections(out)
    return out


def _cell(cells: list[Cell], column: int | None) -> Cell:
    return cells[column] if column is not None and column < len(cells) else ""


def _role(cells: list[Cell], layout: Layout) -> str:
    """The role of a row whose number cell is not a plain find number."""
    texts = [str(c).strip() for c in cells if not isinstance(c, str) or c.strip()]
    if not texts:
        return "empty"
    number = _cell(cells, layout.at.get("number"))
    level = _cell(cells, layout.at.get("level"))
    filled = [f for f in _FILLS if f in layout.at and _filled(_cell(cells, layout.at[f]))]
    numbers = [f for f in filled if f in _NUMBERS and is_numeric(_cell(cells, layout.at[f]))]
    blank_number = isinstance(number, str) and not number.strip()
    if _says_total(cells, layout) and (blank_number or is_total(str(number))):
        return "total"
    if "number" in layout.at:
        if not blank_number:
            name = _cell(cells, layout.at.get("name"))
            return "item" if numbers and _filled(name) and len(str(number)) <= 16 else "note"
        return "item" if is_level(level) or numbers else "note"
    if "level" in layout.at and not layout.staggered:
        return "item" if is_level(level) or numbers else "note"
    if filled:
        return "item" if numbers or len(filled) > 1 else "note"
    names = layout.staggered or [layout.at.get("name", -1)]
    has_name = any(_filled(_cell(cells, n)) for n in names)
    only = len(texts) == 1 and has_name
    return "section" if only and _is_heading_like(texts[0]) else "note"


def _says_total(cells: list[Cell], layout: Layout) -> bool:
    """Whether the name, or where there is none the first text, makes the row a total."""
    name = _cell(cells, layout.at.get("name"))
    if isinstance(name, str) and name.strip():
        return is_total(name)
    first = next((c for c in cells if isinstance(c, str) and any(x.isalpha() for x in c)), "")
    return isinstance(first, str) and is_total(first)


def _is_heading_like(text: str) -> bool:
    """Whether a lone text may head a group of parts rather than be a remark."""
    bare = text.rstrip(":")
    return (
        len(text) <= 60
        and len(text.split()) <= 6
        and not any(c.isdigit() for c in bare[-6:])
        and ":" not in bare
    )


def is_total(text: str) -> bool:
    """Whether a row's first word makes it a total: "Summe", "TOTAL", "Subtotal frame"."""
    spelled = normal(text)
    words = small_words("total")
    if spelled in words:
        return True
    first = spelled.split(" ")[0]
    return first in words and len(spelled.split()) <= 5


def _settle_sections(out: PartRows) -> None:
    """A section head needs rows below it; where names are indented it is an assembly like others."""
    order = out.items
    for at, row in enumerate(order):
        last = at + 1 == len(order)
        if row in out.sections and (last or (order[at + 1] in out.sections and not _indented(out))):
            out.sections.discard(row)
            out.notes.append(row)
    gone = set(out.notes)
    out.items = [r for r in order if r not in gone]
    out.notes.sort()


def _indented(out: PartRows) -> bool:
    if out.layout.staggered:
        return True
    name = out.layout.at.get("name")
    if name is None:
        return False
    cells = [_cell(out.table.sheet.rows[r], name) for r in out.items]
    return any(isinstance(c, str) and c[:1].isspace() for c in cells)
