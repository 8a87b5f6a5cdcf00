"""Draws: where the random numbers of every stream come from, and who may put others in their place.

A stream is a reading's stable id. Its standard numbers come from a counter-based generator seeded
by that id, unless somebody draws instead: whoever varies one reading at a time, or follows a
designed sample, wraps an evaluation in `drawing`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from enum import Enum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from .copula import Copula

Samples = NDArray[np.float64]


class Kind(Enum):
    """What a stream's standard numbers are: normal z, u in [0, 1), or u of a truncated normal."""

    NORMAL = "normal"
    FLAT = "flat"
    FOLDED = "folded"


class Draws(Protocol):
    """Who draws instead of the streams.

    ``key`` tells its draws from all others: samples kept from one evaluation to the next are kept
    under it.
    """

    @property
    def key(self) -> Hashable: ...

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        """``count`` standard numbers of a stream, or ``None`` to leave them to the stream itself."""
        ...


_drawing: ContextVar[Draws | None] = ContextVar("drawing", default=None)


@contextmanager
def drawing(draws: Draws) -> Iterator[None]:
    """Let ``draws`` answer for the streams of everything evaluated inside."""
    token = _drawing.set(draws)
    try:
        yield
    finally:
        _drawing.reset(token)


_related: ContextVar[Copula | None] = ContextVar("related", default=None)


@contextmanager
def related(copula: Copula | None) -> Iterator[None]:
    """Let streams go together as a copula says, in everything evaluated inside, whoever draws them."""
    token = _related.set(copula if copula is not None and copula.rows else None)
    try:
        yield
    finally:
        _related.reset(token)


def somebody_draws() -> bool:
    """Whether somebody draws in place of the streams."""
    return _drawing.get() is not None


def draws_key() -> Hashable:
    """Whose draws are in force, and what goes together; ``None`` where every stream draws for itself."""
    draws, copula = _drawing.get(), _related.get()
    if copula is not None:
        return None if draws is None else draws.key, copula.key
    return None if draws is None else draws.key


@dataclass(frozen=True, slots=True)
class Seeded:
    """Every stream drawn anew, under another seed: a repeated run, or the next block of a long one."""

    seed: str

    @property
    def key(self) -> Hashable:
        return "seeded", self.seed

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        return own_numbers(identity, kind, count, self.seed)


def stream(identity: str, *, seed: int | str = 0) -> np.random.Generator:
    """The random stream that belongs to an id (counter based, so the order of use is free)."""
    digest = hashlib.blake2b(f"{seed}:{identity}".encode(), digest_size=16).digest()
    return np.random.Generator(np.random.Philox(key=np.frombuffer(digest, dtype=np.uint64)))


def own_numbers(identity: str, kind: Kind, count: int, seed: int | str = 0) -> Samples:
    """The standard numbers of the stream itself, whoever is drawing."""
    generator = stream(identity, seed=seed)
    return generator.standard_normal(count) if kind is Kind.NORMAL else generator.random(count)


def standard(identity: str, kind: Kind, count: int, seed: int = 0) -> Samples:
    """Standard numbers of a stream: of whoever draws, else its own, mixed where some go together."""
    copula = _related.get()
    if copula is None or identity not in copula.rows:
        return _drawn(identity, kind, count, seed)

    def own(stream: str) -> Samples:
        return _drawn(stream, Kind.NORMAL, count, seed)

    mixed = copula.scores(identity, own) if kind is Kind.NORMAL else copula.uniform(identity, own)
    return mixed


def _drawn(identity: str, kind: Kind, count: int, seed: int) -> Samples:
    draws = _drawing.get()
    given = None if draws is None else draws.standard(identity, kind, count, seed)
    return own_numbers(identity, kind, count, seed) if given is None else given
