"""Source: a checked formula tree written as Python text, for single numbers or for sample arrays.

Nothing of a book's own text is in it: names become ``v1``, ``v2`` …, numbers are written by ``repr``
and functions are those of a fixed list.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ...quantities import parse_unit
from ..formula import (
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
from ..functions import CONSTANTS

#: How a comparison is called in the name spaces of `numbers` and `arrays`.
COMPARISONS = {"<": "below", "<=": "at_most", ">": "above", ">=": "at_least", "==": "equal", "!=": "unequal"}


@dataclass(slots=True)
class Writer:
    """Writes formulas. ``names`` gives the variable of every name that has a value, ``columns`` those
    of columns: of a picked row by (row, column), inside a `pick` by ("", column).
    """

    arrays: bool
    names: dict[str, str] = field(default_factory=dict)
    columns: dict[tuple[str, str], str] = field(default_factory=dict)

    def inside(self, columns: Mapping[str, str]) -> Writer:
        """The writer of a pick's condition, in which the table's columns stand for themselves."""
        return Writer(self.arrays, {**self.names, **columns}, self.columns)

    def text(self, node: Node) -> str:
        match node:
            case Number(value, _):
                return repr(value)
            case Name(name):
                return repr(CONSTANTS[name]) if name in CONSTANTS else self.names[name]
            case Column(row, column):
                return self.columns[row, column]
            case Negative(of):
                return f"(-{self.text(of)})"
            case Arithmetic("^", base, exponent):
                return f"power({self.text(base)}, {self.text(exponent)})"
            case Arithmetic(op, left, right):
                return f"({self.text(left)} {op} {self.text(right)})"
            case Comparison(op, left, right):
                return f"{COMPARISONS[op]}({self.text(left)}, {self.text(right)})"
            case Logic(op, left, right):
                return self._joined(op, self.text(left), self.text(right))
            case Not(of):
                return f"negation({self.text(of)})" if self.arrays else f"(not {self.text(of)})"
            case NumberIn(of, text):
                unit = parse_unit(text)
                inner = self.text(of)
                if unit.offset:
                    inner = f"({inner} - {unit.offset!r})"
                return f"({inner} / {unit.factor!r})"
            case Quantity(of, text):
                unit = parse_unit(text)
                scaled = f"({self.text(of)} * {unit.factor!r})"
                return f"({scaled} + {unit.offset!r})" if unit.offset else scaled
            case Call("where", (condition, yes, no)) if not self.arrays:
                return f"({self.text(yes)} if {self.text(condition)} else {self.text(no)})"
            case Call(function, arguments):
                return f"f_{function}({', '.join(self.text(argument) for argument in arguments)})"
            case Pick(_, _):
                raise ValueError("a pick stands in a line of its own")

    def _joined(self, op: str, left: str, right: str) -> str:
        if self.arrays:
            return f"{'both' if op == 'and' else 'either'}({left}, {right})"
        return f"({left} {op} {right})"
