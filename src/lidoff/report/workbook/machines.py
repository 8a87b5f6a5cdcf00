"""Machines: the price book's tables with the hour rate of every row as formulas of its own book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ...methods import Book, Table, run
from ...methods.machines import RATE, RATE_BOOK
from ...methods.spreadsheet import Held, cell_formula, converted
from ...prices import MachineTable
from ...quantities import Unit, parse_unit
from .binder import Binder, Cell, Range
from .page import Page, Ref
from .rates import used_sheets


@dataclass(slots=True)
class _Row:
    """Cells of one machine; what a row does not have is shared by all."""

    page: Page
    shared: Mapping[str, Cell]
    own: dict[str, Cell] = field(default_factory=dict)

    def name(self, name: str) -> Held:
        return (self.own.get(name) or self.shared[name]).held(self.page.name)

    def column(self, row: str, column: str) -> Held:
        raise KeyError(f"{row}.{column}")

    def cells(self, table: str, column: str) -> Held | None:
        return None


def machines(binder: Binder) -> None:
    page = binder.page("Machines", (8, *(13 for _ in range(16))))
    page.head(
        "Machines",
        "Tables of machines in ascending size, with what an hour on each costs, worked out from left to "
        "right. A working takes the first row that satisfies its condition, and the last where none does.",
        binder.back,
    )
    page.sheet.freeze_panes(4, 1)
    rates = {key: table for pack in binder.packs for key, table in pack.model.rates.items()}
    book = binder.shelf.get(RATE_BOOK)
    if rates and book is not None:
        lines = [name for name in book.needs[RATE] if name in book.lines]
        shared = _shared(binder, page, book)
        for key in rates:
            _table(binder, page, binder.prices.tables[key], book, lines, shared)
    _constants(binder, page)


def _shared(binder: Binder, page: Page, book: Book) -> dict[str, Cell]:
    """Inputs of the hour rate that are the same for all machines."""
    page.section(f"{book.title}: what all machines share", 9)
    found: dict[str, Cell] = {}
    for name in book.needs[RATE]:
        entry = book.inputs.get(name)
        if entry is None:
            continue
        key = (entry.comes_from or "").removeprefix("price.")
        row = binder.rows.get(key)
        number = None if entry.default is None else entry.default.number
        if row is None and number is None:
            continue
        page.say(0, name.replace("_", " "))
        page.say(1, "")
        if row is not None:
            value = entry.unit.from_si(binder.prices.rows[key].value)
            ref = page.work(2, converted(row.held(page.name), entry.unit), value)
        else:
            ref = page.put(2, entry.unit.from_si(number or 0.0), "assumed")
        page.say(3, binder.unit(entry.unit), "unit", indent=1)
        page.say(4, entry.about + (f"; {key}" if row is not None else "; where a table does not say"), "soft")
        for column in range(5, 9):
            page.say(column, "", "soft")
        found[name] = Cell(ref, entry.unit)
        page.row += 1
    page.row += 1
    return found


def _table(
    binder: Binder,
    page: Page,
    table: MachineTable,
    book: Book,
    lines: list[str],
    shared: Mapping[str, Cell],
) -> None:
    binder.table_rows[table.key] = page.at(0)
    page.section(f"{table.title}", 1 + len(table.columns) + len(lines))
    page.say(0, f"{table.key}; {table.date}, {binder.cite(table.source)}", "plain")
    page.row += 1
    heads = [("No.", False), *((_head(binder, c, u), True) for c, u in table.columns.items())]
    heads += [(_head(binder, name, book.lines[name].unit), True) for name in lines]
    page.columns(heads, height=36)
    values = _rates(binder, table, book)
    first = page.row
    for number, row in enumerate(table.rows):
        machine = _Row(page=page, shared=shared)
        page.say(0, str(number + 1), "soft")
        for column, (name, text) in enumerate(table.columns.items(), start=1):
            cell = row[name]
            if isinstance(cell, str):
                page.say(column, cell)
                continue
            unit = parse_unit(text)
            machine.own[name] = Cell(page.put(column, unit.from_si(cell)), unit)
        start = 1 + len(table.columns)
        for column, name in enumerate(lines, start=start):
            machine.own[name] = Cell(page.at(column), book.lines[name].unit)
        for column, name in enumerate(lines, start=start):
            line = book.lines[name]
            value = line.unit.from_si(float(values[name][number]))
            page.work(column, cell_formula(line.formula.tree, line.unit, machine), value)
        page.row += 1
    units = {name: parse_unit(text) for name, text in table.columns.items() if text != "text"}
    units |= {name: book.lines[name].unit for name in lines}
    for column, name in enumerate([*table.columns, *lines], start=1):
        if name in units:
            binder.tables[table.key, name] = _range(page, first, column, units[name])
    page.row += 1


def _range(page: Page, first: int, column: int, unit: Unit) -> Range:
    return Range(Ref(page.name, first, column), Ref(page.name, page.row - 1, column), unit)


def _head(binder: Binder, name: str, unit: Unit | str) -> str:
    said = "" if unit == "text" else binder.unit(unit)
    return f"{name.replace('_', ' ')}\n{said}" if said else name.replace("_", " ")


def _rates(binder: Binder, table: MachineTable, book: Book) -> dict[str, Any]:
    """The book's lines for every row [SI], as the engine has them."""
    inputs: dict[str, Any] = {}
    for name, entry in book.inputs.items():
        key = (entry.comes_from or "").removeprefix("price.")
        if name in table.columns:
            inputs[name] = np.array([float(row[name]) for row in table.rows])
        elif key in binder.prices.rows:
            inputs[name] = np.full(len(table.rows), binder.prices.rows[key].value)
    done = run(book, inputs, only=RATE)
    return {
        name: np.broadcast_to(np.asarray(value), (len(table.rows),)) for name, value in done.values.items()
    }


def _constants(binder: Binder, page: Page) -> None:
    """Tables that stand in method books themselves."""
    for book in {sheet.book.name: sheet.book for sheet in used_sheets(binder)}.values():
        for name, entry in book.tables.items():
            table: Table = entry.table
            page.section(f"{book.title}: {name.replace('_', ' ')}", 1 + len(entry.units))
            page.say(0, binder.cite(entry.source), "plain")
            page.row += 1
            page.columns(
                [("No.", False), *((_head(binder, c, u or "text"), True) for c, u in entry.units.items())]
            )
            first = page.row
            for number in range(table.rows):
                page.say(0, str(number + 1), "soft")
                for column, (key, unit) in enumerate(entry.units.items(), start=1):
                    if unit is None:
                        page.say(column, table.words[key][number])
                    else:
                        page.put(column, unit.from_si(float(table.columns[key][number])))
                page.row += 1
            for column, (key, unit) in enumerate(entry.units.items(), start=1):
                if unit is not None:
                    binder.tables[f"{book.name}.{name}", key] = _range(page, first, column, unit)
            page.row += 1
