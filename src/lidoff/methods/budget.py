"""Budget: first-order propagation of uncertainty through a book, beside the sampling of the same book.

JCGM 100:2008, 5.1 and 5.2 (sensitivities, correlated inputs), the note to 5.1.2 (terms of the next
order), G.4.1 (effective degrees of freedom); JCGM 101:2008, clause 8 (when the two disagree).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..quantities import Spread
from ..quantities.copula import copula_of
from ..quantities.draws import related
from ..quantities.moments import moments
from ..quantities.sampling import Samples, interval, sample_spread, shortest
from .book import Book
from .fused import quick_samples

Array = NDArray[np.float64]
#: Correlation coefficients by pair of inputs, each pair once.
Correlations = Mapping[tuple[str, str], float]

#: An input with less than this share of the first-order variance has no slope worth the name.
NO_SLOPE = 1e-6
#: Share of the sampled variance from which an input without slope is worth a warning (project choice).
WORTH_SAYING = 0.02
#: Steps of the differences, in standard uncertainties.
_STEP = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """An input as estimated: value [SI], spread, and the degrees of freedom behind it."""

    value: float
    spread: Spread
    dof: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one input contributes. ``slope`` is the line's derivative, ``u`` |slope| × the input's u."""

    name: str
    slope: float
    input_u: float
    u: float
    dof: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sampled:
    """The same line by sampling: mean, standard deviation, and 95 % intervals of both kinds."""

    count: int
    mean: float
    u: float
    symmetric: tuple[float, float]
    shortest: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """A line's first-order budget, in SI.

    ``dof`` is infinite where no input's are finite, and nan where inputs are correlated (then they do
    not combine). ``second`` is the standard uncertainty with the terms of the next order, nan where
    inputs are correlated. ``pairs`` are those terms' larger ones by pair of inputs, as standard
    uncertainties.
    """

    line: str
    value: float
    u: float
    parts: tuple[Part, ...]
    dof: float
    second: float
    pairs: Mapping[tuple[str, str], float]
    sampled: Sampled | None
    warnings: tuple[str, ...]

    def factor(self, coverage: float = 0.95) -> float:
        """Coverage factor of a two-sided interval: Student's t for whole degrees of freedom."""
        from scipy.special import ndtri, stdtrit

        share = (1.0 + coverage) / 2.0
        if not math.isfinite(self.dof):
            return float(ndtri(share))
        return float(stdtrit(math.floor(self.dof), share))

    def interval(self, coverage: float = 0.95) -> tuple[float, float]:
        half = self.factor(coverage) * self.u
        return self.value - half, self.value + half


def budget(
    book: Book,
    estimates: Mapping[str, Estimate],
    line: str,
    *,
    fixed: Mapping[str, Any] | None = None,
    correlations: Correlations | None = None,
    samples: int = 0,
    seed: int = 0,
) -> Budget:
    """The budget of a line, and with ``samples`` its sampling and whether the two agree.

    ``fixed`` are inputs without spread (tables among them); inputs not given stand at the book's
    defaults. Samples follow each input's spread, degrees of freedom left aside; correlations are
    those of the inputs' normal scores. Raises ``ValueError`` for a line without a value.
    """
    model = _Model(book, estimates, line, fixed or {})
    names, related_to = tuple(estimates), correlations or {}
    us = np.array([moments(e.value, e.spread)[1] for e in estimates.values()])
    slopes = model.slopes(us)
    effects = slopes * us
    u = math.sqrt(float(effects @ _matrix(names, related_to) @ effects))
    parts = tuple(
        Part(name=n, slope=float(c), input_u=float(x), u=abs(float(e)), dof=estimates[n].dof)
        for n, c, x, e in zip(names, slopes, us, effects, strict=True)
    )
    second, pairs = (math.nan, {}) if related_to else model.second(us, slopes, u)
    found = Budget(
        line=line,
        value=model.value,
        u=u,
        parts=parts,
        dof=math.nan if related_to else effective_dof(parts),
        second=second,
        pairs=pairs,
        sampled=None,
        warnings=(),
    )
    return found if samples == 0 else _beside(found, model, related_to, samples, seed)


def effective_dof(parts: tuple[Part, ...]) -> float:
    """Welch–Satterthwaite: u⁴ / Σ uᵢ⁴/νᵢ over independent contributions (JCGM 100:2008, G.4.1)."""
    lost = sum(part.u**4 / part.dof for part in parts if math.isfinite(part.dof) and part.u > 0.0)
    whole = sum(part.u**2 for part in parts)
    return whole**2 / lost if lost > 0.0 else math.inf


def _matrix(names: tuple[str, ...], correlations: Correlations) -> Array:
    matrix = np.eye(len(names))
    for (one, other), r in correlations.items():
        i, j = names.index(one), names.index(other)
        matrix[i, j] = matrix[j, i] = r
    return matrix


class _Model:
    """The line as a function of its estimates, over arrays of shape (points,)."""

    def __init__(
        self, book: Book, estimates: Mapping[str, Estimate], line: str, fixed: Mapping[str, Any]
    ) -> None:
        self.book, self.estimates, self.line, self.fixed = book, estimates, line, fixed
        self.centre = np.array([e.value for e in estimates.values()])
        self.value = float(self.at(self.centre[None, :])[0])

    def at(self, points: Array) -> Array:
        """The line at points of shape (points, inputs)."""
        return self.of(dict(zip(self.estimates, points.T, strict=True)), len(points))

    def of(self, inputs: Mapping[str, Any], count: int) -> Array:
        result = quick_samples(self.book, {**self.fixed, **inputs}, only=self.line)
        if self.line in result.missing:
            raise ValueError(f"{self.book.name}: {self.line} {result.missing[self.line]}")
        return np.broadcast_to(np.asarray(result.values[self.line], dtype=np.float64), (count,))

    def moved(self, us: Array, *steps: Mapping[int, float]) -> Array:
        """The line where inputs are moved by so many standard uncertainties, for each of the steps."""
        points = np.tile(self.centre, (len(steps), 1))
        for point, step in zip(points, steps, strict=True):
            for n, size in step.items():
                point[n] += size * us[n]
        return self.at(points)

    def slopes(self, us: Array) -> Array:
        """Central differences at two steps, the error of the step taken out (Richardson)."""
        found = np.zeros(len(us))
        for n, u in enumerate(us):
            if u == 0.0:
                continue
            h = _STEP
            up, down, up2, down2 = self.moved(us, {n: h}, {n: -h}, {n: h / 2.0}, {n: -h / 2.0})
            found[n] = (4.0 * (up2 - down2) / h - (up - down) / (2.0 * h)) / (3.0 * u)
        return found

    def second(self, us: Array, slopes: Array, first: float) -> tuple[float, dict[tuple[str, str], float]]:
        """u with Σᵢ Σⱼ [½ fᵢⱼ² + fᵢ fᵢⱼⱼ] uᵢ² uⱼ² added (JCGM 100:2008, 5.1.2, note), and the pairs."""
        names, h = tuple(self.estimates), _STEP
        terms: dict[tuple[str, str], float] = {}
        for i in range(len(us)):
            for j in range(len(us)):
                if us[i] > 0.0 and us[j] > 0.0:
                    mixed, third = self._mixed(us, i, j, h)
                    term = 0.5 * mixed**2 + slopes[i] * us[i] * third
                    pair = (names[min(i, j)], names[max(i, j)])
                    terms[pair] = terms.get(pair, 0.0) + term
        variance = first**2 + sum(terms.values())
        small = NO_SLOPE * max(variance, 0.0)
        pairs = {pair: math.sqrt(term) for pair, term in terms.items() if term > small}
        return math.sqrt(max(variance, 0.0)), pairs

    def _mixed(self, us: Array, i: int, j: int, h: float) -> tuple[float, float]:
        """fᵢⱼ uᵢuⱼ and fᵢⱼⱼ uᵢuⱼ² by central differences."""
        if i == j:
            up2, up, mid, down, down2 = self.moved(us, {i: 2 * h}, {i: h}, {}, {i: -h}, {i: -2 * h})
            return (up - 2 * mid + down) / h**2, (up2 - 2 * up + 2 * down - down2) / (2 * h**3)
        steps = [{i: a * h, j: b * h} for a in (1.0, -1.0) for b in (1.0, 0.0, -1.0)]
        pp, p0, pm, mp, m0, mm = self.moved(us, *steps)
        mixed = (pp - pm - mp + mm) / (4 * h**2)
        return mixed, ((pp - 2 * p0 + pm) - (mp - 2 * m0 + mm)) / (2 * h**3)

    def drawn(self, correlations: Correlations, count: int, seed: int) -> dict[str, Samples]:
        """Samples of every estimate. A correlation r of normal scores has rank 6/π·asin(r/2)."""
        ranks = [(a, b, 6.0 / math.pi * math.asin(r / 2.0)) for (a, b), r in correlations.items()]
        with related(copula_of([(self.stream(a), self.stream(b), rank) for a, b, rank in ranks])):
            return {
                name: sample_spread(e.value, e.spread, self.stream(name), count, seed=seed)
                for name, e in self.estimates.items()
            }

    def stream(self, name: str) -> str:
        return f"budget:{self.book.name}:{name}"


def _beside(found: Budget, model: _Model, correlations: Correlations, count: int, seed: int) -> Budget:
    """The budget with its sampling, and what to say where it misleads."""
    drawn = model.drawn(correlations, count, seed)
    line = model.of(drawn, count)
    sampled = Sampled(
        count=count,
        mean=float(line.mean()),
        u=float(line.std()),
        symmetric=interval(line),
        shortest=shortest(line),
    )
    warnings = []
    for part in found.parts:
        flat = part.input_u > 0.0 and part.u**2 <= NO_SLOPE * found.u**2
        if flat and sampled.u > 0.0:
            still = model.of({**drawn, part.name: model.estimates[part.name].value}, count)
            share = 1.0 - float(still.var()) / sampled.u**2
            if share > WORTH_SAYING:
                warnings.append(
                    f"{part.name}: the slope of {found.line} is nothing here, yet {100.0 * share:.0f} % of "
                    "the sampled variance goes with it; first order misses it"
                )
    if not _agree(found, sampled):
        warnings.append(
            f"{found.line}: first order gives {found.u:.3g} and an interval that the samples, "
            f"{sampled.u:.3g}, do not bear out; take the sampled interval"
        )
    return Budget(
        line=found.line,
        value=found.value,
        u=found.u,
        parts=found.parts,
        dof=found.dof,
        second=found.second,
        pairs=found.pairs,
        sampled=sampled,
        warnings=tuple(warnings),
    )


def _agree(found: Budget, sampled: Sampled) -> bool:
    """JCGM 101:2008, 8.1: both ends within half a unit of the second digit of the uncertainty.

    Both intervals are those of infinite degrees of freedom, since the samples are. What the ends of
    the samples may stray by is allowed on top: three times √(p(1 − p)/n) over the density there.
    """
    if not sampled.u > 0.0:
        return found.u == 0.0
    tolerance = 0.5 * 10.0 ** (math.floor(math.log10(sampled.u)) - 1)
    point = 1.959963984540054  # of the normal distribution, two-sided 95 %
    density = math.exp(-point * point / 2.0) / math.sqrt(2.0 * math.pi) / sampled.u
    tolerance += 3.0 * math.sqrt(0.025 * 0.975 / sampled.count) / density
    half = point * found.u
    ends = (found.value - half, found.value + half)
    return all(abs(a - b) <= tolerance for a, b in zip(ends, sampled.symmetric, strict=True))
