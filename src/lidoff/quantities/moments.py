"""Moments: mean and standard deviation of a spread in closed form, for first-order budgets.

Truncated normal: Johnson, Kotz & Balakrishnan 1994, Continuous univariate distributions 1, 13.10.1;
truncated log-normal: by completing the square; triangular and uniform: JCGM 100:2008, 4.3.7 and 4.3.9.
"""

from __future__ import annotations

import math

from .spread import Shape, Spread


def moments(value: float, spread: Spread) -> tuple[float, float]:
    """Mean and standard deviation of a number with this spread, both in the number's unit (SI).

    Raises ``ValueError`` for a uniform or triangular spread without both bounds.
    """
    mean, variance = _own(value, spread)
    return mean, math.sqrt(max(variance, 0.0) + sum(u * u for _, u in spread.shared))


def _own(value: float, spread: Spread) -> tuple[float, float]:
    match spread.shape:
        case Shape.EXACT:
            return value, 0.0
        case Shape.DISCRETE:
            whole = sum(p for _, p in spread.choices)
            mean = sum(v * p for v, p in spread.choices) / whole
            return mean, sum(p * (v - mean) ** 2 for v, p in spread.choices) / whole
        case Shape.UNIFORM | Shape.TRIANGULAR:
            if spread.low is None or spread.high is None:
                raise ValueError(f"a {spread.shape} spread needs both bounds")
            low, high = spread.low, spread.high
            if spread.shape is Shape.UNIFORM:
                return (low + high) / 2.0, (high - low) ** 2 / 12.0
            square = low**2 + value**2 + high**2 - low * value - low * high - value * high
            return (low + value + high) / 3.0, square / 18.0
        case Shape.NORMAL:
            return _normal(value, spread)
        case Shape.LOGNORMAL:
            return _lognormal(value, spread)


def _normal(value: float, spread: Spread) -> tuple[float, float]:
    u = spread.u
    if u == 0.0 or (spread.low is None and spread.high is None):
        return value, u * u
    a = -math.inf if spread.low is None else (spread.low - value) / u
    b = math.inf if spread.high is None else (spread.high - value) / u
    part = _below(b) - _below(a)
    shift = (_density(a) - _density(b)) / part
    ends = (_edge(a) - _edge(b)) / part
    return value + u * shift, u * u * (1.0 + ends - shift * shift)


def _lognormal(value: float, spread: Spread) -> tuple[float, float]:
    u = spread.u
    if u == 0.0:
        return value, 0.0
    low = spread.low if spread.low is not None and spread.low > 0.0 else None
    a = -math.inf if low is None else math.log(low / value) / u
    b = math.inf if spread.high is None else math.log(spread.high / value) / u

    def moment(k: int) -> float:
        part = (_below(b - k * u) - _below(a - k * u)) / (_below(b) - _below(a))
        return value**k * math.exp(k * k * u * u / 2.0) * part

    mean = moment(1)
    return mean, moment(2) - mean * mean


def _density(z: float) -> float:
    return math.exp(-z * z / 2.0) / math.sqrt(2.0 * math.pi)


def _edge(z: float) -> float:
    return z * _density(z) if math.isfinite(z) else 0.0


def _below(z: float) -> float:
    """Share of the standard normal distribution below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))
