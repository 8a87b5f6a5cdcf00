"""Figures made from known numbers: interval, basis and working in one place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from ..quantities.sampling import interval
from .findings import Covers, Figure, Term, WorkedLine
from .known import Known
from .later import Later
from .names import FIGURES

T = TypeVar("T")


def figure(
    name: str,
    number: Known,
    *,
    working: Sequence[WorkedLine] = (),
    terms: Sequence[Term] = (),
    warnings: Iterable[str] = (),
    covers: Covers | None = None,
    unit: str | None = None,
    title: str | None = None,
) -> Figure:
    """The figure of a name, ``number`` being in the figure's own unit."""
    kind = FIGURES.get(name)
    if kind is None and (unit is None or title is None):
        raise KeyError(f"no figure is called {name!r}")
    samples = number.samples if number.samples.size else None  # none at nominal readings only
    low, high = (None, None) if samples is None else interval(samples)
    if samples is not None:
        samples.setflags(write=False)  # findings are shared by whoever asked for them
    return Figure(
        name=name,
        title=title if title is not None else FIGURES[name].title,
        unit=unit if unit is not None else FIGURES[name].unit,
        value=number.value,
        low=low,
        high=high,
        basis=number.basis,
        sources=number.sources,
        warnings=tuple(dict.fromkeys((*number.warnings, *warnings))),
        working=_settled(working),
        terms=_settled(terms),
        covers=covers,
        samples=samples,
    )


def _settled(entries: Sequence[T]) -> Sequence[T]:
    """As it stands now, unless it is written later."""
    return entries if isinstance(entries, Later) else tuple(entries)


def missing(name: str, *why: str, working: Sequence[WorkedLine] = ()) -> Figure:
    """A figure that cannot be given, and which inputs it lacks."""
    kind = FIGURES[name]
    return Figure(
        name=name,
        title=kind.title,
        unit=kind.unit,
        value=None,
        warnings=tuple(why),
        working=_settled(working),
    )


def put(value: float, unit: str = "") -> str:
    """A number as it is put into a formula.

    >>> put(0.0696, "kg")
    '0.0696 kg'
    """
    return f"{value:.6g} {unit}".strip()


def line(
    name: str,
    formula: str,
    put_in: str,
    value: float,
    unit: str,
    *,
    about: str = "",
    source: str | None = None,
) -> WorkedLine:
    return WorkedLine(
        name=name, formula=formula, put_in=put_in, value=value, unit=unit, about=about, source=source
    )
