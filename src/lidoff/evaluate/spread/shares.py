"""Shares: how much of a number's variance each reading and rate brings, and what is left to all together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...quantities.draws import Samples, own_numbers
from ...quantities.sampling import interval
from ..findings import Findings
from .effects import Effects, together
from .target import Target

REST = "interaction and non-linear"
#: Single effects below this share of the variance are taken as they stand alone.
LEAST = 0.001
#: Standard errors from which on a slope is told from noise.
CLEAR = 3.0
#: Samples looked at, at most: what they add to the single effects is known well enough from these.
SAMPLES = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One stream and its share of the variance."""

    stream: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Where the spread of a target comes from.

    ``shares`` run from the largest down and add up to 1 with ``rest``, which is what readings do to
    each other and what a curve of third order does not follow; it may be slightly below zero.
    ``follows`` is how much of the samples' variance the sum of all single effects follows (R²).
    """

    target: Target
    value: float
    low: float
    high: float
    variance: float
    shares: tuple[Share, ...]
    rest: float
    follows: float

    def share(self, stream: str) -> float:
        """The share of a stream, zero where it brings none."""
        return next((s.share for s in self.shares if s.stream == stream), 0.0)


def shares(
    targets: Sequence[Target], effects: Sequence[Effects | None], findings: Findings
) -> tuple[Shares | None, ...]:
    """The shares behind each target; ``None`` where the findings do not have it.

    ``findings`` come from the streams' own draws.
    """
    known = [
        (n, taken, one)
        for n, (target, one) in enumerate(zip(targets, effects, strict=True))
        if one is not None and (taken := target.take(findings)) is not None
    ]
    if not known:
        return tuple(None for _ in targets)
    count = min(known[0][1][1].size, SAMPLES)
    sums = together([one for _, _, one in known], count)
    found: list[Shares | None] = [None] * len(targets)
    for (n, (value, samples), one), total in zip(known, sums, strict=True):
        found[n] = shares_of(targets[n], value, samples, one, total)
    return tuple(found)


def shares_of(target: Target, value: float, samples: Samples, effects: Effects, total: Samples) -> Shares:
    """The shares behind one target from its samples and the sum ``total`` of the single effects in them.

    The variance is that of the single effects, which is known exactly, and what the samples show
    beside it: so the sampling noise of the larger part falls out.
    """
    low, high = interval(samples)
    samples = samples[: total.size]
    left = samples - total
    variance = float(effects.variance.sum() + np.var(left) + 2.0 * _covariance(left, total))
    if not variance > 0.0:
        return Shares(
            target=target, value=value, low=low, high=high, variance=0.0, shares=(), rest=0.0, follows=1.0
        )
    single = _among_others(effects, left, variance)
    parts = tuple(
        Share(stream=effects.streams[k], share=float(single[k]) / variance)
        for k in np.argsort(-single, kind="stable")
        if single[k] > 0.0
    )
    seen = float(np.var(samples))
    return Shares(
        target=target,
        value=value,
        low=low,
        high=high,
        variance=variance,
        shares=parts,
        rest=1.0 - sum(part.share for part in parts),
        follows=1.0 - float(np.var(left)) / seen if seen > 0.0 else 1.0,
    )


def _among_others(effects: Effects, left: Samples, variance: float) -> Samples:
    """Variance of each single effect, of the larger ones as it is with all others on the move.

    Factors that vary make what they multiply larger on the whole: the samples say by how much, as the
    slope of the target on the single effect. Where that is not told from noise it stays one.
    """
    single = effects.variance.copy()
    for k in np.flatnonzero(single > LEAST * variance):
        moved = effects.of(int(k), own_numbers(effects.streams[k], effects.kinds[k], left.size))
        more = _covariance(left, moved) / single[k]
        noise = float(np.sqrt(np.var(left) / (left.size * single[k])))
        if abs(more) > CLEAR * noise:
            single[k] *= max((1.0 + more) ** 2 - noise**2, 0.0)
    return single


def _covariance(a: Samples, b: Samples) -> float:
    return float(np.mean((a - a.mean()) * (b - b.mean())))
