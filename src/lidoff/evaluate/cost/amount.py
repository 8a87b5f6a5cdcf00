"""Amount: a nominal value with its samples, the pair that costs are computed in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from ...quantities.sampling import Samples, interval
from ..findings import Money

#: The samples of an evaluation at nominal values only.
NOTHING: Samples = np.empty(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """``samples`` has shape (samples,); it is empty in an evaluation at nominal values only."""

    value: float
    samples: Samples

    def __add__(self, other: Amount) -> Amount:
        samples = self.samples + other.samples if self.samples.size else NOTHING
        return Amount(value=self.value + other.value, samples=samples)

    def __mul__(self, other: Amount) -> Amount:
        if self.samples.size and other.samples.strides == (0,):  # the same number a sample
            return self.times(other.value)
        samples = self.samples * other.samples if self.samples.size else NOTHING
        return Amount(value=self.value * other.value, samples=samples)

    def __truediv__(self, other: Amount) -> Amount:
        samples = self.samples / other.samples if self.samples.size else NOTHING
        return Amount(value=self.value / other.value, samples=samples)

    def times(self, factor: float) -> Amount:
        if factor == 1.0:
            return self
        samples = self.samples * factor if self.samples.size else NOTHING
        return Amount(value=self.value * factor, samples=samples)

    def money(self) -> Money:
        """As a cost element with its interval; without samples the interval is the value."""
        if not self.samples.size:
            return Money(value=self.value, low=self.value, high=self.value)
        low, high = interval(self.samples)
        self.samples.setflags(write=False)  # findings are shared by whoever asked for them
        return Money(value=self.value, low=low, high=high, samples=self.samples)


def exactly(value: float, count: int) -> Amount:
    """A value without spread; its samples are one number seen ``count`` times."""
    return Amount(value=value, samples=np.broadcast_to(np.float64(value), (count,)) if count else NOTHING)


def total(amounts: Iterable[Amount], count: int) -> Amount:
    """The sum, exactly zero where there is nothing to add."""
    result = exactly(0.0, count)
    for amount in amounts:
        result = result + amount
    return result
