"""Published means and variances of the distributions that readings are drawn from, cut off or not.

Sources are named beside each formula. A million samples tell a mean to 0.001 of the standard deviation
and a variance to about 0.2 %; the tolerances are five times that.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidoff.quantities import Shape, Spread
from lidoff.quantities.moments import moments
from lidoff.quantities.sampling import sample_spread

COUNT = 1_000_000


def phi(x: float) -> float:
    return math.exp(-x * x / 2.0) / math.sqrt(2.0 * math.pi) if math.isfinite(x) else 0.0


def cdf(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2.0))


def assert_moments(drawn: np.ndarray, mean: float, variance: float) -> None:
    assert abs(float(drawn.mean()) - mean) <= 0.005 * math.sqrt(variance)
    assert float(drawn.var()) == pytest.approx(variance, rel=0.012)


@pytest.mark.parametrize(
    ("value", "u", "low", "high"),
    [(1.0, 0.5, 0.0, None), (1.0, 1.0, None, 1.2), (3.0, 2.0, 2.0, 3.5), (0.0, 1.0, 0.0, None)],
)
def test_truncated_normal(value: float, u: float, low: float | None, high: float | None) -> None:
    """Johnson, Kotz & Balakrishnan 1994, Continuous univariate distributions 1, 13.10.1 (from memory).

    The last case is the half-normal: mean u·√(2/π), variance u²(1 − 2/π).
    """
    drawn = sample_spread(value, Spread(shape=Shape.NORMAL, u=u, low=low, high=high), "cut", COUNT)
    a = -math.inf if low is None else (low - value) / u
    b = math.inf if high is None else (high - value) / u
    part = cdf(b) - cdf(a)
    shift = (phi(a) - phi(b)) / part
    ends = (a * phi(a) if math.isfinite(a) else 0.0) - (b * phi(b) if math.isfinite(b) else 0.0)
    assert_moments(drawn, value + u * shift, u * u * (1.0 + ends / part - shift * shift))
    if value == 0.0:
        assert value + u * shift == pytest.approx(u * math.sqrt(2.0 / math.pi), rel=1e-12)


@pytest.mark.parametrize(("value", "u", "low", "high"), [(2.0, 0.4, 1.0, 4.0), (5.0, 0.7, None, 6.0)])
def test_truncated_lognormal(value: float, u: float, low: float | None, high: float | None) -> None:
    """Moments by completing the square: E Xᵏ = mᵏ·exp(k²u²/2)·[Φ(b − ku) − Φ(a − ku)]/[Φ(b) − Φ(a)]."""
    drawn = sample_spread(value, Spread(shape=Shape.LOGNORMAL, u=u, low=low, high=high), "log cut", COUNT)
    a = -math.inf if low is None else math.log(low / value) / u
    b = math.inf if high is None else math.log(high / value) / u

    def moment(k: int) -> float:
        part = (cdf(b - k * u) - cdf(a - k * u)) / (cdf(b) - cdf(a))
        return float(value**k * math.exp(k * k * u * u / 2.0) * part)

    assert_moments(drawn, moment(1), moment(2) - moment(1) ** 2)


def test_lognormal() -> None:
    """Mean m·exp(u²/2), variance m²·exp(u²)(exp(u²) − 1), m the median (Johnson et al. 1994, chapter 14)."""
    drawn = sample_spread(3.0, Spread(shape=Shape.LOGNORMAL, u=0.3), "log", COUNT)
    grown = math.exp(0.09)
    assert_moments(drawn, 3.0 * math.sqrt(grown), 9.0 * grown * (grown - 1.0))
    assert float(np.median(drawn)) == pytest.approx(3.0, rel=0.003)


def test_uniform() -> None:
    """Half-width a, variance a²/3 (JCGM 100:2008, 4.3.7)."""
    drawn = sample_spread(2.0, Spread(shape=Shape.UNIFORM, low=1.0, high=4.0), "flat", COUNT)
    assert_moments(drawn, 2.5, 1.5**2 / 3.0)


@pytest.mark.parametrize("mode", [1.0, 2.0, 4.0, 2.5])
def test_triangular(mode: float) -> None:
    """Variance a²/6 in the symmetric case (JCGM 100:2008, 4.3.9); (a²+b²+c²−ab−ac−bc)/18 at large."""
    low, high = 1.0, 4.0
    drawn = sample_spread(mode, Spread(shape=Shape.TRIANGULAR, low=low, high=high), "tri", COUNT)
    square = low**2 + mode**2 + high**2 - low * mode - low * high - mode * high
    assert_moments(drawn, (low + mode + high) / 3.0, square / 18.0)
    if mode == 2.5:
        assert square / 18.0 == pytest.approx(1.5**2 / 6.0, rel=1e-12)


def test_discrete() -> None:
    """Mean Σpv and variance Σpv² − (Σpv)², by definition; weights need not add to one."""
    choices = ((1.0, 2.0), (2.0, 5.0), (7.0, 3.0))
    drawn = sample_spread(2.0, Spread(shape=Shape.DISCRETE, choices=choices), "one of", COUNT)
    mean = sum(v * p for v, p in choices) / 10.0
    assert_moments(drawn, mean, sum(v * v * p for v, p in choices) / 10.0 - mean**2)


@pytest.mark.parametrize(
    "spread",
    [
        Spread(),
        Spread(shape=Shape.NORMAL, u=0.5, low=1.8, high=4.0),
        Spread(shape=Shape.LOGNORMAL, u=0.4, low=1.0, high=4.0),
        Spread(shape=Shape.LOGNORMAL, u=0.2),
        Spread(shape=Shape.UNIFORM, low=1.0, high=4.0),
        Spread(shape=Shape.TRIANGULAR, low=1.0, high=4.0),
        Spread(shape=Shape.DISCRETE, choices=((1.0, 2.0), (7.0, 3.0))),
        Spread(shape=Shape.NORMAL, u=0.3, shared=(("scale", 0.4),)),
    ],
    ids=lambda spread: f"{spread.shape} {spread.low} {bool(spread.shared)}",
)
def test_closed_moments_are_those_of_the_samples(spread: Spread) -> None:
    mean, u = moments(2.0, spread)
    drawn = sample_spread(2.0, spread, "closed", COUNT)
    assert abs(float(drawn.mean()) - mean) <= 0.005 * u
    assert float(drawn.std()) == pytest.approx(u, rel=0.006)
