"""Sampling: one random stream a reading, seeded by its stable id.

Adding a part therefore moves no other part's samples, and what packs share (a metal price, one
scale's calibration) is one stream for all.
"""

from __future__ import annotations

import math

import numpy as np

from .draws import Kind, standard
from .draws import Samples as Samples
from .reading import Reading
from .spread import Shape, Spread


def normals(identity: str, count: int, *, seed: int = 0) -> Samples:
    """Standard normal draws of the stream."""
    return standard(identity, Kind.NORMAL, count, seed)


def sample_spread(value: float, spread: Spread, identity: str, count: int, *, seed: int = 0) -> Samples:
    """Draw ``count`` values about ``value``.

    Truncation at ``low``/``high`` redraws by folding the uniform into the allowed part of the
    distribution (inverse transform), so no probability piles up at the bound.
    """
    if spread.shape is Shape.EXACT:
        drawn: Samples = np.full(count, value)
    elif spread.shape is Shape.DISCRETE:
        drawn = _chosen(standard(identity, Kind.FLAT, count, seed), spread.choices)
    elif spread.shape in (Shape.UNIFORM, Shape.TRIANGULAR):
        if spread.low is None or spread.high is None:
            raise ValueError(f"{identity}: a {spread.shape} spread needs both bounds")
        u = standard(identity, Kind.FLAT, count, seed)
        if spread.shape is Shape.UNIFORM:
            drawn = spread.low + (spread.high - spread.low) * u
        else:
            drawn = _triangular(u, spread.low, value, spread.high)
    else:
        drawn = _bell(value, spread, identity, count, seed)
    for name, u_shared in spread.shared:
        drawn = drawn + u_shared * normals(name, count, seed=seed)
    return drawn


def _chosen(u: Samples, choices: tuple[tuple[float, float], ...]) -> Samples:
    """The value whose part of the summed probability ``u`` falls in."""
    edges = np.cumsum([probability for _, probability in choices])
    return np.array([value for value, _ in choices])[np.searchsorted(edges / edges[-1], u, side="right")]


def _triangular(u: Samples, low: float, mode: float, high: float) -> Samples:
    if not low <= mode <= high or low == high:
        return np.full_like(u, mode)
    knee = (mode - low) / (high - low)
    rising = low + np.sqrt(u * (high - low) * (mode - low))
    falling = high - np.sqrt((1.0 - u) * (high - low) * (high - mode))
    return np.where(u < knee, rising, falling)


def _bell(value: float, spread: Spread, identity: str, count: int, seed: int) -> Samples:
    log = spread.shape is Shape.LOGNORMAL
    if spread.low is None and spread.high is None:
        drawn = spread.u * normals(identity, count, seed=seed)
    else:
        from scipy.special import ndtr, ndtri

        def reach(bound: float | None, otherwise: float) -> float:
            if bound is None or spread.u == 0.0 or (log and bound <= 0.0):
                return otherwise
            z_bound = math.log(bound / value) if log else bound - value
            return float(ndtr(z_bound / spread.u))

        low, high = reach(spread.low, 0.0), reach(spread.high, 1.0)
        u = standard(identity, Kind.FOLDED, count, seed)
        drawn = ndtri(u) if low == 0.0 and high == 1.0 else ndtri(low + (high - low) * u)
        drawn *= spread.u
    # In place: with arrays this long, every one that need not be made is time won.
    if not log:
        drawn += value
        return drawn
    np.exp(drawn, out=drawn)
    drawn *= value
    return drawn


def sample(reading: Reading, identity: str, count: int, *, seed: int = 0) -> Samples:
    """Draw samples of a reading; ``identity`` is its stable id."""
    return sample_spread(reading.value, reading.spread, identity, count, seed=seed)


def interval(samples: Samples, coverage: float = 0.95) -> tuple[float, float]:
    """Probabilistically symmetric coverage interval (JCGM 101:2008, 7.7)."""
    tail = (1.0 - coverage) / 2.0
    # Whole sorting is the fastest way to two quantiles of some thousand samples, by far.
    ordered = np.sort(samples)
    return _quantile(ordered, tail), _quantile(ordered, 1.0 - tail)


def shortest(samples: Samples, coverage: float = 0.95) -> tuple[float, float]:
    """Shortest coverage interval (JCGM 101:2008, 7.7.4)."""
    ordered = np.sort(samples)
    inside = min(round(coverage * ordered.size), ordered.size - 1)
    start = int(np.argmin(ordered[inside:] - ordered[: ordered.size - inside]))
    return float(ordered[start]), float(ordered[start + inside])


def _quantile(ordered: Samples, share: float) -> float:
    """The quantile of sorted samples, straight between two neighbours; nan where any is nan."""
    place = share * (ordered.size - 1)
    below = int(place)
    if np.isnan(ordered[-1]):
        return float("nan")
    low, high = float(ordered[below]), float(ordered[min(below + 1, ordered.size - 1)])
    part = place - below
    return low + (high - low) * part if part < 0.5 else high - (high - low) * (1.0 - part)
