"""Plan: one Python function of a whole book, for one set of given inputs, generated from its trees.

What is there, by default, or lacking depends only on which inputs are given, so it is settled when
the text is written; what depends on numbers (ranges, limits, overflows) is looked at as it runs.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from ..book import Book, Default, Input, Line
from ..formula import Column, Name, Node, Pick, children
from ..run import lacking_of, said_missing
from . import spaces
from .source import Writer
from .watch import Watch

#: Outside this slack of a range (relative to its larger end) a number is outside the range.
SLACK = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """``function(given, draw, watch)`` gives the values of ``lines`` and fills the watch."""

    function: Callable[[Mapping[str, Any], Any, Watch], tuple[Any, ...]]
    lines: tuple[str, ...]
    defaulted: tuple[str, ...]
    missing: Mapping[str, str]
    text: str = field(repr=False)


def write_plan(book: Book, given: Collection[str], *, only: str | None, arrays: bool) -> Plan:
    """The plan of a book for these inputs; with ``only``, of that line and what it needs."""
    return _Planner(book, given, arrays).plan(only)


class _Planner:
    def __init__(self, book: Book, given: Collection[str], arrays: bool) -> None:
        self.book, self.given, self.arrays = book, given, arrays
        self.writer = Writer(arrays)
        self.body: list[str] = []
        self.space: dict[str, Any] = spaces.arrays() if arrays else spaces.numbers()
        self.space["Odd"] = spaces.Odd
        self.there: set[str] = set(book.tables)
        self.lacking: dict[str, tuple[str, ...]] = {}
        self.missing: dict[str, str] = {}
        self.defaulted: list[str] = []
        self.lines: list[str] = []
        self.variables = 0
        for name, table in book.tables.items():
            self.space[self.named(name)] = table.table

    def plan(self, only: str | None) -> Plan:
        for name in self.book.order if only is None else self.book.needs[only]:
            entry = self.book.inputs.get(name)
            if entry is None:
                self.line(self.book.lines[name])
            else:
                self.input(entry)
        if only is None:
            self.limits()
        self.lines = [name for name in self.book.lines if name in set(self.lines)]
        if not self.arrays and self.lines:
            differences = " + ".join(f"({self.writer.names[n]} - {self.writer.names[n]})" for n in self.lines)
            self.body.append(f"if {differences} != 0.0: raise Odd")
        values = "".join(f"{self.writer.names[name]}, " for name in self.lines)
        self.body.append(f"return ({values})")
        text = "def fused(given, draw, watch):\n" + "".join(f"    {line}\n" for line in self.body)
        exec(compile(text, f"<{self.book.file}>", "exec"), self.space)  # our own text, see `source`
        return Plan(
            function=self.space["fused"],
            lines=tuple(self.lines),
            defaulted=tuple(self.defaulted),
            missing=self.missing,
            text=text,
        )

    def variable(self) -> str:
        self.variables += 1
        return f"v{self.variables}"

    def named(self, name: str) -> str:
        """The variable that a name is held in from here on."""
        self.there.add(name)
        return self.writer.names.setdefault(name, self.variable())

    def absent(self, names: Collection[str]) -> list[str]:
        book = self.book
        return [n for n in names if n not in self.there and (n in book.inputs or n in book.lines)]

    # -- inputs ------------------------------------------------------------------------------

    def input(self, entry: Input) -> None:
        if entry.name in self.given:
            value = f"given[{entry.name!r}]"
            if entry.is_table:
                self.body.append(f"{self.named(entry.name)} = watch.table({entry.name!r}, {value})")
            else:
                self.take(entry, value, default=None)
            return
        taken = None if entry.default is None else self.default(entry.default)
        if taken is None or entry.default is None:
            self.lacking[entry.name] = lacking_of(self.book, entry, self.there, self.lacking)
            return
        self.defaulted.append(entry.name)
        self.take(entry, taken, default=entry.default)

    def default(self, default: Default) -> str | None:
        for formula in default.formulas:
            if not self.absent(formula.names):
                return self.writer.text(formula.tree)
        return None if default.number is None else repr(default.number)

    def take(self, entry: Input, value: str, *, default: Default | None) -> None:
        name = self.named(entry.name)
        if self.arrays:
            spread = 0.0 if default is None else default.spread
            self.body.append(
                f"{name} = watch.number({entry.name!r}, {value})"
                if default is None
                else f"{name} = watch.default({entry.name!r}, {value}, {spread!r}, draw)"
            )
            return
        self.body.append(f"{name} = {value}")
        if default is None:
            self.body.append(f"if {name}.__class__ is not float: {name} = watch.single({name})")
        if entry.low is None or entry.high is None:
            self.body.append(f"if {name} - {name} != 0.0: raise Odd")
            return
        slack = SLACK * max(abs(entry.low), abs(entry.high))
        inside = f"{entry.low - slack!r} <= {name} <= {entry.high + slack!r}"
        self.body.append(f"if not {inside}: watch.outside({entry.name!r}, {name})")

    # -- lines -------------------------------------------------------------------------------

    def line(self, line: Line) -> None:
        absent = self.absent(line.formula.names)
        if absent:
            self.lacking[line.name], self.missing[line.name] = said_missing(absent, self.lacking)
        elif isinstance(line.formula.tree, Pick):
            self.pick(line, line.formula.tree)
        else:
            text = self.writer.text(line.formula.tree)
            self.body.append(f"{self.named(line.name)} = {text}")
            self.lines.append(line.name)

    def pick(self, line: Line, pick: Pick) -> None:
        """The row, and of it the columns that anything in the book speaks of."""
        table = self.writer.names[pick.table]
        inside = {name: self.variable() for name in sorted(_columns(pick, line))}
        condition = self.writer.inside(inside).text(pick.condition)
        row = self.named(line.name)
        (self.pick_array if self.arrays else self.pick_number)(line.name, table, inside, condition, row)
        for column in sorted(_used(self.book, line.name)):
            held = self.writer.columns[line.name, column] = self.variable()
            if self.arrays:
                self.body.append(f"{held} = watch.at({table}, {column!r}, {row})")
            else:
                self.body.append(f"{held} = {table}.numbers({column!r})[{row}]")

    def pick_number(self, name: str, table: str, inside: Mapping[str, str], condition: str, row: str) -> None:
        columns = ", ".join(f"{table}.numbers({column!r})" for column in inside)
        cells = ", ".join(inside.values())
        self.body += [
            f"for {row}, ({cells},) in enumerate(zip({columns})):",
            f"    if {condition}: break",
            f"else: watch.overflow({name!r}, 1.0)",
            f"watch.rows[{name!r}] = {row}",
        ]

    def pick_array(self, name: str, table: str, inside: Mapping[str, str], condition: str, row: str) -> None:
        self.body += [f"{variable} = {table}.upright({column!r})" for column, variable in inside.items()]
        self.body.append(f"{row} = watch.pick({name!r}, {condition})")

    def limits(self) -> None:
        for number, limit in enumerate(self.book.limits):
            if self.absent(limit.holds.names):
                continue
            holds = self.writer.text(limit.holds.tree)
            if self.arrays:
                self.body.append(f"watch.limit({number}, {holds})")
            else:
                self.body.append(f"if not {holds}: watch.limit({number}, False)")


def _columns(pick: Pick, line: Line) -> set[str]:
    """Columns of the table that a pick's condition speaks of."""
    return _bare(pick.condition) & set(line.columns or {})


def _bare(node: Node) -> set[str]:
    if isinstance(node, Name):
        return {node.name}
    return set().union(*(_bare(child) for child in children(node)))


def _used(book: Book, row: str) -> set[str]:
    """Columns of a picked row that formulas of the book use."""
    trees = [line.formula.tree for line in book.lines.values()]
    trees += [limit.holds.tree for limit in book.limits]
    trees += [f.tree for e in book.inputs.values() if e.default is not None for f in e.default.formulas]
    return set().union(*(_of_row(tree, row) for tree in trees))


def _of_row(node: Node, row: str) -> set[str]:
    if isinstance(node, Column):
        return {node.column} if node.row == row else set()
    return set().union(*(_of_row(child, row) for child in children(node)))
