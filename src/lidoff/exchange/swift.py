"""Building many frozen records quickly.

A frozen dataclass sets each field through ``object.__setattr__``, which is most of the time of reading
ten thousand rows. A twin class of the same slots takes plain assignments and is then given the frozen
class; the result is an ordinary instance, equal to one made the usual way (a test holds that).
"""

from __future__ import annotations

from typing import Any

from ..quantities import Basis, Reading, Spread
from ..records import Item


class _OpenReading:
    __slots__ = Reading.__slots__


class _OpenItem:
    __slots__ = Item.__slots__


def reading(
    value: float, unit: str, basis: Basis, spread: Spread, instrument: str | None, origin: str, text: str
) -> Reading:
    """A `Reading` without note, of one observation."""
    new: Any = _OpenReading()
    new.value = value
    new.unit = unit
    new.basis = basis
    new.spread = spread
    new.instrument = instrument
    new.origin = origin
    new.text = text
    new.note = ""
    new.count = 1
    new.__class__ = Reading
    made: Reading = new
    return made


def item(**fields: Any) -> Item:
    """An `Item`; every field must be given."""
    new: Any = _OpenItem()
    for name, value in fields.items():
        setattr(new, name, value)
    new.__class__ = Item
    made: Item = new
    return made
