"""A book whose cases sit on their edges, written as a plain sheet with one case a column."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from xlsxwriter import Workbook
from xlsxwriter.utility import xl_rowcol_to_cell

from lidoff.methods import Book, Table, read_book, run
from lidoff.methods.formula import Pick
from lidoff.methods.spreadsheet import Held, cell_formula, row_formula
from lidoff.quantities import parse_unit

_HEAD = """
title = "Edges"
topic = "test"
[inputs]
ratio = { about = "ratio", unit = "" }
force = { about = "force", unit = "kN" }
length = { about = "length", unit = "mm" }
pieces = { about = "pieces", unit = "part" }
warm = { about = "warm", unit = "degC" }
price = { about = "price", unit = "money/kg" }
mass = { about = "mass", unit = "g" }
presses = { about = "all", columns = { capacity = "kN", bed = "mm", rate = "money/h" }, from = "table:m" }
"""
_HOT = 'warm >= quantity(140, "degF") or warm < quantity(0, "degC")'
_LINES: tuple[tuple[str, str | None, str], ...] = (
    ("up", "", "whole_up(ratio)"),
    ("down", "", "whole_down(ratio)"),
    ("up_noise", "", "whole_up(0.1*ratio/0.1)"),  # 0.1*3/0.1 is 3.0000000000000004
    ("down_noise", "", "whole_down(ratio*1.1/1.1)"),
    ("sets", "", 'max(1, whole_up(pieces/quantity(3, "part")))'),
    ("press", None, "pick(presses, capacity >= force and bed >= length)"),
    ("rate", "money/h", "press.rate"),
    ("press_noise", None, "pick(presses, capacity >= 1.1*force/1.1)"),
    ("rate_noise", "money/h", "press_noise.rate"),
    ("strict", None, "pick(presses, capacity > force or not bed < length)"),
    ("strict_bed", "mm", "strict.bed"),
    ("at_most", "", 'where(force <= quantity(0.63, "MN"), 1, 2)'),
    ("below", "", 'where(force < quantity(630, "kN"), 1, 2)'),
    ("same", "", 'where(length == quantity(0.9, "m"), 1, 2)'),
    ("other", "", 'where(length != quantity(0.9, "m"), 1, 2)'),
    ("hot", "K", f'where({_HOT}, warm - quantity(20, "degC"), quantity(1, "K"))'),
    ("money", "money", "price*mass"),
    ("dear", "money/t", "price*where(mass > 0, 1, 0)"),
    ("not_below_zero", "", "where(ratio >= 0, 1, 2)"),
)

#: Capacity [kN], bed [mm], rate [money/h] in ascending size.
PRESSES = ((630.0, 900.0, 20.0), (1250.0, 1500.0, 31.5), (4000.0, 3000.0, 60.0))
USUAL = {
    "ratio": 2.5, "force": 500.0, "length": 800.0, "pieces": 7.0, "warm": 25.0, "price": 2.6, "mass": 140.0,
}  # fmt: skip
_RATIOS = (3.0, 3.0000000001, 3.00001, 2.9999999999, 2.99999, 0.0, 1e-12, -0.5, -3.0, 1234567.0)
#: What differs from the usual, case by case.
CASES: tuple[Mapping[str, float], ...] = (
    *({"ratio": ratio} for ratio in _RATIOS),
    *({"pieces": pieces} for pieces in (0.0, 3.0, 6.0, 6.000001, 9.0)),
    *({"force": f} for f in (630.0, 630.0000001, 630.001, 1250.0, 1250.01, 4000.0, 4000.1, 9e9, 0.0)),
    *({"length": mm} for mm in (900.0, 900.0000001, 900.01, 1500.0, 3000.0, 3000.01)),
    {"force": 630.0, "length": 900.0},
    {"force": 1250.0, "length": 3000.0},
    *({"warm": degrees} for degrees in (60.0, 59.999, 60.0000000001, 0.0, -0.001)),
    *({"price": price, "mass": mass} for price, mass in ((0.01, 1.0), (1e6, 0.001), (2.6, 0.0))),
)

Expected = dict[tuple[str, str], float]


@dataclass
class Sheet:
    """Cells of one case: inputs and lines down one column, the table on a sheet of its own."""

    book: Book
    place: int
    rows: Mapping[str, int]

    def cell(self, name: str) -> str:
        return str(xl_rowcol_to_cell(self.rows[name], self.place))

    def name(self, name: str) -> Held:
        entry = self.book.inputs.get(name) or self.book.lines[name]
        return Held(self.cell(name), entry.unit)

    def column(self, row: str, column: str) -> Held:
        tree = self.book.lines[row].formula.tree
        assert isinstance(tree, Pick)
        held = self.cells(tree.table, column)
        assert held is not None
        return Held(f"INDEX({held.text},{self.cell(row)})", held.unit)

    def cells(self, table: str, column: str) -> Held | None:
        units = self.book.inputs[table].columns or {}
        if column not in units:
            return None
        letter = "ABC"[list(units).index(column)]
        return Held(f"Presses!${letter}$1:${letter}${len(PRESSES)}", units[column] or parse_unit(""))


def presses(book: Book) -> Table:
    units = book.inputs["presses"].columns or {}
    return Table(
        columns={
            name: np.array([unit.to_si(row[n]) for row in PRESSES])
            for n, (name, unit) in enumerate(units.items())
            if unit is not None
        }
    )


def write_cases(path: Path, book: Book, cases: Sequence[Mapping[str, float]]) -> Expected:
    """Write a book at work, one case a column; what the engine has for every formula's cell."""
    expected: Expected = {}
    names = [*(name for name, entry in book.inputs.items() if not entry.is_table), *book.lines]
    rows = {name: row for row, name in enumerate(names, start=1)}
    with Workbook(str(path)) as out:
        sheet, table = out.add_worksheet("Cases"), out.add_worksheet("Presses")
        for r, row in enumerate(PRESSES):
            for c, value in enumerate(row):
                table.write_number(r, c, value)
        for place, case in enumerate(cases):
            where = Sheet(book, place, rows)
            given = {name: book.inputs[name].unit.to_si(value) for name, value in case.items()}
            done = run(book, given | ({"presses": presses(book)} if "presses" in book.inputs else {}))
            for name, value in case.items():
                sheet.write_number(rows[name], place, value)
            for name, line in book.lines.items():
                tree, cell = line.formula.tree, ("Cases", where.cell(name))
                if isinstance(tree, Pick):
                    span = (rows[name], place, rows[name], place)
                    sheet.write_array_formula(*span, f"{{={row_formula(tree, where)}}}")
                    expected[cell] = float(done.rows[name].index[0]) + 1.0
                elif name in done.values:
                    sheet.write_formula(rows[name], place, f"={cell_formula(tree, line.unit, where)}")
                    expected[cell] = line.unit.from_si(float(np.asarray(done.values[name])))
    return expected


def line_text(name: str, unit: str | None, formula: str) -> str:
    said = "" if unit is None else f"unit = '{unit}'\n"
    return f"[[lines]]\nname = '{name}'\nformula = '{formula}'\n{said}"


def edge_cases(path: Path) -> Expected:
    book = read_book(_HEAD + "".join(line_text(*line) for line in _LINES), name="edges", file="edges.toml")
    return write_cases(path, book, [{**USUAL, **case} for case in CASES])
