"""A book at work as rows: inputs with where they come from, then lines as formulas."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from ...evaluate.cost.model import From, ModelInput, ModelSheet
from ...methods import Line, Table
from ...methods.amounts import plain_unit
from ...methods.book import Limit
from ...methods.formula import Column, Node, Pick, children
from ...methods.spreadsheet import Held, cell_condition, cell_formula, overflow_condition, row_formula
from ...quantities import Basis
from .binder import Binder, Cell, Range
from .page import Page, cells_from
from .style import as_entered

#: Writes the formula of an input in its own unit and says where it comes from; ``None``: by default.
Link = Callable[[ModelInput], tuple[str, str] | None]
#: Columns of a working sheet.
NAME, ABOUT, VALUE, UNIT, FORMULA, SOURCE, NOTE = range(7)
_OVERFLOW = "no row is enough; the last one is taken"


@dataclass(slots=True)
class Block:
    """The cells of one book at work on a page; it resolves the names of the book's formulas."""

    binder: Binder
    page: Page
    sheet: ModelSheet
    held: dict[str, Cell] = field(default_factory=dict)
    picked: dict[tuple[str, str], Cell] = field(default_factory=dict)

    # -- what the formula writer asks --------------------------------------------------------

    def name(self, name: str) -> Held:
        return self.held[name].held(self.page.name)

    def column(self, row: str, column: str) -> Held:
        return self.picked[row, column].held(self.page.name)

    def cells(self, table: str, column: str) -> Held | None:
        there = self.range_of(table, column)
        if there is None:
            return None
        return Held(cells_from(self.page.name, there.first, there.last), there.unit)

    def range_of(self, table: str, column: str) -> Range | None:
        put = self.sheet.inputs.get(table)
        key = put.origin.key if put is not None else f"{self.sheet.book.name}.{table}"
        return self.binder.tables.get((key, column))

    # -- writing -----------------------------------------------------------------------------

    def write(self, link: Link, *, level: int, hidden: bool) -> None:
        """Inputs, lines and limits where they were placed, all in one outline level."""
        first = self.page.row
        for put in self.sheet.inputs.values():
            self._input(put, link)
        for line in self.sheet.lines:
            if isinstance(line.formula.tree, Pick):
                self._pick(line, line.formula.tree)
            else:
                self._line(line)
        for limit in self._limits():
            self._limit(limit)
        for row in range(first, self.page.row):
            self.page.group(level, row=row, hidden=hidden)

    def place(self, row: int) -> int:
        """Settle where everything will stand from a row on; gives the row after it."""
        for name, put in self.sheet.inputs.items():
            self.held[name] = Cell(self.page.at(VALUE, row), put.entry.unit)
            row += 1
        for line in self.sheet.lines:
            self.held[line.name] = Cell(self.page.at(VALUE, row), line.unit)
            row += 1
            if isinstance(line.formula.tree, Pick):
                for column in self._columns(line.name):
                    there = self.range_of(line.formula.tree.table, column)
                    if there is not None:
                        self.picked[line.name, column] = Cell(self.page.at(VALUE, row), there.unit)
                        row += 1
        return row + len(self._limits())

    def _columns(self, row: str) -> tuple[str, ...]:
        """Columns of a picked row that any formula here speaks of."""
        trees = [line.formula.tree for line in self.sheet.lines]
        trees += [
            put.origin.formula.tree for put in self.sheet.inputs.values() if put.origin.formula is not None
        ]
        trees += [limit.holds.tree for limit in self.sheet.book.limits]
        found = [
            node.column
            for tree in trees
            for node in _walk(tree)
            if isinstance(node, Column) and node.row == row
        ]
        return tuple(dict.fromkeys(found))

    def _input(self, put: ModelInput, link: Link) -> None:
        entry, page = put.entry, self.page
        page.say(NAME, entry.name.replace("_", " "), indent=1)
        page.prose(ABOUT, entry.about)
        if isinstance(put.value, Table):
            self._table(put, put.value)
            page.row += 1
            return
        value = entry.unit.from_si(put.value)
        note, formula, source = entry.range_text and f"usual {plain_unit(entry.range_text)}", "", ""
        linked = link(put)
        if linked is not None:
            text, source = linked
            page.work(VALUE, text, value)
        elif put.origin.formula is not None:
            formula = put.origin.formula.text
            page.work(VALUE, cell_formula(put.origin.formula.tree, entry.unit, self), value, "default")
            note = "; ".join(filter(None, (_basis(put), note)))
        else:
            given = put.origin.reading
            sure = given is not None and given.basis not in (Basis.ASSUMED, Basis.ESTIMATED)
            page.put(VALUE, value, "input" if sure else "assumed", look=as_entered(value))
            source = "" if given is None else f"given with the route, {given.basis}"
            note = "; ".join(filter(None, (_basis(put), note)))
        page.say(UNIT, self.binder.unit(entry.unit), "unit")
        page.prose(FORMULA, formula)
        page.prose(SOURCE, source or self.binder.cite(entry.source))
        page.prose(NOTE, note)
        page.row += 1

    def _table(self, put: ModelInput, table: Table) -> None:
        head = self.binder.table_rows.get(put.origin.key)
        if head is None:
            self.page.say(VALUE, "")
        else:
            self.page.link(VALUE, head, f"{table.rows} rows")
        for column in (UNIT, FORMULA, NOTE):
            self.page.say(column, "", "soft")
        self.page.say(SOURCE, "see Machines", "soft")

    def _line(self, line: Line) -> None:
        page = self.page
        value = line.unit.from_si(self.sheet.value(line.name))
        page.say(NAME, line.name.replace("_", " "), indent=1)
        page.prose(ABOUT, line.about)
        page.work(VALUE, cell_formula(line.formula.tree, line.unit, self), value)
        page.say(UNIT, self.binder.unit(line.unit), "unit")
        page.prose(FORMULA, line.formula.text)
        page.say(SOURCE, self.binder.cite(line.source), "soft")
        page.say(NOTE, "", "soft")
        page.row += 1

    def _pick(self, line: Line, pick: Pick) -> None:
        page, row = self.page, self.sheet.run.rows[line.name]
        index = int(row.index[0])
        page.say(NAME, line.name.replace("_", " "), indent=1)
        page.prose(ABOUT, line.about)
        page.work(VALUE, row_formula(pick, self), index + 1.0, array=True, look="0")
        page.say(UNIT, "row", "unit")
        page.prose(FORMULA, line.formula.text)
        page.say(SOURCE, self.binder.cite(line.source), "soft")
        said = _OVERFLOW if bool(row.overflow[0]) else ""
        page.work(NOTE, f'IF({overflow_condition(pick, self)},"{_OVERFLOW}","")', said, "soft", array=True)
        chosen = page.at(VALUE).seen_from(page.name)
        page.row += 1
        for column in self._columns(line.name):
            there = self.range_of(pick.table, column)
            if there is None:
                continue
            value = there.unit.from_si(float(np.ravel(row.columns[column])[0]))
            page.say(NAME, f"{line.name}.{column}".replace("_", " "), indent=2)
            page.prose(ABOUT, "of the row taken")
            page.work(VALUE, f"INDEX({cells_from(page.name, there.first, there.last)},{chosen})", value)
            page.say(UNIT, self.binder.unit(there.unit), "unit")
            for empty in (FORMULA, SOURCE, NOTE):
                page.say(empty, "", "soft")
            page.row += 1

    def _limits(self) -> list[Limit]:
        """Those whose names are all here."""
        book = self.sheet.book
        there = self.held.keys() | book.tables.keys()
        known = book.inputs.keys() | book.lines.keys()
        return [limit for limit in book.limits if all(name in there for name in limit.holds.names & known)]

    def _limit(self, limit: Limit) -> None:
        """Whether the method holds, live; its sentence where it does not."""
        page, says = self.page, limit.says[:250]
        holds = limit.holds.text not in {warning.about for warning in self.sheet.run.warned}
        page.say(NAME, "limit", "soft", indent=1)
        page.prose(ABOUT, "where the method holds")
        condition = cell_condition(limit.holds.tree, self)
        page.work(VALUE, f'IF({condition},"holds","outside")', "holds" if holds else "outside")
        page.say(UNIT, "", "unit")
        page.prose(FORMULA, limit.holds.text)
        page.say(SOURCE, "", "soft")
        value, quoted = page.at(VALUE).seen_from(page.name), says.replace('"', '""')
        page.work(NOTE, f'IF({value}="holds","","{quoted}")', "" if holds else says, "soft")
        page.row += 1


def _walk(node: Node) -> Iterator[Node]:
    yield node
    for child in children(node):
        yield from _walk(child)


def _basis(put: ModelInput) -> str:
    if put.origin.kind not in (From.FORMULA, From.NUMBER) or put.entry.default is None:
        return ""
    return f"taken by default, {put.entry.default.basis}"
