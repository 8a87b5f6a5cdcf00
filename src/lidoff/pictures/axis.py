"""Round numbers for an axis."""

from __future__ import annotations

import math


def ticks(low: float, high: float, about: int = 5) -> tuple[float, ...]:
    """Round values from ``low`` to ``high``, stepping by 1, 2 or 5 times a power of ten."""
    if not high > low:
        return (low,)
    rough = (high - low) / max(about, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= rough * (1 - 1e-9))
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return tuple(k * step for k in range(first, last + 1))


def tick_decimals(values: tuple[float, ...]) -> int:
    """Decimals that tell neighbouring ticks apart."""
    if len(values) < 2:
        return 0
    return max(0, -math.floor(math.log10(values[1] - values[0]) + 1e-9))
