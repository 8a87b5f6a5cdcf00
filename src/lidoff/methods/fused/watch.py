"""Watch: what a generated function reports while it runs: ranges, limits, picked rows, overflows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..book import Book, Input
from ..calculate import Table
from ..run import Warned, said_limit, said_outside, said_overflow
from .spaces import Odd


@dataclass(frozen=True, slots=True)
class Chosen:
    """Picked rows, one a sample, and the row where all samples picked the same."""

    index: NDArray[np.intp]
    alike: int | None


@dataclass(slots=True)
class Watch:
    """Of one run. ``rows`` are the indices that picks chose: one number, or one a sample."""

    book: Book
    warned: list[Warned] = field(default_factory=list)
    rows: dict[str, int | NDArray[np.intp]] = field(default_factory=dict)

    def table(self, name: str, value: Any) -> Table:
        wanted = self.book.inputs[name].columns or {}
        if not isinstance(value, Table) or not value.rows:
            raise Odd
        if any(unit is not None and key not in value.columns for key, unit in wanted.items()):
            raise Odd
        return value

    def single(self, value: Any) -> float:
        """A number that came as another type than float."""
        if np.ndim(value):
            raise Odd
        return float(value)

    def number(self, name: str, value: Any) -> Any:
        """A given input: finite, and a warning where it is outside its range."""
        number = np.asarray(value, dtype=np.float64)[()]
        self._look(self.book.inputs[name], number)
        return number

    def default(
        self, name: str, value: Any, spread: float, draw: Callable[[str, Any, float], Any] | None
    ) -> Any:
        """What a default gave, spread where somebody draws."""
        number = np.asarray(value, dtype=np.float64)[()]
        if draw is not None and spread > 0.0:
            if not np.all(np.isfinite(number)):
                raise Odd
            drawn = draw(name, number, spread)
            number = number if drawn is None else np.asarray(drawn, dtype=np.float64)[()]
        self._look(self.book.inputs[name], number)
        return number

    def _look(self, entry: Input, number: Any) -> None:
        # Two passes: a number that is none shows in the least and the greatest alike.
        low, high = float(number.min()), float(number.max())
        if not (isfinite(low) and isfinite(high)):
            raise Odd
        if entry.low is None or entry.high is None:
            return
        slack = 1e-9 * max(abs(entry.low), abs(entry.high))
        if low < entry.low - slack or high > entry.high + slack:
            self.warned.append(said_outside(entry, number))

    def outside(self, name: str, number: float) -> None:
        if not np.isfinite(number):
            raise Odd
        self.warned.append(said_outside(self.book.inputs[name], number))

    def pick(self, name: str, holds: NDArray[np.bool_]) -> Chosen:
        """First row a sample that holds; the last where none does."""
        mask = np.atleast_2d(holds)
        # Rows passed over before the first that holds, counted row by row: tables have few rows, and
        # numpy looks along the first axis slowly.
        passed = np.logical_not(mask[0])
        index = passed.astype(np.intp)
        for row in mask[1:]:
            passed = np.logical_and(passed, np.logical_not(row))
            index += passed
        if passed.any():
            index[passed] = len(mask) - 1
            self.overflow(name, float(passed.mean()))
        first = int(index[0])
        alike = bool((index == first).all())
        self.rows[name] = first if alike else index
        return Chosen(index, first if alike else None)

    def at(self, table: Table, column: str, row: Chosen) -> Any:
        """Cells of the picked rows; no copy is made where all samples picked the same."""
        cells, index = table.columns[column], row.index
        if index.size == 1:
            return cells[int(index[0])]
        if row.alike is not None:
            return cells[row.alike] if cells.ndim > 1 else np.broadcast_to(cells[row.alike], index.shape)
        return cells.take(index) if cells.ndim == 1 else cells[index, np.arange(index.size)]

    def overflow(self, name: str, share: float) -> None:
        tree: Any = self.book.lines[name].formula.tree
        self.warned.append(said_overflow(name, tree.table, share))

    def limit(self, number: int, holds: Any) -> None:
        held = np.asarray(holds, dtype=bool)
        if not held.all():
            self.warned.append(said_limit(self.book.limits[number], 1.0 - float(held.mean())))
