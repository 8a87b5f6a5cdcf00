"""A route run: steps costed per good piece, yields multiplied backwards.

Step i of n handles N_i = N / Π_{j≥i} y_j pieces for N good ones, so whatever was put into a piece
before it is rejected is lost with it, and tools and machines see all pieces they handle
(yield cascade, e.g. Field, Kirchain & Roth 2007, JOM 59(10)).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from ...methods import Book, Draw, Run, run
from ...methods.amounts import in_unit
from ...methods.book import UNCHECKED
from ...methods.fused import Quick, quick, quick_samples
from ...methods.worked import worked
from ...quantities import Basis
from ...records import Route, RouteStep
from ..findings import RouteStepCost, WorkedLine
from ..later import Later
from .amount import NOTHING, Amount, total
from .frame import Frame
from .inputs import Gathered, Subject, default_draw, gather

ELEMENTS = ("material", "labour", "burden")
TOOLING, GOOD_SHARE = "tooling", "good_share"
#: Warnings that hold for fewer of the samples than this are left out (project choice).
RARE = 0.05


class NotCosted(Exception):
    """Why a line cannot be costed, in one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteCost:
    """Cost of a route per good piece [money/part]; ``tooling`` is the whole investment [money]."""

    steps: tuple[RouteStepCost, ...]
    material: Amount
    labour: Amount
    burden: Amount
    tooling: Amount
    bases: tuple[Basis, ...]
    sources: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _StepRun:
    book: Book
    gathered: Gathered
    good_share: Amount
    handled: Amount  # pieces handled per good piece leaving the route
    nominal: Quick
    sampled: Quick | None

    def amount(self, frame: Frame, line: str) -> Amount:
        """A line of the book; exactly zero where the book has no such line."""
        if line not in self.book.lines:
            return frame.exact(0.0)
        return _amount(frame, self.nominal, self.sampled, line)


def run_route(frame: Frame, subject: Subject, route: Route) -> RouteCost:
    """Cost a route. Raises `NotCosted` where a step lacks a book or an input."""
    ran: list[_StepRun] = []
    handled = frame.exact(1.0)
    for step in reversed(route.steps):
        one = _run_step(frame, subject, step, handled)
        handled = one.handled
        ran.insert(0, one)
    elements = {
        name: total((one.amount(frame, name) * one.handled for one in ran), frame.count) for name in ELEMENTS
    }
    return RouteCost(
        steps=tuple(_step_cost(frame, one) for one in ran),
        tooling=total((one.amount(frame, TOOLING) for one in ran), frame.count),
        bases=tuple(basis for one in ran for basis in (*one.gathered.bases, *_default_bases(one))),
        sources=tuple(
            dict.fromkeys(s for one in ran for s in (*frame.sources(one.book), *one.gathered.sources))
        ),
        warnings=tuple(dict.fromkeys(text for one in ran for text in (*_warnings(one), *one.gathered.notes))),
        material=elements["material"],
        labour=elements["labour"],
        burden=elements["burden"],
    )


def _run_step(frame: Frame, subject: Subject, step: RouteStep, downstream: Amount) -> _StepRun:
    book = frame.books.get(step.method)
    if book is None:
        raise NotCosted(f"there is no method book {step.method!r}")
    gathered = gather(frame, book, subject, step)
    draw = default_draw(frame, book, subject)
    good = frame.exact(1.0)
    if GOOD_SHARE in book.lines:
        alone = _run(frame, book, draw, gathered, only=GOOD_SHARE)
        if GOOD_SHARE in alone[0].missing:
            raise NotCosted(f"{book.title}: {GOOD_SHARE} {alone[0].missing[GOOD_SHARE]}")
        good = _amount(frame, *alone, GOOD_SHARE)
    handled = downstream / good
    _put_parts(frame, book, subject, gathered, handled)
    nominal, sampled = _run(frame, book, draw, gathered)
    for line in (*ELEMENTS, TOOLING):
        if line in book.lines and line in nominal.missing:
            raise NotCosted(f"{book.title}: {line} {nominal.missing[line]}")
    return _StepRun(
        book=book, gathered=gathered, good_share=good, handled=handled, nominal=nominal, sampled=sampled
    )


def _put_parts(frame: Frame, book: Book, subject: Subject, gathered: Gathered, handled: Amount) -> None:
    """Pieces the step handles, a year and over the life of the programme."""
    numbers = {
        "route.parts_year": frame.parts_a_year(subject.per_pack),
        "route.parts_life": frame.parts_of_life(subject.per_pack),
    }
    for name, entry in book.inputs.items():
        if entry.comes_from in numbers and name not in gathered.nominal:
            gathered.put(name, handled.times(numbers[entry.comes_from]))


def _run(
    frame: Frame, book: Book, draw: Draw, gathered: Gathered, only: str | None = None
) -> tuple[Quick, Quick | None]:
    nominal = quick(book, gathered.nominal, only=only)
    if not frame.count:
        return nominal, None
    return nominal, quick_samples(book, gathered.sampled, draw=draw, only=only)


def _amount(frame: Frame, nominal: Quick, sampled: Quick | None, line: str) -> Amount:
    """A line as a pair; samples that are no number stand at the nominal value (the run warns)."""
    value = float(nominal.values[line])
    if sampled is None:
        return Amount(value=value, samples=NOTHING)
    drawn = np.broadcast_to(np.asarray(sampled.values.get(line, value), dtype=np.float64), (frame.count,))
    finite = np.isfinite(drawn)
    return Amount(value=value, samples=drawn if finite.all() else np.where(finite, drawn, value))


def _step_cost(frame: Frame, one: _StepRun) -> RouteStepCost:
    money = {name: one.amount(frame, name).value * one.handled.value for name in ELEMENTS}
    sheet = _Sheet(one)
    return RouteStepCost(
        method=one.book.name,
        title=one.book.title,
        tooling_investment=one.amount(frame, TOOLING).value,
        good_share=one.good_share.value,
        working=Later(sheet.lines),
        assumed=Later(sheet.assumed),
        warnings=_warnings(one),
        material=money["material"],
        labour=money["labour"],
        burden=money["burden"],
    )


class _Sheet:
    """What a worked sheet of a step needs, so that it is written only where it is read."""

    def __init__(self, one: _StepRun) -> None:
        self.book, self.inputs = one.book, one.gathered.nominal
        self.other_rows: dict[str, float] = {}
        sampled = {} if one.sampled is None else one.sampled.rows
        for name, index in sampled.items():
            if name in one.nominal.rows:
                self.other_rows[name] = float(np.mean(np.asarray(index) != one.nominal.rows[name]))

    @cached_property
    def run(self) -> Run:
        return run(self.book, self.inputs)

    def lines(self) -> Iterator[WorkedLine]:
        """The nominal sheet; a picked row says how many of the samples took another."""
        for line in worked(self.book, self.run):
            about, other = line.about, self.other_rows.get(line.name, 0.0)
            if other > 0.0:
                about = f"{about} ({100.0 * other:.2g} % of samples take another row)".strip()
            yield WorkedLine(
                name=line.name,
                formula=line.formula,
                put_in=line.put_in,
                value=line.value,
                unit=line.unit,
                about=about,
                source=line.source,
            )

    def assumed(self) -> Iterator[str]:
        """What was taken by default."""
        for name in self.run.defaulted:
            entry = self.book.inputs[name]
            basis = entry.default.basis if entry.default is not None else Basis.ASSUMED
            value: Any = self.run.inputs[name]
            yield f"{entry.about or name} ({name}) = {in_unit(float(value), entry.unit)}, {basis}"


def _default_bases(one: _StepRun) -> Sequence[Basis]:
    defaults = (one.book.inputs[name].default for name in one.nominal.defaulted)
    return [default.basis for default in defaults if default is not None]


def _warnings(one: _StepRun) -> tuple[str, ...]:
    """Warnings of the nominal run, and of the samples where they are not rare and not said yet."""
    said = {warning.about: warning.says for warning in one.nominal.warned}
    for warning in one.sampled.warned if one.sampled is not None else ():
        if warning.share >= RARE:
            said.setdefault(warning.about, warning.says)
    unchecked = () if one.book.checked else (UNCHECKED,)
    return tuple(f"{one.book.title}: {text}" for text in (*unchecked, *said.values()))


__all__ = ["NotCosted", "RouteCost", "run_route"]
