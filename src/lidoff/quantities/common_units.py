"""The units every bench file uses, by definition of the SI or of the international pound and inch.

They spare a short command the quarter of a second that the unit library takes to load; a test holds
each against that library.
"""

from __future__ import annotations

import math
from fractions import Fraction

from .dimension import Dimension


def _dimension(kg: int = 0, m: int = 0, s: int = 0, A: int = 0, K: int = 0) -> Dimension:
    powers = {"kg": kg, "m": m, "s": s, "A": A, "K": K}
    return Dimension.of({base: Fraction(power) for base, power in powers.items() if power})


_MASS, _LENGTH, _TIME = _dimension(kg=1), _dimension(m=1), _dimension(s=1)
_VOLT, _OHM = _dimension(kg=1, m=2, s=-3, A=-1), _dimension(kg=1, m=2, s=-3, A=-2)
_JOULE, _NUMBER = _dimension(kg=1, m=2, s=-2), Dimension()

#: Unit text → (factor to SI, dimension).
COMMON: dict[str, tuple[float, Dimension]] = {
    "kg": (1.0, _MASS), "g": (1e-3, _MASS), "mg": (1e-6, _MASS), "t": (1e3, _MASS),
    "lb": (0.45359237, _MASS), "oz": (0.45359237 / 16.0, _MASS),
    "m": (1.0, _LENGTH), "dm": (0.1, _LENGTH), "cm": (1e-2, _LENGTH), "mm": (1e-3, _LENGTH),
    "um": (1e-6, _LENGTH), "km": (1e3, _LENGTH), "inch": (0.0254, _LENGTH), "ft": (0.3048, _LENGTH),
    "s": (1.0, _TIME), "min": (60.0, _TIME), "h": (3600.0, _TIME), "d": (86400.0, _TIME),
    "V": (1.0, _VOLT), "mV": (1e-3, _VOLT), "kV": (1e3, _VOLT),
    "A": (1.0, _dimension(A=1)), "Ah": (3600.0, _dimension(A=1, s=1)), "mAh": (3.6, _dimension(A=1, s=1)),
    "Wh": (3600.0, _JOULE), "kWh": (3.6e6, _JOULE), "J": (1.0, _JOULE), "N*m": (1.0, _JOULE),
    "part": (1.0, Dimension.of({"part": Fraction(1)})),
    "W": (1.0, _dimension(kg=1, m=2, s=-3)), "kW": (1e3, _dimension(kg=1, m=2, s=-3)),
    "ohm": (1.0, _OHM), "mohm": (1e-3, _OHM), "uohm": (1e-6, _OHM), "kohm": (1e3, _OHM), "Mohm": (1e6, _OHM),
    "l": (1e-3, _dimension(m=3)), "l/min": (1e-3 / 60.0, _dimension(m=3, s=-1)),
    "W/(m*K)": (1.0, _dimension(kg=1, m=1, s=-3, K=-1)),
    "deg": (math.pi / 180.0, _NUMBER), "percent": (0.01, _NUMBER),
}  # fmt: skip
