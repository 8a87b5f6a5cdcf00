"""Related: the declared correlations of a study and its prices, held against what there is to draw."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from ..quantities import Basis, Reading
from ..quantities.copula import Copula, CorrelationError, copula_of
from ..records import Correlation, Pack

if TYPE_CHECKING:
    from ..prices import PriceBook

_NUMBERS = ("mass", "quantity", "length", "width", "thickness", "wall")


def copula(declared: Sequence[Correlation], packs: Iterable[Pack], prices: PriceBook | None) -> Copula | None:
    """What goes together; ``None`` where nothing is declared. The study's word stands before the book's.

    Raises `CorrelationError` naming a correlation of something that is not drawn: that no record or
    price row has, that follows from other readings, or that is a sum of price rows.
    """
    of_prices = () if prices is None else prices.correlations
    if not declared and not of_prices:
        return None
    known = dict(stream for pack in packs for stream in _streams(pack)) if declared else {}
    for correlation in declared:
        for name in (correlation.first, correlation.second):
            room, _, key = name.partition(":")
            if room == "price" and prices is not None:
                _priced(correlation, key, prices)
            elif room not in ("price", "material"):
                _read(correlation, name, known.get(name))
    pairs = {frozenset((c.first, c.second)): c for c in (*of_prices, *declared)}
    return copula_of([(c.first, c.second, c.rank) for c in pairs.values()])


def _read(correlation: Correlation, name: str, reading: Reading | None) -> None:
    if reading is None:
        raise CorrelationError(f"correlation {correlation.id}: no record has a reading {name!r}")
    if reading.basis is Basis.BY_DIFFERENCE:
        raise CorrelationError(
            f"correlation {correlation.id}: {name!r} was found by difference and follows other readings"
        )


def _priced(correlation: Correlation, key: str, prices: PriceBook) -> None:
    row = prices.rows.get(key)
    if row is None:
        raise CorrelationError(f"correlation {correlation.id}: {prices.name} has no price row {key!r}")
    if row.terms:
        raise CorrelationError(
            f"correlation {correlation.id}: {key!r} is a sum of rows; correlate the rows that it sums"
        )


def _streams(pack: Pack) -> Iterator[tuple[str, Reading | None]]:
    """Readings of a pack by the names of their streams."""
    for item in pack.items:
        yield from ((f"{item.id}.{name}", getattr(item, name)) for name in _NUMBERS)
        yield from ((f"{item.id}.weighing.{n}", reading) for n, reading in enumerate(item.weighings))
    for joint in pack.joints:
        yield f"{joint.id}.count", joint.count
        yield from ((f"{joint.id}.torque.{n}", reading) for n, reading in enumerate(joint.torques))
    yield from ((f"{pack.id}.{fact.key}", fact.reading) for fact in pack.facts if fact.key is not None)
