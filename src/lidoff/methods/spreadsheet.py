"""Spreadsheet formulas: a book's formula tree as cell text, with every change of unit written out.

A cell holds a number in the unit that stands beside it, so names carry their cell's unit and a formula
carries what its text is worth: ``value in SI = text × scale + offset``. Factors are joined as exact
fractions, so that mm · mm · MPa to N needs none and to kN reads ``/1000``.

Assumes that the formula has passed the dimension check. Written for what spreadsheets share: functions of
ISO/IEC 26300 (OpenFormula) that ISO/IEC 29500 workbooks also hold, none of them volatile. A unary minus
binds tighter than a power there, and powers join from the left, hence the brackets. Comparisons and whole
numbers carry the guard of `methods.functions`, because spreadsheets compare and round with a tolerance of
their own.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from ..quantities import Unit, parse_unit
from .cell_text import (
    ATOM,
    COMPARE,
    POWER,
    PRODUCT,
    SIGN,
    SUM,
    Held,
    Term,
    alike,
    exact,
    in_unit,
    of_cell,
    root_of,
    scaled,
)
from .dimensions import constant
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
    names,
)
from .functions import CONSTANTS, GUARD

_GUARD = f"{GUARD:.0E}".replace("E-0", "E-")
_SAYS = {"<": "<", "<=": "<=", ">": ">", ">=": ">=", "==": "=", "!=": "<>"}
#: Comparisons that the guard widens (it lets a little more pass) and narrows.
_LESS = {"<=": "-", ">": "-", "<": "+", ">=": "+"}
_ONE_TO_ONE = {
    "exp": "EXP",
    "ln": "LN",
    "log10": "LOG10",
    "sin": "SIN",
    "cos": "COS",
    "tan": "TAN",
    "atan": "ATAN",
}


class Resolver(Protocol):
    """Knows the cells of one sheet. Each raises ``KeyError`` for what it does not have."""

    def name(self, name: str) -> Held:
        """The cell of an input or a line."""

    def column(self, row: str, column: str) -> Held:
        """The cell that holds a column of a picked row."""

    def cells(self, table: str, column: str) -> Held | None:
        """The range of a table's column, ``None`` where the table has no such column."""


def cell_formula(tree: Node, unit: Unit, where: Resolver) -> str:
    """The formula of a cell that holds its value in ``unit``, without the equals sign."""
    return in_unit(_Writer(where).value(tree), unit).text


def cell_condition(tree: Node, where: Resolver) -> str:
    """A condition, true or false in its cell."""
    return _Writer(where).condition(tree).text


def row_formula(pick: Pick, where: Resolver) -> str:
    """The number of the first row that satisfies, of the last where none does: an array formula."""
    writer = _Writer(where, table=pick.table)
    condition = writer.condition(pick.condition)
    column = next(
        cells for name in sorted(names(pick)) if (cells := where.cells(pick.table, name)) is not None
    )
    met = condition.text if condition.strength == PRODUCT else f"({condition.text})*1"
    return f"IFERROR(MATCH(1,{met},0),ROWS({column.text}))"


def overflow_condition(pick: Pick, where: Resolver) -> str:
    """True where no row satisfies: an array formula too."""
    condition = _Writer(where, table=pick.table).condition(pick.condition)
    return f"ISNA(MATCH(1,({condition.text})*1,0))"


def converted(held: Held, unit: Unit) -> str:
    """A reference to a cell, in another unit of the same dimension."""
    return in_unit(of_cell(held), unit).text


class _Writer:
    def __init__(self, where: Resolver, table: str | None = None) -> None:
        self.where, self.table = where, table

    # -- values ------------------------------------------------------------------------------

    def value(self, node: Node) -> Term:
        match node:
            case Number(value, text):
                said = text if re.fullmatch(r"\d+(\.\d+)?([eE][-+]?\d+)?", text) else repr(value)
                return Term(text=said.upper(), zero=value == 0.0)
            case Name(name):
                return self.name(name)
            case Column(row, column):
                return of_cell(self.where.column(row, column))
            case Negative(of):
                inner = self.value(of)
                return replace(inner, text=f"-{inner.at(ATOM)}", strength=SIGN)
            case Arithmetic("^", base, exponent):
                return self.power(base, exponent)
            case Arithmetic("+" | "-" as op, left, right):
                return self.sum(op, self.value(left), self.value(right))
            case Arithmetic(op, left, right):
                return self.product(op, self.value(left), self.value(right), right)
            case NumberIn(of, unit):
                return self.number(self.value(of), parse_unit(unit))
            case Quantity(of, unit):
                known = parse_unit(unit)
                plain = self.plain(of)
                return replace(
                    plain, scale=exact(known.factor), offset=Fraction(repr(known.offset)), zero=False
                )
            case Call(function, arguments):
                return self.call(function, arguments)
        raise ValueError(f"{type(node).__name__} has no value of its own")

    def name(self, name: str) -> Term:
        if name in CONSTANTS:
            return Term(text="PI()")
        cells = self.where.cells(self.table, name) if self.table is not None else None
        return of_cell(self.where.name(name)) if cells is None else of_cell(cells, many=True)

    def number(self, term: Term, unit: Unit) -> Term:
        written = in_unit(term, unit)
        return replace(written, scale=Fraction(1), offset=Fraction(0))

    def plain(self, node: Node) -> Term:
        """A plain number, its scale written out."""
        return scaled(self.value(node), Fraction(1))

    def sum(self, op: str, left: Term, right: Term) -> Term:
        """Terms of one scale; of temperatures on a scale only the offset that remains is kept."""
        if left.zero and not right.zero:
            left = replace(left, scale=right.scale)
        difference = op == "-" and bool(right.offset)
        if difference and left.offset != right.offset:
            left = scaled(left, left.scale, right.offset)
        offset = Fraction(0) if difference else left.offset + right.offset
        right = replace(scaled(right, left.scale, right.offset), offset=Fraction(0))
        text = (
            right.text if right.strength > SUM or (right.strength == SUM and op == "+") else f"({right.text})"
        )
        if text.startswith("-"):
            text = f"({text})"
        return self.joined(f"{left.at(SUM)}{op}{text}", SUM, left, right, scale=left.scale, offset=offset)

    def product(self, op: str, left: Term, right: Term, divisor: Node) -> Term:
        if op == "*":
            return self.joined(
                f"{left.at(PRODUCT)}*{right.at(PRODUCT)}",
                PRODUCT,
                left,
                right,
                scale=left.scale * right.scale,
            )
        frail = not isinstance(divisor, Number)
        return self.joined(
            f"{left.at(PRODUCT)}/{right.at(POWER)}",
            PRODUCT,
            left,
            right,
            scale=left.scale / right.scale,
            frail=frail,
        )

    def power(self, base: Node, exponent: Node) -> Term:
        under, over, known = self.value(base), self.plain(exponent), constant(exponent)
        whole = known is not None and known.denominator == 1
        if not whole:
            under = scaled(under, Fraction(1))
        scale = under.scale ** int(known) if whole and known is not None else Fraction(1)
        frail = not whole or (known is not None and known < 0)
        return self.joined(f"{under.at(ATOM)}^{over.at(ATOM)}", POWER, under, over, scale=scale, frail=frail)

    def call(self, function: str, arguments: tuple[Node, ...]) -> Term:
        if function == "where":
            return self.choice(arguments)
        if function in ("min", "max"):
            return self.extreme(function, [self.value(argument) for argument in arguments])
        if function in ("whole_up", "whole_down"):
            return self.whole(function, self.plain(arguments[0]))
        if function == "abs":
            inner = self.value(arguments[0])
            return replace(inner, text=f"ABS({inner.text})", strength=ATOM)
        if function == "sqrt":
            inner = self.value(arguments[0])
            root = root_of(inner.scale)
            inner = inner if root is not None else scaled(inner, Fraction(1))
            return replace(
                inner, text=f"SQRT({inner.text})", strength=ATOM, scale=root or Fraction(1), frail=True
            )
        inner = self.plain(arguments[0])
        frail = inner.frail or function in ("ln", "log10")
        return replace(
            inner, text=f"{_ONE_TO_ONE[function]}({inner.text})", strength=ATOM, frail=frail, zero=False
        )

    def whole(self, function: str, x: Term) -> Term:
        """``ceil(x - guard)`` and ``floor(x + guard)``; INT is the floor, of negative numbers too."""
        guard = f"{_GUARD}*MAX(1,ABS({x.text}))"
        if function == "whole_down":
            return replace(x, text=f"INT({x.at(SUM)}+{guard})", strength=ATOM, zero=False)
        return replace(x, text=f"-INT(-({x.at(SUM)}-{guard}))", strength=SIGN, zero=False)

    def extreme(self, function: str, terms: list[Term]) -> Term:
        like = alike(terms)
        if not any(term.many for term in like):
            text = f"{function.upper()}({','.join(term.text for term in like)})"
            return self.joined(text, ATOM, *like, scale=like[0].scale, offset=like[0].offset)
        result, op = like[0], "<=" if function == "min" else ">="  # MIN would swallow the rows
        for term in like[1:]:
            text = f"IF({result.at(SUM)}{op}{term.at(SUM)},{result.text},{term.text})"
            result = self.joined(text, ATOM, result, term, scale=term.scale, offset=term.offset)
        return result

    def choice(self, arguments: tuple[Node, ...]) -> Term:
        condition = self.condition(arguments[0])
        this, other = alike([self.value(arguments[1]), self.value(arguments[2])])
        text = f"IF({condition.text},{this.text},{other.text})"
        return self.joined(text, ATOM, condition, this, other, scale=this.scale, offset=this.offset)

    # -- conditions --------------------------------------------------------------------------

    def condition(self, node: Node) -> Term:
        match node:
            case Comparison(op, left, right):
                return self.comparison(op, self.value(left), self.value(right))
            case Logic(op, left, right):
                return self.logic(op, self.condition(left), self.condition(right))
            case Not(of):
                inner = self.condition(of)
                text = f"1-{inner.at(PRODUCT)}" if inner.many else f"NOT({inner.text})"
                return replace(inner, text=text, strength=SUM if inner.many else ATOM)
        raise ValueError(f"{type(node).__name__} is no condition")

    def comparison(self, op: str, left: Term, right: Term) -> Term:
        """With the guard on the left. An error on either side makes it false, as no number does."""
        left, right = alike([left, right])
        frail = left.frail or right.frail
        if right.zero or left.zero:
            text = f"{left.at(SUM)}{_SAYS[op]}{right.at(SUM)}"
        elif op in _LESS:
            text = f"{left.at(SUM)}{_LESS[op]}{_GUARD}*ABS({left.text}){_SAYS[op]}{right.at(SUM)}"
        else:
            says = "<=" if op == "==" else ">"
            text = f"ABS({left.at(SUM)}-{right.at(PRODUCT)}){says}{_GUARD}*ABS({left.text})"
        if frail:
            return Term(text=f"IFERROR({text},FALSE)", many=left.many or right.many)
        return Term(text=text, strength=COMPARE, many=left.many or right.many)

    def logic(self, op: str, left: Term, right: Term) -> Term:
        if not (left.many or right.many):
            return Term(text=f"{op.upper()}({left.text},{right.text})")
        # AND and OR would swallow the rows.
        if op == "and":
            return Term(text=f"{left.at(PRODUCT)}*{right.at(PRODUCT)}", strength=PRODUCT, many=True)
        return Term(text=f"{left.at(PRODUCT)}+{right.at(PRODUCT)}>0", strength=COMPARE, many=True)

    @staticmethod
    def joined(
        text: str,
        strength: int,
        *parts: Term,
        scale: Fraction,
        offset: Fraction = Fraction(0),
        frail: bool = False,
    ) -> Term:
        return Term(
            text=text,
            strength=strength,
            scale=scale,
            offset=offset,
            many=any(part.many for part in parts),
            frail=frail or any(part.frail for part in parts),
        )


__all__ = [
    "Held",
    "Resolver",
    "cell_condition",
    "cell_formula",
    "converted",
    "exact",
    "overflow_condition",
    "row_formula",
]
