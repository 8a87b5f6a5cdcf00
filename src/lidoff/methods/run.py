"""Running a book: every line whose inputs are there, over numbers and sample arrays alike."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from math import isfinite
from typing import Any

import numpy as np

from .amounts import in_unit, plain_unit
from .book import Book, Default, Input, Limit, Line
from .calculate import Row, Table, Value

#: ``draw(input, nominal, spread) -> samples or None``: spreads a default (``None`` leaves it be).
Draw = Callable[[str, Any, float], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """A warning: what it is about (an input, a line, a limit), the sentence, and the share of
    samples it holds for.
    """

    about: str
    says: str
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What a book gave.

    ``values`` holds the lines in SI (floats, or arrays of shape (samples,)), ``rows`` what its
    picks chose, ``inputs`` what was put in, given or by default, ``defaulted`` the names of the
    latter. ``missing`` says of each line that could not be computed why.
    """

    book: Book = field(repr=False)
    values: Mapping[str, Value]
    rows: Mapping[str, Row]
    inputs: Mapping[str, Value | Table]
    defaulted: tuple[str, ...]
    missing: Mapping[str, str]
    warned: tuple[Warned, ...]

    @property
    def warnings(self) -> tuple[str, ...]:
        return tuple(warning.says for warning in self.warned)


def run(book: Book, inputs: Mapping[str, Any], *, draw: Draw | None = None, only: str | None = None) -> Run:
    """Compute a book, or with ``only`` just that line and what it needs.

    Parameters: ``inputs`` by name, in SI, each a float, an array of shape (samples,), a `Table`
    for a table input, or ``None`` for not known. Names that the book does not have, and numbers
    that are not finite, raise ``ValueError``. Values outside a range warn; lines whose inputs are
    missing are listed with the reason and the rest is computed.
    """
    work = _Work(book, inputs, draw)
    with np.errstate(all="ignore"):
        for name in book.order if only is None else book.needs[only]:
            entry = book.inputs.get(name)
            if entry is not None:
                work.take(entry)
            else:
                work.compute(book.lines[name])
        if only is None:
            work.limits()
    return work.run()


@dataclass(slots=True)
class _Work:
    book: Book = field(repr=False)
    given: Mapping[str, Any]
    draw: Draw | None
    env: dict[str, Any] = field(default_factory=dict)
    defaulted: list[str] = field(default_factory=list)
    lacking: dict[str, tuple[str, ...]] = field(default_factory=dict)
    missing: dict[str, str] = field(default_factory=dict)
    warned: list[Warned] = field(default_factory=list)

    def __post_init__(self) -> None:
        for name in self.given:
            if name not in self.book.inputs:
                raise ValueError(f"{self.book.name} has no input {name!r}")
        for name, table in self.book.tables.items():
            self.env[name] = table.table

    def take(self, entry: Input) -> None:
        """Put an input in: as given, by default, or note that it is lacking."""
        name, value = entry.name, self.given.get(entry.name)
        if value is None and entry.default is not None:
            value = self.default(name, entry.default)
            if value is not None:
                self.defaulted.append(name)
        if value is None:
            self.lacking[name] = lacking_of(self.book, entry, self.env, self.lacking)
            return
        if entry.is_table:
            self.table(entry, value)
            return
        self.env[name] = number = _number(name, value, entry)
        if entry.low is not None and entry.high is not None:
            self.in_range(entry, number, entry.low, entry.high)

    def default(self, name: str, default: Default) -> Any:
        value: Any = default.number
        for formula in default.formulas:
            if not self.absent(formula.names):
                value = formula.calculate(self.env)
                break
        if value is None or not _finite(value):
            return None
        if self.draw is not None and default.spread > 0.0:
            drawn = self.draw(name, value, default.spread)
            return value if drawn is None else drawn
        return value

    def absent(self, names: frozenset[str]) -> list[str]:
        """Those of the names that are the book's but have no value yet."""
        book = self.book
        return [n for n in names if n not in self.env and (n in book.inputs or n in book.lines)]

    def table(self, entry: Input, value: Any) -> None:
        if not isinstance(value, Table):
            raise ValueError(f"{self.book.name}: input {entry.name} wants a table")
        wanted = [key for key, unit in (entry.columns or {}).items() if unit is not None]
        without = [key for key in wanted if key not in value.columns]
        if without or not value.rows:
            raise ValueError(f"{self.book.name}: table {entry.name} has no {' or '.join(without) or 'rows'}")
        self.env[entry.name] = value

    def in_range(self, entry: Input, number: Any, low: float, high: float) -> None:
        slack = 1e-9 * max(abs(low), abs(high))  # a bound itself is inside, whatever its unit's rounding
        if isinstance(number, float) and low - slack <= number <= high + slack:
            return
        outside = (number < low - slack) | (number > high + slack)
        if not np.any(outside):
            return
        self.warned.append(said_outside(entry, number))

    def compute(self, line: Line) -> None:
        absent = self.absent(line.formula.names)
        if absent:
            self.lacking[line.name], self.missing[line.name] = said_missing(absent, self.lacking)
            return
        result = line.formula.calculate(self.env)
        if not isinstance(result, Row):
            self.env[line.name] = result[()] if isinstance(result, np.ndarray) else np.float64(result)
            return
        self.env[line.name] = result
        if result.overflow.any():
            self.warned.append(said_overflow(line.name, result.table, float(result.overflow.mean())))

    def limits(self) -> None:
        for limit in self.book.limits:
            if self.absent(limit.holds.names):
                continue
            holds = np.asarray(limit.holds.calculate(self.env), dtype=bool)
            if holds.all():
                continue
            self.warned.append(said_limit(limit, 1.0 - float(holds.mean())))

    def run(self) -> Run:
        values: dict[str, Value] = {}
        rows: dict[str, Row] = {}
        for name in self.book.lines:
            if name not in self.env:
                continue
            value = self.env[name]
            if isinstance(value, Row):
                rows[name] = value
                continue
            if isinstance(value, float) and isfinite(value):
                values[name] = value
                continue
            finite = np.isfinite(value)
            if not finite.all() and name in self.book.final:
                self.warned.append(said_not_finite(name, 1.0 - float(finite.mean())))
            if finite.any():
                values[name] = value
            else:
                self.missing[name] = "has no finite value for these inputs"
        return Run(
            book=self.book,
            values=values,
            rows=rows,
            inputs={name: self.env[name] for name in self.book.inputs if name in self.env},
            defaulted=tuple(self.defaulted),
            missing=self.missing,
            warned=tuple(self.warned),
        )


def _number(name: str, value: Any, entry: Input) -> Any:
    if isinstance(value, float) and isfinite(value):
        return np.float64(value)
    wanted = plain_unit(entry.unit.text) or "plain numbers"
    try:
        number = np.asarray(value, dtype=np.float64)[()]
    except (TypeError, ValueError) as error:
        raise ValueError(f"{name} wants a number or samples in {wanted}") from error
    if not np.all(np.isfinite(number)):
        raise ValueError(f"{name} is not a finite number in {wanted}")
    return number


def _finite(value: Any) -> bool:
    return isfinite(value) if isinstance(value, float) else bool(np.all(np.isfinite(value)))


# -- what is said, in one wording for whoever runs a book ----------------------------------------


def lacking_of(
    book: Book, entry: Input, there: Collection[str], lacking: Mapping[str, tuple[str, ...]]
) -> tuple[str, ...]:
    """What somebody would have to give: the input, or what its last default still lacks.

    What a bench or a table could have said is asked for itself.
    """
    formulas = entry.default.formulas if entry.default is not None and not entry.comes_from else ()
    names = formulas[-1].names if formulas else frozenset()
    absent = [n for n in names if n not in there and (n in book.inputs or n in book.lines)]
    if absent:
        return _roots(absent, lacking)
    said = plain_unit(entry.unit.text)
    return (f"{entry.name} ({said})" if said else entry.name,)


def said_missing(
    absent: Collection[str], lacking: Mapping[str, tuple[str, ...]]
) -> tuple[tuple[str, ...], str]:
    """The inputs at the root of what a line lacks, and the reason in words."""
    roots = _roots(absent, lacking)
    return roots, f"needs {', '.join(roots)}"


def _roots(absent: Collection[str], lacking: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The inputs at the root of what is absent, said once each."""
    found: set[str] = set()
    for name in absent:
        found.update(lacking[name])
    return tuple(sorted(found))


def said_outside(entry: Input, number: Any) -> Warned:
    """An input outside its range, a single number or some of the samples."""
    assert entry.low is not None and entry.high is not None
    slack = 1e-9 * max(abs(entry.low), abs(entry.high))
    share = float(np.mean((number < entry.low - slack) | (number > entry.high + slack)))
    if np.ndim(number) == 0:
        said = f"{entry.name} = {in_unit(float(number), entry.unit)} is outside its range"
    else:
        said = f"{entry.name} is outside its range in {100.0 * share:.2g} % of samples"
    return Warned(about=entry.name, says=f"{said}, {plain_unit(entry.range_text)}", share=share)


def said_overflow(line: str, table: str, share: float) -> Warned:
    where = "" if share == 1.0 else f" in {100.0 * share:.2g} % of samples"
    says = f"{line}: no row of {table} is enough{where}; its last row is taken"
    return Warned(about=line, says=says, share=share)


def said_limit(limit: Limit, share: float) -> Warned:
    where = "" if share == 1.0 else f" ({100.0 * share:.2g} % of samples)"
    return Warned(about=limit.holds.text, says=limit.says + where, share=share)


def said_not_finite(line: str, share: float) -> Warned:
    where = "" if share == 1.0 else f" in {100.0 * share:.2g} % of samples"
    return Warned(about=line, says=f"{line} has no finite value{where}", share=share)
