"""Running a book's own checks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from .amounts import in_unit
from .book import Book, Check, CheckKind, Expected, Seen
from .run import Run, run


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """One expected value against ours. ``difference`` is ours/expected - 1 (``None``: no value).

    A refuted check passes when ours does not reproduce the print.
    """

    book: str
    number: int
    kind: CheckKind
    source: str
    where: str
    seen: Seen
    name: str
    expected: str
    got: str
    difference: float | None
    rel: float
    passed: bool
    refuted: bool
    says: str


def run_checks(book: Book) -> tuple[CheckResult, ...]:
    """Run every check of a book, one result per expected value."""
    return tuple(
        result
        for number, check in enumerate(book.checks, start=1)
        for result in _results(book, number, check)
    )


def _results(book: Book, number: int, check: Check) -> Iterator[CheckResult]:
    outcome = run(book, check.inputs)
    warned = _warned(outcome.warnings, check.warns)
    for expected in check.expect:
        got = _got(outcome, expected)
        difference = None if got is None else _relative(got, expected)
        near = difference is not None and abs(difference) <= check.rel
        yield CheckResult(
            book=book.name,
            number=number,
            kind=check.kind,
            source=check.source,
            where=check.where,
            seen=check.seen,
            name=expected.name,
            expected=expected.text,
            got="nothing" if got is None else in_unit(got, expected.unit, 6),
            difference=difference,
            rel=check.rel,
            passed=(difference is not None and (not near if check.refuted else near)) and not warned,
            refuted=check.refuted,
            says=_says(outcome, expected, check, warned),
        )


def _got(outcome: Run, expected: Expected) -> float | None:
    row, _, column = expected.name.partition(".")
    value: Any
    if column:
        value = outcome.rows[row].columns[column] if row in outcome.rows else None
    else:
        value = outcome.values.get(row)
    return None if value is None else float(np.ravel(value)[0])


def _relative(got: float, expected: Expected) -> float:
    """Relative difference in the printed unit, so that a temperature on a scale compares as printed."""
    printed, ours = expected.unit.from_si(expected.value), expected.unit.from_si(got)
    return ours - printed if printed == 0.0 else ours / printed - 1.0


def _warned(warnings: Sequence[str], wanted: Sequence[str]) -> str:
    """What is wrong with the warnings, empty where each was foretold and each foretold one came."""
    for words in wanted:
        if not any(words in warning for warning in warnings):
            return f"no warning says {words!r}"
    for warning in warnings:
        if not any(words in warning for words in wanted):
            return f"it warns: {warning}"
    return ""


def _says(outcome: Run, expected: Expected, check: Check, warned: str) -> str:
    name = expected.name.partition(".")[0]
    if name in outcome.missing:
        return f"{name} {outcome.missing[name]}"
    return warned or check.differs
