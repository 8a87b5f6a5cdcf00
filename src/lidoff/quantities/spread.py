"""Spread: how far a number may be off, and the defaults where nobody said."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Shape(StrEnum):
    """Distribution of a reading about its value."""

    EXACT = "exact"
    NORMAL = "normal"
    LOGNORMAL = "log-normal"
    TRIANGULAR = "triangular"
    UNIFORM = "uniform"
    DISCRETE = "discrete"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Spread of a reading, SI.

    ``u`` is the standard uncertainty (of the natural logarithm for ``LOGNORMAL``). ``low`` and
    ``high`` bound ``UNIFORM`` and ``TRIANGULAR`` and truncate the others at physical limits.
    ``choices`` holds (value, probability) for ``DISCRETE``. ``shared`` names streams that move
    this reading together with others (one scale's calibration), each with a standard uncertainty.
    ``stated`` is false for a default nobody wrote.
    """

    shape: Shape = Shape.EXACT
    u: float = 0.0
    low: float | None = None
    high: float | None = None
    choices: tuple[tuple[float, float], ...] = ()
    shared: tuple[tuple[str, float], ...] = ()
    stated: bool = False


def normal(u: float, *, stated: bool = True, shared: tuple[tuple[str, float], ...] = ()) -> Spread:
    return Spread(shape=Shape.NORMAL, u=u, stated=stated, shared=shared)


def lognormal(relative: float, *, stated: bool = True) -> Spread:
    """Spread by a factor: ``relative`` is the standard uncertainty as a share of the value."""
    return Spread(shape=Shape.LOGNORMAL, u=math.sqrt(math.log1p(relative * relative)), stated=stated)


def between(low: float, high: float, *, stated: bool = True) -> Spread:
    return Spread(shape=Shape.UNIFORM, low=low, high=high, stated=stated)


def by_division(division: float, calibration_relative: float, value: float, instrument: str) -> Spread:
    """Spread of one weighing: half a division either way, and the scale's own error, shared.

    Uniform rounding error division/√12 (JCGM 100:2008, F.2.2.1).
    """
    return Spread(
        shape=Shape.NORMAL,
        u=division / math.sqrt(12.0),
        shared=((f"instrument:{instrument}", calibration_relative * abs(value)),),
    )
