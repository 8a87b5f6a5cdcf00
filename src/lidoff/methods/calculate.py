"""Calculation: a checked formula tree made into a function over numbers and sample arrays, once.

The function takes the values by name and broadcasts; it never raises on bad numbers (every
branch of a conditional is computed and masked), so callers look at what comes out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..quantities import parse_unit
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
from .functions import COMPARE, CONSTANTS, FUNCTIONS

Array = NDArray[np.float64]
Value = float | Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows to look things up in, in SI. A column has shape (rows,), or (rows, samples).

    ``words`` holds columns of words. The order of rows matters: `pick` takes the first that fits.
    """

    columns: Mapping[str, Array]
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    _numbers: dict[str, list[float]] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def rows(self) -> int:
        return len(next(iter(self.columns.values()))) if self.columns else 0

    def numbers(self, column: str) -> list[float]:
        """A column as plain numbers. Raises ``ValueError`` where it holds samples."""
        known = self._numbers.get(column)
        if known is None:
            cells = self.columns[column]
            if cells.ndim != 1:
                raise ValueError(f"column {column} holds samples")
            known = self._numbers[column] = cells.tolist()
        return known

    def upright(self, column: str) -> Array:
        """A column to be set against samples: shape (rows, 1) or (rows, samples)."""
        cells = self.columns[column]
        return cells if cells.ndim > 1 else cells[:, None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What `pick` chose, per sample: columns, the row's index, and where no row fitted."""

    table: str
    columns: Mapping[str, Value]
    words: Mapping[str, tuple[str, ...]]
    index: NDArray[np.intp]
    overflow: NDArray[np.bool_]

    @property
    def label(self) -> str:
        """The words of the first sample's row, or its number in the table."""
        first = int(self.index[0])
        return ", ".join(words[first] for words in self.words.values()) or f"row {first + 1}"


Environment = Mapping[str, Any]
Calculation = Callable[[Environment], Any]

_ARITHMETIC: dict[str, Callable[[Any, Any], Any]] = {
    "+": np.add, "-": np.subtract, "*": np.multiply, "/": np.divide, "^": np.power,
}  # fmt: skip


def compiled(node: Node) -> Calculation:
    """Make a function of a formula that has passed the dimension check."""
    match node:
        case Number(value, _):
            number = np.float64(value)
            return lambda env: number
        case Name(name):
            if name in CONSTANTS:
                known = np.float64(CONSTANTS[name])
                return lambda env: known
            return lambda env: env[name]
        case Column(row, column):
            return lambda env: env[row].columns[column]
        case Negative(of):
            inner = compiled(of)
            return lambda env: -inner(env)
        case Arithmetic(op, left, right):
            return _two(_ARITHMETIC[op], compiled(left), compiled(right))
        case Comparison(op, left, right):
            return _two(COMPARE[op], compiled(left), compiled(right))
        case Logic(op, left, right):
            join = np.logical_and if op == "and" else np.logical_or
            return _two(join, compiled(left), compiled(right))
        case Not(of):
            condition = compiled(of)
            return lambda env: np.logical_not(condition(env))
        case NumberIn(of, text):
            return _scaled(compiled(of), text, into=False)
        case Quantity(of, text):
            return _scaled(compiled(of), text, into=True)
        case Pick(table, condition):
            chosen = compiled(condition)
            return lambda env: _pick(table, chosen, env)
        case Call(function, arguments):
            return _call(function, tuple(compiled(argument) for argument in arguments))


def _two(act: Callable[[Any, Any], Any], left: Calculation, right: Calculation) -> Calculation:
    return lambda env: act(left(env), right(env))


def _scaled(inner: Calculation, text: str, *, into: bool) -> Calculation:
    unit = parse_unit(text)
    factor, offset = np.float64(unit.factor), np.float64(unit.offset)
    if into:
        return lambda env: inner(env) * factor + offset
    return lambda env: (inner(env) - offset) / factor


def _call(function: str, arguments: tuple[Calculation, ...]) -> Calculation:
    act = FUNCTIONS[function].compute
    if act is None:
        raise ValueError(f"{function} has a node of its own")
    if len(arguments) == 1:
        (only,) = arguments
        return lambda env: act(only(env))
    return lambda env: act(*(argument(env) for argument in arguments))


def _pick(name: str, condition: Calculation, env: Environment) -> Row:
    """First row per sample that satisfies the condition; the last where none does."""
    table: Table = env[name]
    upright = {key: column if column.ndim > 1 else column[:, None] for key, column in table.columns.items()}
    mask = np.atleast_2d(condition({**env, **upright}))
    found = mask.any(axis=0)
    index = np.where(found, mask.argmax(axis=0), table.rows - 1)
    columns = {key: _at(column, index) for key, column in table.columns.items()}
    return Row(table=name, columns=columns, words=table.words, index=index, overflow=np.logical_not(found))


def _at(column: Array, index: NDArray[np.intp]) -> Value:
    if index.size == 1:
        chosen: Value = column[int(index[0])]
        return chosen
    if column.ndim == 1:
        return column[index]
    return column[index, np.arange(index.size)]
