"""What reading a book needs everywhere: the file's place for errors, units, formulas, words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from ..quantities import Unit, UnitError, parse_unit
from .amounts import AmountError, read_amount
from .book import BookError, Formula
from .brief import brief
from .calculate import Array, Table, compiled
from .formula import FormulaError, names, parse
from .places import Places

Units = Mapping[str, Unit | None]


class Page:
    """A book's file while it is read. Everything it refuses, it refuses with file and line."""

    def __init__(self, file: str, places: Places) -> None:
        self.file, self.places = file, places

    def refuse(self, reason: str, *path: str | int) -> BookError:
        return BookError(f"{self.file}:{self.places.line(*path)}: {reason}")

    def unit(self, text: str, *path: str | int) -> Unit:
        if not isinstance(text, str):
            raise self.refuse(f"a unit is text in quotes, not {brief(text)}", *path)
        try:
            unit = parse_unit(text)
        except UnitError as error:
            raise self.refuse(str(error), *path) from error
        if unit.money is not None:
            raise self.refuse(f"unit {text!r} names a currency: write money, the price book brings it", *path)
        return unit

    def columns(self, raw: Any, *path: str | int) -> Units:
        if not isinstance(raw, dict) or not raw:
            raise self.refuse('columns are given as {name = "unit", …}', *path)
        units: dict[str, Unit | None] = {}
        for name, text in raw.items():
            units[name] = None if text == "text" else self.unit(text, *path)
        return units

    def formula(self, text: Any, *path: str | int) -> Formula:
        if not isinstance(text, str):
            raise self.refuse(f"a formula is text in quotes, not {brief(text)}", *path)
        try:
            tree = parse(text)
            return Formula(text=text, tree=tree, names=names(tree), calculate=compiled(tree))
        except (FormulaError, UnitError) as error:
            raise self.refuse(f"formula {brief(text)}: {error}", *path) from error

    def amount(self, text: Any, unit: Unit, name: str, *path: str | int) -> float:
        try:
            return read_amount(text, unit)
        except (AmountError, TypeError, ValueError) as error:
            raise self.refuse(f"{name}: {error}", *path) from error

    def filled(self, units: Units, rows: list[list[Any]], what: str, *path: str | int) -> Table:
        """Rows of plain values, in the columns' units, as a table in SI."""
        columns: dict[str, Array] = {}
        words: dict[str, tuple[str, ...]] = {}
        for n, (key, unit) in enumerate(units.items()):
            column = [row[n] for row in rows]
            if unit is None:
                words[key] = tuple(str(value) for value in column)
            elif all(is_number(value) for value in column):
                columns[key] = np.array([unit.to_si(value) for value in column])
            else:
                raise self.refuse(f"column {key} of {what} holds something that is no number", *path)
        return Table(columns=columns, words=words)

    def keys(self, raw: Any, allowed: str, what: str, *path: str | int) -> None:
        if not isinstance(raw, dict):
            raise self.refuse(f"{what} is not a table of keys", *path)
        for key in raw:
            if key not in allowed.split():
                raise self.refuse(
                    f"{what} has an unknown key {brief(key)} (known: {', '.join(allowed.split())})",
                    *path,
                    key,
                )

    def word(self, raw: Mapping[str, Any], key: str, what: str, *path: str | int, needed: bool = True) -> str:
        value = raw.get(key, "")
        if not isinstance(value, str) or (needed and not value.strip()):
            raise self.refuse(f"the {what} is missing or not text", *path, key)
        return value

    def list_of(self, raw: Mapping[str, Any], key: str, what: str) -> list[str]:
        value = raw.get(key, [])
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            raise self.refuse(f"{key} of {what} is a list of names", key)
        return value


def is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
