"""Method book: one closed-form calculation as data, with its sources and checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from ..quantities import Basis, Unit
from .calculate import Calculation, Table
from .formula import Node


class BookError(ValueError):
    """A book that is refused: ``file:line: reason``."""


#: What is said wherever a book without a check is used.
UNCHECKED = "unchecked: no check stands behind this method"


class CheckKind(StrEnum):
    """What a check's expected value rests on.

    A closure is fitted to what it is compared with, so it confirms structure and not values.
    """

    PUBLISHED = "published"
    INDEPENDENT = "independent"
    COMMON_PRACTICE = "common practice"
    CLOSURE = "closure"


class Seen(StrEnum):
    """Whether the printed value was read on the page, is recalled, or was worked out."""

    PAGE = "page"
    MEMORY = "memory"
    COMPUTED = "computed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """A formula as written, its tree, the names it speaks of, and the function made of it."""

    text: str
    tree: Node
    names: frozenset[str]
    calculate: Calculation = field(repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Default:
    """What is taken where an input is not given: the first formula whose names are all there,
    else the number (SI).

    ``spread`` is the relative standard uncertainty of what is taken.
    """

    basis: Basis
    spread: float
    formulas: tuple[Formula, ...] = ()
    number: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """An input. ``columns`` is set for a table (then ``unit`` is the plain number and unused).

    ``low`` and ``high`` bound the range in SI, ``range_text`` says it in the input's unit;
    outside it a run warns.
    """

    name: str
    unit: Unit
    about: str
    columns: Mapping[str, Unit | None] | None = None
    low: float | None = None
    high: float | None = None
    range_text: str = ""
    default: Default | None = None
    comes_from: str | None = None
    source: str | None = None

    @property
    def range(self) -> tuple[float, float] | None:
        """The range in the input's own unit."""
        if self.low is None or self.high is None:
            return None
        return self.unit.from_si(self.low), self.unit.from_si(self.high)

    @property
    def default_text(self) -> str | None:
        """The default as formulas, or as a number in the input's unit."""
        if self.default is None:
            return None
        said = [formula.text for formula in self.default.formulas]
        if self.default.number is not None:
            said.append(f"{self.unit.from_si(self.default.number):.6g}")
        return ", else ".join(said)

    @property
    def is_table(self) -> bool:
        return self.columns is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class BookTable:
    """A constant table of the book."""

    name: str
    units: Mapping[str, Unit | None]
    table: Table = field(repr=False)
    source: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """``name = formula``. ``columns`` is set where the line picks a row of a table."""

    name: str
    unit: Unit
    formula: Formula
    about: str = ""
    source: str | None = None
    columns: Mapping[str, Unit | None] | None = None

    @property
    def is_row(self) -> bool:
        return self.columns is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A condition under which the method holds, and what is said when it does not."""

    holds: Formula
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """One expected result: a line, or ``row.column``; value in SI, text as printed."""

    name: str
    value: float
    text: str
    unit: Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Inputs and what they must give. ``refuted`` marks a printed answer known to be wrong.

    ``inputs`` are in SI, ``given`` the same as written in the book. ``warns`` are words of every
    warning that must be raised; any other warning fails the check.
    """

    kind: CheckKind
    source: str
    where: str
    seen: Seen
    inputs: Mapping[str, float | Table]
    given: Mapping[str, str]
    expect: tuple[Expected, ...]
    rel: float
    reason: str
    differs: str = ""
    refuted: bool = False
    warns: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A method.

    ``order`` is the sequence in which inputs (their defaults) and lines are computed; ``final``
    are the lines that are outputs or feed no other line; ``needs`` gives for every line what must
    be computed for it, in order and with itself.
    """

    name: str
    title: str
    about: str
    topic: str
    file: str
    inputs: Mapping[str, Input]
    tables: Mapping[str, BookTable]
    lines: Mapping[str, Line]
    limits: tuple[Limit, ...]
    checks: tuple[Check, ...]
    outputs: tuple[str, ...]
    order: tuple[str, ...]
    final: frozenset[str]
    needs: Mapping[str, tuple[str, ...]] = field(repr=False)

    @property
    def checked(self) -> bool:
        """Whether a check stands behind it that is neither fitted to its values nor refuted print."""
        return any(check.kind is not CheckKind.CLOSURE and not check.refuted for check in self.checks)

    @property
    def sources(self) -> tuple[str, ...]:
        """Ids of the sources that inputs, tables and lines rest on, in order of appearance."""
        cited = [
            *(entry.source for entry in self.inputs.values()),
            *(table.source for table in self.tables.values()),
            *(line.source for line in self.lines.values()),
        ]
        return tuple(dict.fromkeys(source_id(text) for text in cited if text))


def source_id(text: str) -> str:
    """The id in a citation such as "groover, p. 441"."""
    return text.split(",", 1)[0].strip()
