"""Loading: a TOML method book read, checked whole and compiled, or refused with its line."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Any

from ..quantities import Basis, Unit
from ..quantities.defaults import RELATIVE
from .book import Book, BookError, BookTable, Default, Formula, Input, Limit, Line
from .brief import brief
from .dimensions import Kind, RowKind, TableKind, check_condition, check_value, kind_of
from .formula import FormulaError, Pick, names, parse
from .functions import CONSTANTS, FUNCTIONS
from .load_checks import CheckReader
from .page import Page, is_number
from .places import Places

_LARGEST = 200_000  # characters of a book


def load_book(path: Path | str) -> Book:
    """Read one method book. Raises `BookError` ("file:line: reason")."""
    file = Path(path)
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BookError(f"{file}:1: it cannot be read as text: {error}") from error
    return read_book(text, name=file.stem, file=_shown(file))


def read_book(text: str, *, name: str, file: str) -> Book:
    """Read a method book from its text; ``file`` is what errors call it."""
    if len(text) > _LARGEST:
        raise BookError(f"{file}:1: it is longer than {_LARGEST} characters")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        place = str(error).partition("(at line ")[2].partition(",")[0]
        raise BookError(f"{file}:{place or 1}: it is not well-formed TOML: {error}") from error
    return book_of(data, name=name, file=file, places=Places(text))


def book_of(data: dict[str, Any], *, name: str, file: str, places: Places | None = None) -> Book:
    """The book that the data of a TOML file describes. Raises `BookError`."""
    return _Loader(data, name, file, places or Places("")).book()


def _shown(file: Path) -> str:
    parts = file.parts
    return "/".join(parts[parts.index("books") :]) if "books" in parts else str(file)


class _Loader:
    """Builds a book part by part, keeping the place for errors."""

    def __init__(self, data: dict[str, Any], name: str, file: str, places: Places) -> None:
        self.data, self.name, self.page = data, name, Page(file, places)
        self.scope: dict[str, Kind] = {}
        self.inputs: dict[str, Input] = {}
        self.tables: dict[str, BookTable] = {}
        self.lines: dict[str, Line] = {}

    def book(self) -> Book:
        self.page.keys(self.data, "title about topic outputs inputs tables lines limits checks", "the book")
        self.read_scope()
        order, needs = self.order()
        self.check_dimensions()
        outputs = tuple(self.page.list_of(self.data, "outputs", "the book")) or tuple(
            name for name, line in self.lines.items() if not line.is_row
        )
        for output in outputs:
            if output not in self.lines or self.lines[output].is_row:
                raise self.page.refuse(f"output {brief(output)} is not a line with a value", "outputs")
        used = frozenset().union(*(line.formula.names for line in self.lines.values()))
        checks = CheckReader(self.page, self.inputs, self.lines)
        return Book(
            name=self.name,
            title=self.page.word(self.data, "title", "title"),
            about=self.page.word(self.data, "about", "about", needed=False),
            topic=self.page.word(self.data, "topic", "topic"),
            file=self.page.file,
            inputs=self.inputs,
            tables=self.tables,
            lines=self.lines,
            limits=tuple(self.limit(n, raw) for n, raw in enumerate(self.data.get("limits", []))),
            checks=tuple(checks.check(n, raw) for n, raw in enumerate(self.data.get("checks", []))),
            outputs=outputs,
            order=order,
            needs=needs,
            final=frozenset(self.lines.keys() - used | set(outputs)),
        )

    # -- names and units ---------------------------------------------------------------------

    def read_scope(self) -> None:
        """Inputs, tables and lines with their units; what each name stands for."""
        for name, raw in self.data.get("inputs", {}).items():
            self.new_name(name, "inputs", name)
            self.inputs[name] = self.input(name, raw)
            columns = self.inputs[name].columns
            self.scope[name] = self.inputs[name].unit.dimension if columns is None else TableKind(columns)
        for name, raw in self.data.get("tables", {}).items():
            self.new_name(name, "tables", name)
            self.tables[name] = self.table(name, raw)
            self.scope[name] = TableKind(self.tables[name].units)
        raws = self.data.get("lines", [])
        if not raws:
            raise self.page.refuse("a book needs at least one line")
        for n, raw in enumerate(raws):
            line = self.line(n, raw)
            self.new_name(line.name, "lines", n, "name")
            self.lines[line.name] = line
            self.scope[line.name] = line.unit.dimension if line.columns is None else RowKind(line.columns)

    def new_name(self, name: str, *path: str | int) -> None:
        try:
            tree = parse(name)
        except FormulaError as error:
            raise self.page.refuse(
                f"{brief(name)} is not a name a formula can use: {error}", *path
            ) from error
        if names(tree) != {name} or name in FUNCTIONS or name in CONSTANTS:
            raise self.page.refuse(f"{brief(name)} is not a name a formula can use", *path)
        if name in self.scope:
            raise self.page.refuse(f"the name {name!r} is used twice", *path)

    # -- parts -------------------------------------------------------------------------------

    def input(self, name: str, raw: Any) -> Input:
        at = ("inputs", name)
        self.page.keys(raw, "unit about range default basis spread from source columns", f"input {name}", *at)
        columns = self.page.columns(raw["columns"], *at, "columns") if "columns" in raw else None
        if columns is not None and ("default" in raw or "range" in raw or raw.get("unit")):
            raise self.page.refuse(f"table input {name} takes no unit, range or default", *at)
        if columns is None and "unit" not in raw:
            raise self.page.refuse(f'input {name} has no unit (write unit = "" for a plain number)', *at)
        unit = self.page.unit(raw.get("unit", ""), *at, "unit")
        low, high, said = self.range(name, raw, unit)
        return Input(
            name=name,
            unit=unit,
            about=self.page.word(raw, "about", f"about of input {name}", *at),
            columns=columns,
            low=low,
            high=high,
            range_text=said,
            default=self.default(name, raw, unit) if "default" in raw else None,
            comes_from=raw.get("from"),
            source=raw.get("source"),
        )

    def range(self, name: str, raw: Mapping[str, Any], unit: Unit) -> tuple[float | None, float | None, str]:
        if "range" not in raw:
            return None, None, ""
        at = ("inputs", name, "range")
        bounds = raw["range"]
        if not (isinstance(bounds, list) and len(bounds) == 2 and all(is_number(b) for b in bounds)):
            raise self.page.refuse(
                f"range of input {name} is [low, high] in {unit.text or 'plain numbers'}", *at
            )
        if bounds[0] >= bounds[1]:
            raise self.page.refuse(f"range of input {name} has its low end above its high end", *at)
        return (
            unit.to_si(bounds[0]),
            unit.to_si(bounds[1]),
            f"{bounds[0]:g} to {bounds[1]:g} {unit.text}".strip(),
        )

    def default(self, name: str, raw: Mapping[str, Any], unit: Unit) -> Default:
        at = ("inputs", name, "default")
        try:
            basis = Basis(raw.get("basis", Basis.ESTIMATED))
        except ValueError as error:
            raise self.page.refuse(
                f"{brief(raw['basis'])} is not a basis", "inputs", name, "basis"
            ) from error
        spread = raw.get("spread", RELATIVE.get(basis, 0.0))
        if not is_number(spread) or not 0.0 <= spread <= 3.0:
            raise self.page.refuse(
                f"spread of input {name} is a relative uncertainty from 0 to 3", "inputs", name, "spread"
            )
        value = raw["default"]
        choices = list(value) if isinstance(value, list) else [value]
        if not choices:
            raise self.page.refuse(f"default of input {name} is an empty list", *at)
        number = None
        if is_number(choices[-1]):
            number = unit.to_si(choices.pop() if isinstance(value, list) else value)
            choices = choices if isinstance(value, list) else []
        formulas = tuple(self.page.formula(choice, *at) for choice in choices)
        return Default(formulas=formulas, number=number, basis=basis, spread=spread)

    def table(self, name: str, raw: Any) -> BookTable:
        at = ("tables", name)
        self.page.keys(raw, "columns rows source", f"table {name}", *at)
        units = self.page.columns(raw.get("columns"), *at, "columns")
        rows = raw.get("rows")
        if not isinstance(rows, list) or not rows:
            raise self.page.refuse(f"table {name} has no rows", *at)
        for row in rows:
            if not isinstance(row, list) or len(row) != len(units):
                raise self.page.refuse(
                    f"a row of table {name} does not have {len(units)} columns: {row}", *at, "rows"
                )
        return BookTable(
            name=name,
            units=units,
            table=self.page.filled(units, rows, f"table {name}", *at),
            source=raw.get("source"),
        )

    def line(self, n: int, raw: Any) -> Line:
        at = ("lines", n)
        self.page.keys(raw, "name unit formula about source", f"line {n + 1}", *at)
        name = self.page.word(raw, "name", f"name of line {n + 1}", *at)
        formula = self.page.formula(raw.get("formula"), *at, "formula")
        columns = self.picked(formula, *at, "formula")
        if columns is None and "unit" not in raw:
            raise self.page.refuse(f'line {name} has no unit (write unit = "" for a plain number)', *at)
        if columns is not None and raw.get("unit"):
            raise self.page.refuse(f"line {name} picks a row, which has no unit", *at)
        return Line(
            name=name,
            unit=self.page.unit(raw.get("unit", ""), *at, "unit"),
            formula=formula,
            about=raw.get("about", ""),
            source=raw.get("source"),
            columns=columns,
        )

    def picked(self, formula: Formula, *path: str | int) -> Mapping[str, Unit | None] | None:
        if not isinstance(formula.tree, Pick):
            return None
        kind = self.scope.get(formula.tree.table)
        if not isinstance(kind, TableKind):
            raise self.page.refuse(f"pick() looks in a table, and {formula.tree.table!r} is none", *path)
        return kind.columns

    def limit(self, n: int, raw: Any) -> Limit:
        at = ("limits", n)
        self.page.keys(raw, "holds says", f"limit {n + 1}", *at)
        formula = self.page.formula(raw.get("holds"), *at, "holds")
        try:
            check_condition(formula.tree, self.scope)
        except FormulaError as error:
            raise self.page.refuse(f"limit {brief(formula.text)}: {error}", *at, "holds") from error
        return Limit(holds=formula, says=self.page.word(raw, "says", f"says of limit {n + 1}", *at))

    # -- the whole ---------------------------------------------------------------------------

    def order(self) -> tuple[tuple[str, ...], dict[str, tuple[str, ...]]]:
        """Inputs and lines so that each comes after what it needs, and what each line needs.

        A circle is refused.
        """
        needs: dict[str, set[str]] = {}
        for name, entry in self.inputs.items():
            formulas = entry.default.formulas if entry.default else ()
            needs[name] = set().union(*(formula.names for formula in formulas)) & self.scope.keys()
        for name, line in self.lines.items():
            needs[name] = set(line.formula.names & self.scope.keys())
        for name in needs:
            needs[name] -= self.tables.keys()
        try:
            order = tuple(TopologicalSorter(needs).static_order())
        except CycleError as error:
            circle = error.args[1]
            first = circle[0]
            place = (
                ("inputs", first, "default")
                if first in self.inputs
                else ("lines", list(self.lines).index(first), "formula")
            )
            raise self.page.refuse(
                f"names go round in a circle: {' → '.join(reversed(circle))}", *place
            ) from error
        below: dict[str, set[str]] = {}
        for name in order:
            below[name] = {name}.union(*(below[needed] for needed in needs[name]))
        return order, {line: tuple(name for name in order if name in below[line]) for line in self.lines}

    def check_dimensions(self) -> None:
        for name, entry in self.inputs.items():
            for formula in entry.default.formulas if entry.default else ():
                self.dimension(formula, entry.unit, f"default of {name}", "inputs", name, "default")
        for n, line in enumerate(self.lines.values()):
            self.dimension(
                line.formula, None if line.is_row else line.unit, f"line {line.name}", "lines", n, "formula"
            )

    def dimension(self, formula: Formula, unit: Unit | None, what: str, *path: str | int) -> None:
        try:
            if unit is None:
                kind_of(formula.tree, self.scope)
            else:
                check_value(formula.tree, self.scope, unit)
        except FormulaError as error:
            raise self.page.refuse(f"{what} = {brief(formula.text)}: {error}", *path) from error
