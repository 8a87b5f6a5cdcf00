"""Page: one sheet of the workbook, written cell by cell; Ref: where a value stands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from xlsxwriter.utility import quote_sheetname, xl_col_to_name, xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from .style import Style, as_entered, by_size

#: Characters across that still read on a landscape A4.
A4_WIDE = 170
_EVERYWHERE = "A1:XFD1048576"
#: Characters of this face at its size in one unit of a column's width, and the height of a line.
CHARACTERS, LINE = 1.4, 12.0
#: The farthest that rows may be grouped in the file format.
DEEPEST = 7


@dataclass(frozen=True, slots=True)
class Ref:
    """A cell: sheet, row and column from zero."""

    sheet: str
    row: int
    column: int

    def seen_from(self, sheet: str) -> str:
        """How a formula on a sheet refers to it."""
        if sheet == self.sheet:
            return str(xl_rowcol_to_cell(self.row, self.column))
        cell = xl_rowcol_to_cell(self.row, self.column, row_abs=True, col_abs=True)
        return f"{quote_sheetname(self.sheet)}!{cell}"

    @property
    def address(self) -> str:
        """For a link inside the workbook."""
        return f"internal:{quote_sheetname(self.sheet)}!{xl_rowcol_to_cell(self.row, self.column)}"


def cells_from(sheet: str, first: Ref, last: Ref) -> str:
    """A range as a formula on a sheet refers to it."""
    here = "" if first.sheet == sheet else f"{quote_sheetname(first.sheet)}!"
    one, other = xl_col_to_name(first.column), xl_col_to_name(last.column)
    return f"{here}${one}${first.row + 1}:${other}${last.row + 1}"


class Page:
    """A sheet. Every formula is written with the value that the engine has for it."""

    def __init__(self, sheet: Worksheet, style: Style, name: str, widths: Sequence[float]) -> None:
        self.sheet, self.style, self.name = sheet, style, name
        self.row = 0
        sheet.hide_gridlines(2)
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        # Numbers of parts are words, and a worked sheet's formulas do differ from row to row.
        sheet.ignore_errors({"number_stored_as_text": _EVERYWHERE, "formula_differs": _EVERYWHERE})
        sheet.set_landscape()
        sheet.set_paper(8 if sum(widths) > A4_WIDE else 9)  # A3 or A4
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        sheet.set_footer("&L&8&F&C&8&A&R&8&P / &N")
        self._widths = widths
        self._lines: dict[int, int] = {}  # lines of text in rows with more than one
        self._after: frozenset[int] = frozenset()  # columns of text to the right of a number

    def head(self, title: str, about: str, back: Sequence[tuple[str, Ref]] = ()) -> None:
        """Title, one sentence, and the ways back; leaves the cursor on the row below."""
        self.sheet.set_row(0, 24)
        self.say(0, title, "title", row=0)
        last = max(len(self._widths) - 1, 1)
        wide = sum(self._widths)
        lines = max(1, math.ceil(len(about) / (wide * 1.05)))
        self.sheet.set_row(1, 13.0 * lines)
        self.sheet.merge_range(1, 0, 1, last, about, self.style.of("lead"))
        for column, (text, target) in enumerate(back):
            self.link(column, target, text, "way back", row=2)
        self.row = 4

    def columns(
        self, heads: Sequence[tuple[str, bool]], *, freeze: int | None = None, height: float = 26
    ) -> None:
        """The head of a table, right-aligned over numbers; ``freeze`` keeps it and so many columns."""
        self.sheet.set_row(self.row, height)
        numbers = [is_number for _, is_number in heads]
        self._after = frozenset(n for n in range(1, len(heads)) if numbers[n - 1] and not numbers[n])
        for column, (text, is_number) in enumerate(heads):
            self.say(column, text, "head number" if is_number else "head")
        self.row += 1
        if freeze is not None:
            self.sheet.freeze_panes(self.row, freeze)
            self.sheet.repeat_rows(self.row - 1)

    def section(self, text: str, across: int, *, start: int = 0) -> None:
        """A line of heading over a block."""
        for column in range(start, start + across):
            self.say(column, text if column == start else "", "section")
        self.row += 1

    def at(self, column: int, row: int | None = None) -> Ref:
        return Ref(self.name, self.row if row is None else row, column)

    def say(
        self, column: int, text: str, role: str = "text", *, row: int | None = None, indent: int = 0
    ) -> Ref:
        where = self.at(column, row)
        indent = indent or int(column in self._after)
        form = self.style.of(role, indent=indent)
        if text:  # never as a formula or a link, whatever a bench wrote
            self.sheet.write_string(where.row, where.column, text, form)
        else:
            self.sheet.write_blank(where.row, where.column, None, form)
        return where

    def prose(self, column: int, text: str) -> None:
        """Soft text that takes a second line rather than running under its neighbour."""
        lines = math.ceil(len(text) / (self._widths[column] * CHARACTERS))
        self.say(column, text, "prose" if lines > 1 else "soft")
        if lines > 1:
            self._lines[self.row] = max(lines, self._lines.get(self.row, 1))

    def put(
        self,
        column: int,
        value: float,
        role: str = "input",
        *,
        row: int | None = None,
        look: str | None = None,
    ) -> Ref:
        """A number that is given, at the fifteen digits a spreadsheet keeps."""
        where = self.at(column, row)
        tidy = float(f"{_finite(value, where):.15g}")
        self.sheet.write_number(
            where.row, where.column, tidy, self.style.of(role, as_entered(tidy) if look is None else look)
        )
        return where

    def work(
        self,
        column: int,
        formula: str,
        value: float | str,
        role: str = "calc",
        *,
        row: int | None = None,
        look: str | None = None,
        array: bool = False,
    ) -> Ref:
        """A formula with its value, which the file keeps so that any reader shows it at once."""
        where = self.at(column, row)
        if look is None:
            look = "" if isinstance(value, str) else by_size(value)
        kept: Any = value if isinstance(value, str) else _finite(value, where)
        form = self.style.of(role, look)
        if array:
            cell = (where.row, where.column, where.row, where.column)
            self.sheet.write_array_formula(*cell, f"{{={formula}}}", form, kept)
        else:
            self.sheet.write_formula(where.row, where.column, f"={formula}", form, kept)
        return where

    def link(
        self, column: int, target: Ref, text: str, role: str = "link", *, row: int | None = None
    ) -> None:
        where = self.at(column, row)
        form = self.style.of(role, indent=int(column in self._after))
        self.sheet.write_url(where.row, where.column, target.address, form, text)

    def group(
        self, level: int, *, row: int | None = None, hidden: bool = False, closed: bool = False
    ) -> None:
        """Put a row into an outline level; ``closed`` marks the row that a hidden group hangs from."""
        where = self.row if row is None else row
        options = {"level": min(level, DEEPEST), "hidden": hidden, "collapsed": closed}
        lines = self._lines.get(where)
        self.sheet.set_row(where, None if lines is None else LINE * lines, None, options)


def _finite(value: float, where: Ref) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{where.sheet} {xl_rowcol_to_cell(where.row, where.column)} would hold {value}")
    return float(value)
