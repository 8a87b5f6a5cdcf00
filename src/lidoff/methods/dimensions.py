"""Dimension check of formulas: what kind of thing a formula gives, or why it cannot be right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ..quantities import Dimension, Unit, UnitError, parse_unit
from .brief import listed
from .formula import (
    Arithmetic,
    Call,
    Column,
    Comparison,
    FormulaError,
    Logic,
    Name,
    Negative,
    Node,
    Not,
    Number,
    NumberIn,
    Pick,
    Quantity,
    children,
)
from .functions import CONSTANTS, FUNCTIONS

LARGEST_POWER = 20
PLAIN = Dimension()


@dataclass(frozen=True, slots=True)
class Zero:
    """The literal 0, which fits any dimension (but not a temperature on a scale)."""

    def __str__(self) -> str:
        return "zero"


@dataclass(frozen=True, slots=True)
class Truth:
    """What a comparison gives."""

    def __str__(self) -> str:
        return "a condition"


@dataclass(frozen=True, slots=True)
class TableKind:
    """A table with its columns; ``None`` for a column of words."""

    columns: Mapping[str, Unit | None]

    def __str__(self) -> str:
        return "a table"


@dataclass(frozen=True, slots=True)
class RowKind:
    """A row that `pick` chose."""

    columns: Mapping[str, Unit | None]

    def __str__(self) -> str:
        return "a row of a table"


Kind = Dimension | Zero | Truth | TableKind | RowKind
Scope = Mapping[str, Kind]


def kind_of(node: Node, scope: Scope) -> Kind:
    """The kind of thing a formula gives. Raises `FormulaError` where dimensions disagree."""
    match node:
        case Number(value, _):
            return Zero() if value == 0.0 else PLAIN
        case Name(name):
            return _name(name, scope)
        case Column(row, column):
            return _column(row, column, scope)
        case Negative(of):
            kind = _value(of, scope)
            _refuse_scale(kind, "negated")
            return kind
        case Arithmetic("^", base, exponent):
            return _power(base, exponent, scope)
        case Arithmetic(op, left, right):
            return _arithmetic(op, _value(left, scope), _value(right, scope))
        case Comparison(op, left, right):
            _alike(_value(left, scope), _value(right, scope), f"two sides of {op}")
            return Truth()
        case Logic(op, left, right):
            _truth(left, scope, op)
            _truth(right, scope, op)
            return Truth()
        case Not(of):
            _truth(of, scope, "not")
            return Truth()
        case NumberIn(of, unit):
            return _number_in(_value(of, scope), unit)
        case Quantity(of, unit):
            _plain(_value(of, scope), "the first argument of quantity()")
            return _unit(unit).dimension
        case Pick(table, condition):
            return _pick(table, condition, scope)
        case Call(function, arguments):
            return _call(function, arguments, scope)


def check_value(node: Node, scope: Scope, unit: Unit) -> None:
    """Raise `FormulaError` unless the formula gives what the declared unit says."""
    kind = _value(node, scope)
    if isinstance(kind, Zero):
        if unit.dimension.absolute:
            raise FormulaError("the literal 0 is no temperature on a scale")
        return
    if kind != unit.dimension:
        declared = f"{unit.text!r} ({unit.dimension})" if unit.text else "a plain number"
        raise FormulaError(f"it gives {kind}, but its unit is declared as {declared}")


def check_condition(node: Node, scope: Scope) -> None:
    """Raise `FormulaError` unless the formula is a condition."""
    kind = kind_of(node, scope)
    if not isinstance(kind, Truth):
        raise FormulaError(f"a condition such as x <= 2 is wanted, but this gives {kind}")


def constant(node: Node) -> Fraction | None:
    """The value of a formula made of numbers only, or ``None``."""
    match node:
        case Number(value, _):
            return Fraction(value).limit_denominator(10_000)
        case Negative(of):
            inner = constant(of)
            return None if inner is None else -inner
        case Arithmetic(op, left, right) if op != "^":
            a, b = constant(left), constant(right)
            if a is None or b is None or (op == "/" and b == 0):
                return None
            return {"+": a + b, "-": a - b, "*": a * b, "/": a / b if b else a}[op]
    return None


def _name(name: str, scope: Scope) -> Kind:
    if name in CONSTANTS:
        return PLAIN
    if name not in scope:
        raise FormulaError(f"unknown name {name!r}")
    return scope[name]


def _column(row: str, column: str, scope: Scope) -> Kind:
    kind = _name(row, scope)
    if not isinstance(kind, RowKind):
        raise FormulaError(
            f"attribute access {row}.{column} is not allowed: {row} is not a row chosen by pick()"
        )
    if column not in kind.columns:
        raise FormulaError(f"{row} has no column {column!r}, only {listed(kind.columns)}")
    unit = kind.columns[column]
    if unit is None:
        raise FormulaError(f"column {row}.{column} holds words and cannot be calculated with")
    return unit.dimension


def _value(node: Node, scope: Scope) -> Dimension | Zero:
    kind = kind_of(node, scope)
    if not isinstance(kind, Dimension | Zero):
        raise FormulaError(f"a value is wanted where {kind} stands")
    return kind


def _truth(node: Node, scope: Scope, op: str) -> None:
    if not isinstance(kind_of(node, scope), Truth):
        raise FormulaError(f"{op!r} joins conditions, not values")


def _plain(kind: Dimension | Zero, what: str) -> None:
    if isinstance(kind, Dimension) and (kind.exponents or kind.absolute):
        raise FormulaError(f"{what} must be a plain number, not {kind}")


def _refuse_scale(kind: Dimension | Zero, what: str) -> None:
    if isinstance(kind, Dimension) and kind.absolute:
        raise FormulaError(f"a temperature on a scale cannot be {what}")


def _alike(a: Dimension | Zero, b: Dimension | Zero, what: str) -> Dimension | Zero:
    if isinstance(a, Zero):
        _refuse_scale(b, "set against the literal 0")
        return b
    if isinstance(b, Zero):
        _refuse_scale(a, "set against the literal 0")
        return a
    if a != b:
        raise FormulaError(f"the {what} disagree: {a} against {b}")
    return a


def _arithmetic(op: str, a: Dimension | Zero, b: Dimension | Zero) -> Dimension | Zero:
    if op in "+-":
        return _sum(op, a, b)
    _refuse_scale(a, "multiplied or divided")
    _refuse_scale(b, "multiplied or divided")
    left = PLAIN if isinstance(a, Zero) else a
    right = PLAIN if isinstance(b, Zero) else b
    if isinstance(b, Zero) and op == "/":
        raise FormulaError("it divides by the literal 0")
    return left * right if op == "*" else left / right


def _sum(op: str, a: Dimension | Zero, b: Dimension | Zero) -> Dimension | Zero:
    """Scale - scale is a difference; scale ± difference is a scale; scale + scale is nonsense."""
    a_scale = isinstance(a, Dimension) and a.absolute
    b_scale = isinstance(b, Dimension) and b.absolute
    if not a_scale and not b_scale:
        return _alike(a, b, f"two sides of {op}")
    if isinstance(a, Zero) or isinstance(b, Zero):
        raise FormulaError("the literal 0 cannot be added to a temperature on a scale")
    if a.exponents != b.exponents:
        raise FormulaError(f"the two sides of {op} disagree: {a} against {b}")
    if a_scale and b_scale:
        if op == "+":
            raise FormulaError("two temperatures on a scale cannot be added, only subtracted")
        return Dimension(a.exponents)
    if b_scale and op == "-":
        raise FormulaError("a temperature on a scale cannot be taken from a difference")
    return Dimension(a.exponents, absolute=True)


def _power(base: Node, exponent: Node, scope: Scope) -> Dimension | Zero:
    kind = _value(base, scope)
    _refuse_scale(kind, "raised to a power")
    _plain(_value(exponent, scope), "an exponent")
    power = constant(exponent)
    if power is not None and abs(power) > LARGEST_POWER:
        raise FormulaError(f"a power of {float(power):g} is larger than {LARGEST_POWER}")
    if isinstance(kind, Zero) or not kind.exponents:
        return PLAIN
    if power is None:
        raise FormulaError(f"the exponent of {kind} must be a constant number")
    return kind**power


def _number_in(kind: Dimension | Zero, text: str) -> Dimension:
    unit = _unit(text)
    if isinstance(kind, Zero):
        return PLAIN
    # A temperature on a scale may be asked for in kelvin: that is its thermodynamic value.
    if kind.exponents != unit.dimension.exponents or (unit.dimension.absolute and not kind.absolute):
        raise FormulaError(f"number() cannot give {kind} in {text!r} ({unit.dimension})")
    return PLAIN


def _unit(text: str) -> Unit:
    try:
        return parse_unit(text)
    except UnitError as error:
        raise FormulaError(str(error)) from error


def _pick(table: str, condition: Node, scope: Scope) -> RowKind:
    kind = _name(table, scope)
    if not isinstance(kind, TableKind):
        raise FormulaError(f"pick() looks in a table, and {table} is {kind}")
    used = _bare_names(condition)
    for name in sorted(used & kind.columns.keys()):
        if name in scope:
            raise FormulaError(f"{name!r} is both a column of {table} and a name of the book: rename one")
        if kind.columns[name] is None:
            raise FormulaError(f"column {name!r} of {table} holds words and cannot be compared")
    if not used & kind.columns.keys():
        raise FormulaError(f"the condition of pick() names no column of {table}")
    columns = {name: unit.dimension for name, unit in kind.columns.items() if unit is not None}
    check_condition(condition, {**scope, **columns})
    return RowKind(kind.columns)


def _bare_names(node: Node) -> set[str]:
    if isinstance(node, Name):
        return {node.name}
    return set().union(*(_bare_names(child) for child in children(node)))


def _call(function: str, arguments: tuple[Node, ...], scope: Scope) -> Dimension | Zero:
    how = FUNCTIONS[function].kind
    if how == "choice":
        check_condition(arguments[0], scope)
        return _alike(_value(arguments[1], scope), _value(arguments[2], scope), "branches of where()")
    kinds = [_value(argument, scope) for argument in arguments]
    if how == "plain":
        _plain(kinds[0], f"the argument of {function}()")
        return PLAIN
    if how == "root":
        _refuse_scale(kinds[0], "put under a root")
        return PLAIN if isinstance(kinds[0], Zero) else kinds[0] ** Fraction(1, 2)
    if function == "abs":
        _refuse_scale(kinds[0], "made absolute")
    result = kinds[0]
    for kind in kinds[1:]:
        result = _alike(result, kind, f"arguments of {function}()")
    return result
