"""Effects: what each stream alone does to a number, from one evaluation in which each moves by itself.

With f0 all readings stand at their values; stream i alone is moved to the Gauss points either side,
which gives the first two terms of f in polynomials orthonormal under the stream's distribution,

    f_i(z) = s_i φ1(z) + b_i φ2(z),   Var f_i = s_i² + b_i²,

Hermite for bells (φ1 = z, φ2 = (z² − 1)/√2), Legendre for flat ones. Exact for sums of terms that each
hang on one reading, as cubic polynomials of it or simpler; what readings do to each other is left out
(the univariate part of a cut expansion: Rabitz & Aliş 1999, J. Math. Chem. 25:197-233,
DOI 10.1023/A:1019188517934).

Not by regression on the samples at hand: with hundreds of streams and a thousand samples every
coefficient would carry the noise of all others, about 1/samples of the variance each. And not by a
complex step: lookups, whole numbers and "where" have no derivative, while their samples move.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from ...methods import Book
from ...prices import PriceBook
from ...quantities.draws import Draws, Kind, Samples, drawing, own_numbers
from ...records import Scenario, Study
from ..pipeline import evaluate
from .drawn import Listening, OneAtATime
from .target import Target

#: Streams moved in one evaluation: two samples each, so that memory stays flat.
BATCH = 2000
_LISTEN = 2  # samples enough to hear every stream
TOPICS = ("mass", "energy", "cost")


@dataclass(frozen=True, slots=True, kw_only=True)
class Effects:
    """What each stream alone does to one target, in the target's unit.

    ``value`` is the target with all readings at their values; ``slope`` and ``bend`` have shape
    (streams,).
    """

    streams: tuple[str, ...]
    kinds: tuple[Kind, ...]
    value: float
    slope: Samples
    bend: Samples

    @property
    def variance(self) -> Samples:
        """Variance that each stream alone gives, shape (streams,)."""
        return np.asarray(self.slope**2 + self.bend**2)

    def of(self, k: int, numbers: Samples) -> Samples:
        """The deviation that stream number ``k`` gives at its standard numbers."""
        one, two = _basis(self.kinds[k], numbers)
        return np.asarray(self.slope[k] * one + self.bend[k] * two)


def together(effects: Sequence[Effects], count: int) -> list[Samples]:
    """For each target the sum of all deviations over the streams' own first ``count`` samples."""
    totals = [np.zeros(count) for _ in effects]
    kinds = {stream: kind for one in effects for stream, kind in zip(one.streams, one.kinds, strict=True)}
    places = [{stream: k for k, stream in enumerate(one.streams)} for one in effects]
    moves = [one.variance > 0.0 for one in effects]
    for stream, kind in kinds.items():
        touched = [t for t, place in enumerate(places) if stream in place and moves[t][place[stream]]]
        numbers = own_numbers(stream, kind, count) if touched else np.empty(0)
        for t in touched:
            totals[t] += effects[t].of(places[t][stream], numbers)
    return totals


def _basis(kind: Kind, numbers: Samples) -> tuple[Samples, Samples]:
    if kind is Kind.FLAT:
        x = 2.0 * numbers - 1.0
        return np.sqrt(3.0) * x, np.sqrt(1.25) * (3.0 * x**2 - 1.0)
    z = numbers if kind is Kind.NORMAL else np.asarray(ndtri(numbers))
    return z, (z**2 - 1.0) / np.sqrt(2.0)


#: Evaluates with so many samples of somebody's draws: each output's samples, ``None`` where missing.
Evaluated = Callable[[Draws, int], Sequence[Samples | None]]


def effects(
    study: Study,
    targets: Sequence[Target],
    *,
    scenario: Scenario | None = None,
    prices: PriceBook | None = None,
    books: Mapping[str, Book] | None = None,
    topics: Sequence[str] = TOPICS,
) -> tuple[Effects | None, ...]:
    """What every stream alone does to each target; ``None`` for a target that is missing."""

    def evaluated(draws: Draws, count: int) -> list[Samples | None]:
        with drawing(draws):
            found = evaluate(study, scenario, topics=topics, samples=count, prices=prices, books=books)
        taken = (target.take(found) for target in targets)
        return [None if one is None else one[1] for one in taken]

    return single_effects(evaluated)


def single_effects(evaluated: Evaluated) -> tuple[Effects | None, ...]:
    """What every stream alone does to each output of anything that draws from streams."""
    listening = Listening()
    outputs = len(evaluated(listening, _LISTEN))
    kinds = listening.heard
    streams = tuple(kinds)
    parts: list[list[tuple[float, Samples]]] = [[] for _ in range(outputs)]
    for start in range(0, max(len(streams), 1), BATCH):
        design = OneAtATime.of(streams[start : start + BATCH])
        for part, samples in zip(parts, evaluated(design, design.count), strict=True):
            if samples is not None:
                part.append((float(samples[0]), samples[1:] - samples[0]))
    return tuple(_effects(kinds, part) if part else None for part in parts)


def _effects(kinds: Mapping[str, Kind], parts: Sequence[tuple[float, Samples]]) -> Effects:
    moved = np.concatenate([deviations for _, deviations in parts]).reshape(-1, 2)
    down, up = moved[:, 0], moved[:, 1]
    flat = np.array([kind is Kind.FLAT for kind in kinds.values()], dtype=bool)
    # Σ w f φ over the three points: weights 1/6, 2/3, 1/6 at 0, ±√3 and 5/18, 8/18, 5/18 at 0, ±√(3/5).
    slope = np.where(flat, np.sqrt(5.0) / 6.0, np.sqrt(3.0) / 6.0) * (up - down)
    bend = np.where(flat, np.sqrt(5.0) / 9.0, np.sqrt(2.0) / 6.0) * (up + down)
    return Effects(
        streams=tuple(kinds), kinds=tuple(kinds.values()), value=parts[0][0], slope=slope, bend=bend
    )
