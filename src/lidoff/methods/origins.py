"""Origins: what an input's ``from`` names (a material's property, a price) as a reading."""

from __future__ import annotations

from dataclasses import dataclass

from ..materials import Material
from ..prices import PriceBook
from ..quantities import Reading, fits, parse_unit
from .book import Input


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found: the reading, its source's id, and whose random stream it is.

    Streams of materials and prices carry no item's name: what packs share moves together.
    ``price`` is the price row's key where it is one.
    """

    reading: Reading
    source: str
    stream: str
    price: str | None = None


def look_up(entry: Input, material: Material | None, prices: PriceBook | None) -> Found | None:
    """The reading behind ``material.…`` or ``price.…``, or ``None`` where there is none.

    Raises ``ValueError`` where it has another dimension than the input.
    """
    room, _, key = (entry.comes_from or "").partition(".")
    found: Found | None = None
    if room == "price" and prices is not None:
        found = price_of(prices, key)
    elif room == "material" and material is not None:
        found = _material(material, key, prices)
    if found is not None and not fits(parse_unit(found.reading.unit), entry.unit.dimension):
        raise ValueError(
            f"{entry.name} wants {entry.unit.text or 'a plain number'}, "
            f"but {entry.comes_from} is in {found.reading.unit or 'plain numbers'}"
        )
    return found


def price_of(prices: PriceBook, key: str) -> Found | None:
    """A row of the price book as found, or ``None``."""
    row = prices.rows.get(key)
    if row is None:
        return None
    return Found(reading=row.reading(), source=row.source, stream=f"price:{key}", price=key)


def _material(material: Material, key: str, prices: PriceBook | None) -> Found | None:
    if key in ("price", "scrap_price"):
        row = material.price if key == "price" else material.scrap
        return None if row is None or prices is None else price_of(prices, row)
    entry = material.properties.get(key)
    if entry is None:
        return None
    return Found(reading=entry.reading(), source=entry.source, stream=f"material:{material.key}:{key}")
