"""Sobol indices: two sample matrices, the estimators, and their bootstrap intervals.

First order by Saltelli et al. 2010 (Comput. Phys. Commun. 181:259-270, DOI 10.1016/j.cpc.2009.09.018,
table 2 (b)), total by Jansen 1999 (Comput. Phys. Commun. 117:35-43, DOI 10.1016/S0010-4655(98)00154-4;
there table 2 (f)):

    S_i = mean(f(B) (f(AB_i) − f(A))) / V,   T_i = mean((f(A) − f(AB_i))²) / 2V,   V = Var of f(A) and f(B),

AB_i being A with column i from B, and f less the mean of all that was evaluated.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.stats import qmc

from ...quantities.draws import Samples

#: Nearest to 0 and 1 that a uniform number comes, so that every bell stays finite.
EDGE = 2.0**-53


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """Two independent matrices of uniform numbers, shape (rows, columns) each."""

    a: Samples
    b: Samples

    @property
    def rows(self) -> int:
        return int(self.a.shape[0])


def scrambled(rows: int, columns: int, *, seed: int = 0) -> Design:
    """A scrambled Sobol' sequence, its first half of columns to A and the other to B.

    ``rows`` should be a power of two: the sequence is balanced only then.
    """
    power = int(np.log2(rows)) if rows > 0 else 0
    if rows < 2 or 2**power != rows:
        raise ValueError(f"a Sobol' sequence wants a power of two of rows, not {rows}")
    drawn = qmc.Sobol(d=2 * columns, scramble=True, seed=seed).random_base2(power)
    drawn = np.clip(drawn, EDGE, 1.0 - EDGE)
    return Design(a=drawn[:, :columns], b=drawn[:, columns:])


@dataclass(frozen=True, slots=True, kw_only=True)
class Indices:
    """First and total index of every column, shape (columns,), with the ends of their intervals.

    Intervals are those of the ``coverage`` of a bootstrap over the rows; they say how far the
    sample is to be trusted, not how far the model is.
    """

    variance: float
    first: Samples
    first_low: Samples
    first_high: Samples
    total: Samples
    total_low: Samples
    total_high: Samples
    coverage: float


def indices(
    a: Samples, b: Samples, ab: Samples, *, resamples: int = 500, coverage: float = 0.95, seed: int = 0
) -> Indices:
    """Indices from f(A) and f(B), shape (rows,), and f(AB_i), shape (columns, rows).

    All zero where f does not vary.
    """
    rows = a.size
    mean = (a.sum() + b.sum() + ab.sum()) / (2 * rows + ab.size)
    a, b, ab = a - mean, b - mean, ab - mean
    ones = np.full((1, rows), 1.0 / rows)
    # Weights of the rows in each resample; a matrix product then does all of them at once.
    again = np.random.default_rng(seed).multinomial(rows, ones[0], size=resamples) / rows
    main, whole, variance = _estimates(a, b, ab, ones)
    mains, wholes, _ = _estimates(a, b, ab, again)
    tail = (1.0 - coverage) / 2.0
    ends = (tail, 1.0 - tail)
    (first_low, first_high), (total_low, total_high) = (
        np.quantile(mains, ends, axis=0) if resamples else np.stack([found[0], found[0]])
        for mains, found in ((mains, main), (wholes, whole))
    )
    return Indices(
        variance=float(variance[0]),
        first=main[0],
        first_low=first_low,
        first_high=first_high,
        total=whole[0],
        total_low=total_low,
        total_high=total_high,
        coverage=coverage,
    )


def _estimates(a: Samples, b: Samples, ab: Samples, weights: Samples) -> tuple[Samples, Samples, Samples]:
    """Both indices, shape (weights, columns), and the variance, shape (weights,)."""
    variance = weights @ ((a**2 + b**2) / 2.0) - (weights @ ((a + b) / 2.0)) ** 2
    moved = ab - a
    safe = np.where(variance > 0.0, variance, np.inf)[:, None]
    return weights @ (b * moved).T / safe, weights @ (moved**2).T / 2.0 / safe, variance
