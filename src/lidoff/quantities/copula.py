"""Copula: streams that are declared to go together, without a change to how each is distributed.

Gaussian copula on the streams' normal scores. Rank correlation does not change under what is made of
a score (log-normal, triangular, truncated …), so it is reached whatever the readings' spreads are. A
rank correlation ρ asks for a correlation of the scores of 2·sin(π·ρ/6) (Kruskal 1958, Journal of the
American Statistical Association 53(284), 814-861).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float64]
#: Largest rank correlation that may be declared: beyond, two readings are one.
LARGEST = 0.999
_BELOW_ONE = float(np.nextafter(1.0, 0.0))


class CorrelationError(ValueError):
    """Correlations that cannot be; says which."""


@dataclass(frozen=True, slots=True)
class Copula:
    """``rows`` gives for a stream whose scores it mixes, with what weights. Streams that are not in it
    keep their own.
    """

    rows: Mapping[str, tuple[tuple[str, float], ...]]
    key: tuple[tuple[str, str, float], ...] = field(default=())

    def scores(self, identity: str, own: Callable[[str], Samples]) -> Samples:
        """Normal scores of a stream; ``own`` gives those that a stream draws by itself."""
        (first, weight), *others = self.rows[identity]
        mixed = weight * own(first)
        for other, share in others:
            mixed += share * own(other)
        return mixed

    def uniform(self, identity: str, own: Callable[[str], Samples]) -> Samples:
        """The same as numbers from 0 up to, not including, 1."""
        from scipy.special import ndtr

        return np.minimum(ndtr(self.scores(identity, own)), _BELOW_ONE)


def copula_of(pairs: Sequence[tuple[str, str, float]]) -> Copula:
    """The copula of declared pairs (stream, stream, rank correlation); pairs not declared go apart.

    Raises `CorrelationError` for a number out of range, a pair declared twice differently, and for
    pairs that contradict each other.
    """
    known: dict[frozenset[str], float] = {}
    for first, second, rank in pairs:
        if first == second:
            raise CorrelationError(f"{first} cannot be correlated with itself")
        if not -LARGEST <= rank <= LARGEST:
            raise CorrelationError(
                f"the rank correlation of {first} and {second} is {rank:g}, not from -{LARGEST} to {LARGEST}"
            )
        pair = frozenset((first, second))
        if known.setdefault(pair, rank) != rank:
            raise CorrelationError(f"the rank correlation of {first} and {second} is declared twice")
    rows: dict[str, tuple[tuple[str, float], ...]] = {}
    for group in _groups(known):
        rows |= _rows(group, known)
    return Copula(rows, tuple(sorted((min(pair), max(pair), rank) for pair, rank in known.items())))


def _groups(pairs: Collection[frozenset[str]]) -> list[list[str]]:
    """Streams that hang together, each group in the order of their names."""
    groups: list[set[str]] = []
    for pair in pairs:
        touched = [group for group in groups if group & pair]
        groups = [group for group in groups if not group & pair]
        groups.append(set(pair).union(*touched))
    return sorted(sorted(group) for group in groups)


def _rows(
    group: Sequence[str], known: Mapping[frozenset[str], float]
) -> dict[str, tuple[tuple[str, float], ...]]:
    """Rows of the Cholesky factor: the first stream keeps its scores, each next mixes those before."""
    size = len(group)
    matrix = np.eye(size)
    for i in range(size):
        for j in range(i):
            rank = known.get(frozenset((group[i], group[j])), 0.0)
            matrix[i, j] = matrix[j, i] = 2.0 * math.sin(math.pi * rank / 6.0)
    try:
        factor = np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError as error:
        raise CorrelationError(
            f"the rank correlations declared among {', '.join(group)} contradict each other"
        ) from error
    return {
        name: tuple((group[j], float(factor[i, j])) for j in range(i + 1) if factor[i, j] != 0.0)
        for i, name in enumerate(group)
    }
