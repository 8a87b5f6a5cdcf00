"""Rows of a price file declared to move together."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from ..quantities.copula import CorrelationError, copula_of
from ..records import Correlation
from .book import PriceError

_KEYS = {"first", "second", "rank", "source", "about"}


def read_correlations(
    data: Mapping[str, Any], rows: Collection[str], sums: Collection[str], origin: str
) -> tuple[Correlation, ...]:
    """``[[correlations]]`` with first, second, rank and source, and about where there is more to say.

    ``rows`` are the keys of rows that are drawn, ``sums`` of those that follow. Raises `PriceError`.
    """
    found = []
    for number, entry in enumerate(data.get("correlations", []), start=1):
        place = f"{origin}: correlation {number}"
        if not isinstance(entry, dict) or set(entry) - _KEYS or not str(entry.get("source", "")).strip():
            raise PriceError(f"{place} takes first, second, rank and source, and may take about")
        for key in (str(entry.get("first")), str(entry.get("second"))):
            if key in sums:
                raise PriceError(f"{place}: {key!r} is a sum of rows; correlate the rows that it sums")
            if key not in rows:
                raise PriceError(f"{place}: the book has no row {key!r}")
        rank = entry.get("rank")
        if isinstance(rank, bool) or not isinstance(rank, int | float):
            raise PriceError(f"{place}: rank {rank!r} is not a number")
        found.append(
            Correlation(
                id=f"{origin}:{number}",
                first=f"price:{entry['first']}",
                second=f"price:{entry['second']}",
                rank=float(rank),
                why=str(entry.get("about", "")),
                origin=str(entry["source"]),
            )
        )
    try:
        copula_of([(c.first, c.second, c.rank) for c in found])
    except CorrelationError as error:
        raise PriceError(f"{origin}: {error}") from error
    return tuple(found)


def laid_over(book: tuple[Correlation, ...], own: tuple[Correlation, ...]) -> tuple[Correlation, ...]:
    """The user's own in place of the book's for the same pair."""
    pairs = {frozenset((c.first, c.second)) for c in own}
    return (*(c for c in book if frozenset((c.first, c.second)) not in pairs), *own)
