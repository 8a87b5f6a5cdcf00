"""Who draws while the spread is looked into: a listener, one stream moved at a time, a matrix's columns."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count as counter

import numpy as np
from scipy.special import ndtr, ndtri

from ...quantities.draws import Draws, Kind, Samples, own_numbers

#: Three Gauss points a stream: the middle, which all share, and one below and one above.
_HERMITE = np.sqrt(3.0)
_LEGENDRE = 0.5 * np.sqrt(0.6)

#: Tells draws apart that differ in more than a key could say.
_serial = counter(1)


@dataclass(slots=True)
class Listening:
    """Passes every draw on and keeps which streams were asked for, in order, with their kind.

    What is drawn once and kept for others (a price) is heard again by whoever asks for it under
    the same `heading`.
    """

    draws: Draws | None = None
    heard: dict[str, Kind] = field(default_factory=dict)
    _headings: dict[str, dict[str, Kind]] = field(default_factory=dict)
    _number: int = field(default_factory=lambda: next(_serial))

    @property
    def key(self) -> Hashable:
        return ("listening", self._number)

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        self.heard.setdefault(identity, kind)
        return None if self.draws is None else self.draws.standard(identity, kind, count, seed)

    @property
    def under_headings(self) -> frozenset[str]:
        """Streams that belong to a heading, so to whoever asks for it."""
        return frozenset(stream for known in self._headings.values() for stream in known)

    @contextmanager
    def apart(self) -> Iterator[dict[str, Kind]]:
        """What is drawn inside, by itself; it is heard outside as well."""
        outside, self.heard = self.heard, {}
        try:
            yield self.heard
        finally:
            for identity, kind in self.heard.items():
                outside.setdefault(identity, kind)
            self.heard = outside

    @contextmanager
    def heading(self, name: str) -> Iterator[None]:
        """What is drawn inside belongs to ``name``, also when it is not drawn again."""
        with self.apart() as inside:
            yield
            known = self._headings.setdefault(name, {})
            known.update(inside)
            inside.update(known)


def middle(kind: Kind) -> float:
    """The standard number of the middle of a stream, where its reading stands at its value."""
    return 0.0 if kind is Kind.NORMAL else 0.5


def points(kind: Kind) -> tuple[float, float]:
    """The standard numbers below and above the middle at which a stream is looked at.

    Gauss–Hermite for bells (a truncated one by its own normal), Gauss–Legendre for flat ones.
    """
    if kind is Kind.NORMAL:
        return -_HERMITE, _HERMITE
    if kind is Kind.FOLDED:
        return float(ndtr(-_HERMITE)), float(ndtr(_HERMITE))
    return 0.5 - _LEGENDRE, 0.5 + _LEGENDRE


@dataclass(frozen=True, slots=True)
class OneAtATime:
    """Sample 0 has every stream in the middle, samples 2k+1 and 2k+2 move stream k down and up."""

    streams: Mapping[str, int]

    @classmethod
    def of(cls, streams: Sequence[str]) -> OneAtATime:
        return cls({identity: k for k, identity in enumerate(streams)})

    @property
    def key(self) -> Hashable:
        return ("one at a time", tuple(self.streams))

    @property
    def count(self) -> int:
        return 1 + 2 * len(self.streams)

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        numbers = np.full(count, middle(kind))
        k = self.streams.get(identity)
        if k is not None and count == self.count:
            numbers[2 * k + 1 : 2 * k + 3] = points(kind)
        return numbers


def narrowed(numbers: Samples, kind: Kind, factor: float) -> Samples:
    """Standard numbers drawn together about the middle, as a reading of less spread draws them."""
    if kind is Kind.NORMAL:
        return numbers * factor
    if kind is Kind.FOLDED:
        return np.asarray(ndtr(factor * ndtri(numbers)))
    return 0.5 + factor * (numbers - 0.5)


@dataclass(frozen=True, slots=True)
class Narrowed:
    """Every stream draws for itself, those named with their spread drawn together by a factor.

    ``again`` other than 0 makes all draws afresh.
    """

    factors: Mapping[str, float] = field(default_factory=dict)
    again: int = 0

    @property
    def key(self) -> Hashable:
        return ("narrowed", self.again, tuple(sorted(self.factors.items())))

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        factor = self.factors.get(identity)
        if factor is None and not self.again:
            return None
        numbers = own_numbers(identity, kind, count, seed + self.again)
        return numbers if factor is None else narrowed(numbers, kind, factor)


@dataclass(frozen=True, slots=True)
class Columns:
    """Streams that follow the columns of a matrix of uniform numbers.

    ``uniform`` maps a stream to its column, each of shape (samples,). The other streams draw for
    themselves, seeded by ``rest``; where it is ``None`` they stay in the middle.
    """

    uniform: Mapping[str, Samples] = field(repr=False)
    rest: int | None = None
    _number: int = field(default_factory=lambda: next(_serial))

    @property
    def key(self) -> Hashable:
        return ("columns", self._number)

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        column = self.uniform.get(identity)
        if column is None and self.rest is None:
            return np.full(count, middle(kind))
        if column is None:
            return own_numbers(identity, kind, count, seed + (self.rest or 0))
        return np.asarray(ndtri(column)) if kind is Kind.NORMAL else column
