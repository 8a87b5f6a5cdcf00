"""Known: a number on its way through an evaluation, with its samples and what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from ..quantities import Basis, Reading, Shape
from ..quantities.defaults import default_spread
from ..quantities.sampling import Samples, sample


@dataclass(frozen=True, kw_only=True)
class Known:
    """Nominal value, samples, share of each basis, and how it is written in a worked line (SI)."""

    value: float
    samples: Samples
    basis: Mapping[Basis, float] = field(default_factory=dict)
    sources: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    @cached_property
    def u(self) -> float:
        """Standard uncertainty, from the samples."""
        return float(np.std(self.samples))

    def __mul__(self, other: Known) -> Known:
        return _joined(self, other, self.value * other.value, self.samples * other.samples)

    def __truediv__(self, other: Known) -> Known:
        return _joined(self, other, self.value / other.value, self.samples / other.samples)

    def times(self, factor: float) -> Known:
        """The same in another unit, or so many times over."""
        return replace(self, value=self.value * factor, samples=self.samples * factor)


def _joined(a: Known, b: Known, value: float, samples: Samples) -> Known:
    return Known(
        value=value,
        samples=samples,
        basis=mean_basis(a.basis, b.basis),
        sources=tuple(dict.fromkeys(a.sources + b.sources)),
        warnings=tuple(dict.fromkeys(a.warnings + b.warnings)),
    )


def mean_basis(*shares: Mapping[Basis, float]) -> dict[Basis, float]:
    """Basis of a product or ratio: every factor speaks with the same weight."""
    given = [share for share in shares if share]
    mixed: dict[Basis, float] = {}
    for share in given:
        for basis, part in share.items():
            mixed[basis] = mixed.get(basis, 0.0) + part / len(given)
    return mixed


def qualified(reading: Reading) -> Reading:
    """The reading with the default spread of its basis where nobody gave it one."""
    if reading.spread.stated or reading.spread.shape is not Shape.EXACT or reading.spread.shared:
        return reading
    spread = default_spread(reading.value, reading.basis, instrument=reading.instrument)
    return replace(reading, spread=spread)


def draw(reading: Reading, identity: str, count: int) -> Samples:
    """Samples of a reading from the stream of its id, default spread where none was given."""
    return sample(qualified(reading), identity, count) if count else np.empty(0)


def known(reading: Reading, identity: str, count: int) -> Known:
    return Known(value=reading.value, samples=draw(reading, identity, count), basis={reading.basis: 1.0})
