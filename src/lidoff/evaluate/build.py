"""Figures made from known numbers: interval, basis and working in one place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..quantities.sampling import interval
from .findings import Covers, Figure, Term, WorkedLine
from .known import Known
from .names import FIGURES


def figure(
    name: str,
    number: Known,
    *,
    working: Sequence[WorkedLine] = (),
    terms: Iterable[Term] = (),
    warnings: Iterable[str] = (),
    covers: Covers | None = None,
    unit: str | None = None,
    title: str | None = None,
) -> Figure:
    """The figure of a name, ``number`` being in the figure's own unit."""
    kind = FIGURES.get(name)
    if kind is None and (unit is None or title is None):
        raise KeyError(f"no figure is called {name!r}")
    low, high = interval(number.samples)
    number.samples.setflags(write=False)  # findings are shared by whoever asked for them
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
        working=tuple(working),
        terms=tuple(terms),
        covers=covers,
        samples=number.samples,
    )


def missing(name: str, *why: str, working: Sequence[WorkedLine] = ()) -> Figure:
    """A figure that cannot be given, and which inputs it lacks."""
    kind = FIGURES[name]
    return Figure(
        name=name, title=kind.title, unit=kind.unit, value=None, warnings=tuple(why), working=tuple(working)
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
