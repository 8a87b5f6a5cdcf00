"""Mutants of a whole book, at the level of its TOML data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from .formulas import FACTOR, UNITS, changes

Data = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """A book with one thing changed. ``where`` names the place ("inputs.crew", "lines.force")."""

    book: str
    where: str
    kind: str
    said: str
    data: Data = field(repr=False, compare=False)

    @property
    def label(self) -> str:
        return f"{self.book}: {self.where}: {self.kind}: {self.said}"


def mutants(name: str, data: Data) -> Iterator[Mutant]:
    """Every mutant of a book, in the order of its text."""
    for where, kind, said, path, value in _changes(data):
        yield Mutant(book=name, where=where, kind=kind, said=said, data=_with(data, path, value))


_Change = tuple[str, str, str, tuple[str | int, ...], Any]
_DROP = object()


def _changes(data: Data) -> Iterator[_Change]:
    for name, raw in data.get("inputs", {}).items():
        yield from _of_input(name, raw, data)
    for name, raw in data.get("tables", {}).items():
        yield from _of_table(name, raw)
    for n, raw in enumerate(data.get("lines", [])):
        where, path = f"lines.{raw['name']}", ("lines", n)
        if raw.get("unit"):
            yield where, "unit", f"{raw['unit']} × m", (*path, "unit"), f"({raw['unit']})*m"
        yield from _of_formula(where, raw["formula"], (*path, "formula"))
    for n, raw in enumerate(data.get("limits", [])):
        yield from _of_formula(f"limits.{n + 1}", raw["holds"], ("limits", n, "holds"))


def _of_formula(where: str, text: str, path: tuple[str | int, ...]) -> Iterator[_Change]:
    for change in changes(text):
        yield where, change.kind, change.said, path, change.text


def _of_input(name: str, raw: Data, data: Data) -> Iterator[_Change]:
    where, path = f"inputs.{name}", ("inputs", name)
    for n, end in enumerate(raw.get("range", ())):
        changed = end * FACTOR if end else 0.07 * raw["range"][1]
        said = f"{'low' if n == 0 else 'high'} end {end} → {changed:.6g}"
        yield where, "range", said, (*path, "range", n), changed
    default = raw.get("default")
    choices = default if isinstance(default, list) else [default]
    number = any(isinstance(choice, int | float) for choice in choices)
    for n, choice in enumerate(choices):
        place = (*path, "default", n) if isinstance(default, list) else (*path, "default")
        if isinstance(choice, str):
            yield from _of_formula(where, choice, place)
            if len(choices) > 1:
                rest = [other for m, other in enumerate(choices) if m != n]
                yield where, "lookup", f"default {choice!r} dropped", (*path, "default"), rest
        elif choice is not None:
            changed = choice * FACTOR if choice else 0.07
            yield where, "constant", f"default {choice} → {changed:.6g}", place, changed
    unit = raw.get("unit", "")
    if unit:
        slip = UNITS.get(unit)
        if slip is not None and (number or "range" in raw):
            yield where, "unit", f"{unit} → {slip}", (*path, "unit"), slip
        else:
            yield where, "unit", f"{unit} × m", (*path, "unit"), f"({unit})*m"
    origin = raw.get("from")
    if origin is not None:
        yield where, "lookup", f"from {origin} dropped", (*path, "from"), _DROP
        other = _other_origin(name, raw, data)
        if other is not None:
            yield where, "lookup", f"from {origin} → {other}", (*path, "from"), other
    for column, unit in raw.get("columns", {}).items():
        if unit not in ("", "text"):
            yield where, "unit", f"{column}: {unit} × m", (*path, "columns", column), f"({unit})*m"


def _other_origin(name: str, raw: Data, data: Data) -> str | None:
    """Where a slip would take this input from: the origin of another of the same unit."""
    for other, entry in data["inputs"].items():
        if other != name and entry.get("from") and entry.get("unit") == raw.get("unit"):
            return str(entry["from"])
    return None


def _of_table(name: str, raw: Data) -> Iterator[_Change]:
    where, path = f"tables.{name}", ("tables", name)
    for column, unit in raw["columns"].items():
        if unit in UNITS:
            yield where, "unit", f"{column}: {unit} → {UNITS[unit]}", (*path, "columns", column), UNITS[unit]
    columns = list(raw["columns"])
    for n, row in enumerate(raw["rows"]):
        for m, cell in enumerate(row):
            if isinstance(cell, int | float):
                changed = cell * FACTOR if cell else 0.07
                said = f"row {n + 1}, {columns[m]}: {cell} → {changed:.6g}"
                yield where, "constant", said, (*path, "rows", n, m), changed


def _with(data: Any, path: tuple[str | int, ...], value: Any) -> Any:
    """A copy along the path with one value put in or dropped."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    copy = data.copy()
    if value is _DROP and not rest:
        del copy[step]
    else:
        copy[step] = _with(data[step], rest, value)
    return copy
