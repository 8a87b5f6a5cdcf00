"""Worked sheet: each line with its formula, the numbers put in with units, and the result."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..quantities import Unit, parse_unit
from .amounts import in_unit, plain_unit, short
from .book import Book, Line
from .calculate import Row
from .formula import (
    Arithmetic,
    Call,
    Column,
    Comparison,
    Logic,
    Name,
    Negative,
    Node,
    Not,
    Number,
    NumberIn,
    Pick,
    Quantity,
)
from .functions import CONSTANTS
from .run import Run


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedLine:
    """One line of a worked sheet. ``value`` is in ``unit``; for a picked row it is the row's
    number in its table and ``put_in`` names the row.
    """

    name: str
    formula: str
    put_in: str
    value: float
    unit: str
    about: str = ""
    source: str | None = None


def worked(book: Book, run: Run) -> tuple[WorkedLine, ...]:
    """The sheet of a run at single numbers (of a run over samples, its first sample is shown)."""
    writer = _Writer(book, run)
    lines = (book.lines[name] for name in book.order if name in book.lines)
    return tuple(
        _row(line, run.rows[line.name], writer)
        if line.is_row
        else WorkedLine(
            name=line.name,
            formula=line.formula.text,
            put_in=writer.text(line.formula.tree),
            value=line.unit.from_si(_first(run.values[line.name])),
            unit=plain_unit(line.unit.text),
            about=line.about,
            source=line.source,
        )
        for line in lines
        if line.name in run.values or line.name in run.rows
    )


def _row(line: Line, row: Row, writer: _Writer) -> WorkedLine:
    return WorkedLine(
        name=line.name,
        formula=line.formula.text,
        put_in=f"{writer.text(line.formula.tree)} → {row.label}",
        value=float(row.index[0]) + 1.0,
        unit=f"row of {row.table}",
        about=line.about,
        source=line.source,
    )


def _first(value: Any) -> float:
    return float(np.ravel(value)[0])


#: Binding strength, weakest first; a part is bracketed where it binds weaker than its place.
OR, AND, NOT, COMPARE, SUM, PRODUCT, SIGN, POWER, ATOM = range(9)
_SAYS = {"<=": "≤", ">=": "≥", "==": "=", "!=": "≠", "<": "<", ">": ">"}


def strength(node: Node) -> int:
    """How strongly a node holds together when written in a row."""
    match node:
        case Logic(op, _, _):
            return OR if op == "or" else AND
        case Not(_):
            return NOT
        case Comparison(_, _, _):
            return COMPARE
        case Arithmetic(op, _, _):
            return {"+": SUM, "-": SUM, "*": PRODUCT, "/": PRODUCT, "^": POWER}[op]
        case Negative(_):
            return SIGN
        case _:
            return ATOM


class _Writer:
    """Writes a formula with the values of a run in place of its names."""

    def __init__(self, book: Book, run: Run) -> None:
        self.units: dict[str, Unit] = {name: entry.unit for name, entry in book.inputs.items()}
        self.units |= {name: line.unit for name, line in book.lines.items()}
        self.columns: dict[str, Mapping[str, Unit | None]] = {
            name: line.columns for name, line in book.lines.items() if line.columns is not None
        }
        self.values: dict[str, Any] = {**run.inputs, **run.values}
        self.rows = run.rows

    def text(self, node: Node, place: int = OR) -> str:
        """The node as text, bracketed where it binds weaker than its place or is signed inside."""
        said = self.bare(node)
        tight = place > SUM and not isinstance(node, Number) and said.startswith("-")
        spaced = place >= POWER and " " in said and strength(node) == ATOM and not said.endswith(")")
        return f"({said})" if strength(node) < place or tight or spaced else said

    def bare(self, node: Node) -> str:
        match node:
            case Number(_, text):
                return text
            case Name(name):
                return self.name(name)
            case Column(row, column):
                return self.column(row, column)
            case Negative(of):
                return f"-{self.text(of, POWER)}"
            case Arithmetic("^", base, exponent):
                return f"{self.text(base, ATOM)}^{self.text(exponent, SIGN)}"
            case Arithmetic(op, left, right):
                level = SUM if op in "+-" else PRODUCT
                sign = {"*": "·", "/": "/"}.get(op, op)
                closer = level + 1 if op in "-/" else level
                return f"{self.text(left, level)} {sign} {self.text(right, closer)}"
            case Comparison(op, left, right):
                return f"{self.text(left, SUM)} {_SAYS[op]} {self.text(right, SUM)}"
            case Logic(op, left, right):
                level = OR if op == "or" else AND
                return f"{self.text(left, level)} {op} {self.text(right, level)}"
            case Not(of):
                return f"not {self.text(of, NOT)}"
            case NumberIn(of, unit):
                return f"number({self.text(of)} in {plain_unit(unit)})"
            case Quantity(of, unit):
                return f"{self.text(of, ATOM)} {plain_unit(unit)}"
            case Pick(table, condition):
                return f"pick({table}, {self.text(condition)})"
            case Call(function, arguments):
                return f"{function}({', '.join(self.text(argument) for argument in arguments)})"

    def name(self, name: str) -> str:
        if name in CONSTANTS:
            return short(CONSTANTS[name], 5)
        if name not in self.values:
            return name  # a column inside pick()
        return in_unit(_first(self.values[name]), self.units[name])

    def column(self, row: str, column: str) -> str:
        unit = self.columns[row][column] or parse_unit("")
        return in_unit(_first(self.rows[row].columns[column]), unit)
