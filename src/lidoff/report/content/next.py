"""What to measure next: the lines whose spread carries most of a figure's interval."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from ...evaluate.findings import CostLine, MassLine, Samples
from .story import Story, Told

#: A line below this share of a figure's variance is not worth a trip to the bench.
LEAST_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """A line to look at again, and its share of the figure's variance (0 to 1)."""

    told: Told
    item: str
    number: str
    name: str
    figure: str
    share: float
    missing: bool = False


def shares_of_variance(lines: Iterable[tuple[str, Samples | None]]) -> dict[str, float]:
    """Each line's covariance with the sum over the sum's variance; shares add to 1.

    Lines are addends of one sum, so Var(sum) = Σ Cov(line, sum) exactly; lines without samples
    or a sum without spread have no share.
    """
    known = {key: samples for key, samples in lines if samples is not None}
    if not known:
        return {}
    total = np.sum(list(known.values()), axis=0)
    about = total - total.mean()
    variance = float(about @ about)
    if variance <= 0.0:
        return {}
    return {key: float((s - s.mean()) @ about) / variance for key, s in known.items()}


def next_readings(story: Story) -> tuple[Next, ...]:
    """Lines to measure next, largest share first; unweighed lines before all."""
    found: list[Next] = []
    for told in story.packs:
        found += _missing(told)
        found += _of_mass(told, told.findings.mass_lines)
        found += _of_cost(told, told.findings.cost_lines)
    return tuple(sorted(found, key=lambda n: (not n.missing, -n.share)))


def _missing(told: Told) -> list[Next]:
    return [
        Next(told=told, item=m.item, number=m.number, name=m.name, figure="dry mass", share=0.0, missing=True)
        for m in told.findings.mass_lines
        if m.mass is None
    ]


def _of_mass(told: Told, lines: tuple[MassLine, ...]) -> list[Next]:
    share = shares_of_variance((m.item, m.samples) for m in lines)
    return _large(told, "dry mass", share, {m.item: (m.number, m.name) for m in lines})


def _of_cost(told: Told, lines: tuple[CostLine, ...]) -> list[Next]:
    share = shares_of_variance((c.item, c.samples("piece")) for c in lines)
    return _large(told, "piece cost", share, {c.item: (c.number, c.name) for c in lines})


def _large(told: Told, figure: str, share: dict[str, float], names: dict[str, tuple[str, str]]) -> list[Next]:
    return [
        Next(told=told, item=item, number=names[item][0], name=names[item][1], figure=figure, share=part)
        for item, part in share.items()
        if part >= LEAST_SHARE
    ]
