"""Mutants of one formula: each constant, operator, function, unit and lookup in it, one at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from lidoff.methods.formula import (
    Arithmetic,
    Call,
    Column,
    Comparison,
    Logic,
    Negative,
    Node,
    Not,
    Number,
    NumberIn,
    Pick,
    Quantity,
    parse,
)

from .text import written

FACTOR = 1.07
OPERATORS = {"+": "-", "-": "+", "*": "/", "/": "*", "^": "*"}
TURNED = {"<": ">", "<=": ">=", ">": "<", ">=": "<=", "==": "!=", "!=": "=="}
EDGES = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}
FUNCTIONS = {
    "min": "max", "max": "min", "whole_up": "whole_down", "whole_down": "whole_up", "sin": "cos",
    "cos": "sin", "tan": "atan", "atan": "tan", "ln": "log10", "log10": "ln", "exp": "ln", "sqrt": "abs",
}  # fmt: skip
#: A unit and what a slip would write for it.
UNITS = {
    "mm": "cm", "cm": "mm", "m": "mm", "um": "mm", "mm^2": "cm^2", "cm^2": "mm^2", "m^2": "cm^2",
    "cm^3": "mm^3", "mm^3": "cm^3", "cm^3/s": "mm^3/s", "kN": "N", "N": "kN", "MN": "kN", "MPa": "kPa",
    "GPa": "MPa", "bar": "MPa", "g": "kg", "kg": "g", "t": "kg", "s": "min", "min": "s", "h": "min",
    "year": "month", "month": "year", "rpm": "1/s", "deg": "rad", "degC": "K", "K": "degC", "kW": "W",
    "W": "kW", "A": "kA", "kA": "A", "uohm": "mohm", "mohm": "ohm", "J": "kJ", "kJ": "J",
    "mm/s": "cm/s", "m/min": "m/s", "m/s": "m/min", "money/kg": "money/g", "money/h": "money/min",
    "money/cm^2": "money/m^2", "h/year": "h/month", "1/year": "1/month", "part/year": "part/month",
    "kg/m^3": "g/cm^3", "shot/min": "shot/h", "s/shot": "min/shot", "s/part": "min/part",
    "g/part": "kg/part", "kg/part": "g/part", "t/h": "kg/h", "mm^2/s": "cm^2/s", "N*m": "N*mm",
    "kg/m^2": "g/m^2", "g/m^2": "kg/m^2", "money/m": "money/mm", "percent": "", "mm/min": "mm/s",
    "mm^3/s": "cm^3/s", "N/mm": "N/m", "W/m^2": "kW/m^2", "kW/m^2": "W/m^2",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Change:
    """What was changed (its kind and how it reads) and the formula that comes of it."""

    kind: str
    said: str
    text: str


def changes(text: str) -> Iterator[Change]:
    """All mutants of a formula that read differently from it."""
    tree = parse(text)
    for kind, said, mutant in _mutants(tree):
        yield Change(kind, said, written(mutant))


_Mutants = Iterator[tuple[str, str, Node]]


def _mutants(node: Node) -> _Mutants:
    yield from _here(node)
    yield from _below(node)


def _here(node: Node) -> _Mutants:
    match node:
        case Number(value, text):
            changed = f"{value * FACTOR:.12g}" if value else "0.07"
            yield "constant", f"{text} → {changed}", Number(float(changed), changed)
        case Arithmetic(op, left, right):
            other = OPERATORS[op]
            yield "operator", f"{op} → {other} in {written(node)}", Arithmetic(other, left, right)
        case Negative(of):
            yield "operator", f"sign dropped in {written(node)}", of
        case Comparison(op, left, right):
            other = TURNED[op]
            yield "comparison", f"{op} → {other} in {written(node)}", Comparison(other, left, right)
            if op in EDGES:
                yield "edge", f"{op} → {EDGES[op]} in {written(node)}", Comparison(EDGES[op], left, right)
        case Logic(op, left, right):
            other = "or" if op == "and" else "and"
            yield "condition", f"{op} → {other} in {written(node)}", Logic(other, left, right)
            yield "condition", f"{written(right)} dropped", left
            yield "condition", f"{written(left)} dropped", right
        case Not(of):
            yield "condition", f"not dropped in {written(node)}", of
        case Call("where", (condition, yes, no)):
            yield "condition", f"branches swapped in {written(node)}", Call("where", (condition, no, yes))
        case Call(function, arguments):
            if function in FUNCTIONS:
                other = FUNCTIONS[function]
                yield "function", f"{function} → {other} in {written(node)}", Call(other, arguments)
            if function in ("min", "max"):
                for n, kept in enumerate(arguments):
                    yield "function", f"only argument {n + 1} of {written(node)}", kept
            elif len(arguments) == 1:
                yield "function", f"{function} dropped in {written(node)}", arguments[0]
        case NumberIn(of, unit) if unit in UNITS:
            other = UNITS[unit]
            yield "unit", f"{unit} → {other} in {written(node)}", NumberIn(of, other)
        case Quantity(of, unit) if unit in UNITS:
            other = UNITS[unit]
            yield "unit", f"{unit} → {other} in {written(node)}", Quantity(of, other)
        case Pick(table, condition):
            for said, asking in _thresholds(condition):
                yield "lookup", f"{said} in {written(node)}", Pick(table, asking)
        case _:
            return


def _thresholds(condition: Node) -> Iterator[tuple[str, Node]]:
    """The condition asking more, and less, than it should."""
    match condition:
        case Logic(op, left, right):
            yield from ((said, Logic(op, changed, right)) for said, changed in _thresholds(left))
            yield from ((said, Logic(op, left, changed)) for said, changed in _thresholds(right))
        case Comparison(op, left, right):
            factor = Number(FACTOR, str(FACTOR))
            yield f"{written(right)} × {FACTOR}", Comparison(op, left, Arithmetic("*", right, factor))
            yield f"{written(right)} / {FACTOR}", Comparison(op, left, Arithmetic("/", right, factor))
        case _:
            return


def _below(node: Node) -> _Mutants:
    """Mutants of the parts, each put back into its place."""
    match node:
        case Arithmetic(op, left, right):
            yield from ((kind, said, Arithmetic(op, new, right)) for kind, said, new in _mutants(left))
            yield from ((kind, said, Arithmetic(op, left, new)) for kind, said, new in _mutants(right))
        case Comparison(op, left, right):
            yield from ((kind, said, Comparison(op, new, right)) for kind, said, new in _mutants(left))
            yield from ((kind, said, Comparison(op, left, new)) for kind, said, new in _mutants(right))
        case Logic(op, left, right):
            yield from ((kind, said, Logic(op, new, right)) for kind, said, new in _mutants(left))
            yield from ((kind, said, Logic(op, left, new)) for kind, said, new in _mutants(right))
        case Negative(of):
            yield from ((kind, said, Negative(new)) for kind, said, new in _mutants(of))
        case Not(of):
            yield from ((kind, said, Not(new)) for kind, said, new in _mutants(of))
        case NumberIn(of, unit):
            yield from ((kind, said, NumberIn(new, unit)) for kind, said, new in _mutants(of))
        case Quantity(of, unit):
            yield from ((kind, said, Quantity(new, unit)) for kind, said, new in _mutants(of))
        case Pick(table, condition):
            yield from ((kind, said, Pick(table, new)) for kind, said, new in _mutants(condition))
        case Call(function, arguments):
            for n, argument in enumerate(arguments):
                for kind, said, new in _mutants(argument):
                    yield kind, said, Call(function, (*arguments[:n], new, *arguments[n + 1 :]))
        case Column() | _:
            return
