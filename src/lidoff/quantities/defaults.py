"""Spreads where the bench stated none.

Every figure here is this project's own choice, to be overridden by a stated spread; none is a
published value. They are relative standard uncertainties unless said.
"""

from __future__ import annotations

import math

from .reading import Basis
from .spread import Shape, Spread, by_division, lognormal, normal

#: Relative standard uncertainty by basis, for masses and most other numbers.
RELATIVE = {
    Basis.WEIGHED: 0.002,
    Basis.MEASURED: 0.005,
    Basis.MARKED: 0.02,
    Basis.PUBLISHED: 0.03,
    Basis.BY_DIFFERENCE: 0.10,
    Basis.BY_MODEL: 0.10,
    Basis.ESTIMATED: 0.15,
    Basis.ASSUMED: 0.30,
}

#: Calibration error of a bench or crane scale as a share of the load, common to all its weighings.
SCALE_CALIBRATION = 0.0005


def default_spread(
    value: float, basis: Basis, *, instrument: str | None = None, division: float | None = None
) -> Spread:
    """The spread of a number nobody qualified. ``division`` is the instrument's, in SI."""
    if basis is Basis.COUNTED or value == 0.0:
        return Spread(shape=Shape.EXACT)
    if basis is Basis.WEIGHED and division is not None:
        return by_division(division, SCALE_CALIBRATION, value, instrument or "scale")
    if basis is Basis.MEASURED and division is not None:
        return normal(division / math.sqrt(12.0), stated=False)
    relative = RELATIVE[basis]
    if relative >= 0.1:  # wide spreads of positive things go by a factor, never below zero
        return lognormal(relative, stated=False)
    return normal(relative * abs(value), stated=False)
