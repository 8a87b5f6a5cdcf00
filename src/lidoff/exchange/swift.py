"""Building many frozen records quickly.

A frozen dataclass sets each field through ``object.__setattr__``, which is most of the time of reading
ten thousand rows. A twin class of the same slots takes plain assignments and is then given the frozen
class; the result is an ordinary instance, equal to one made the usual way (a test holds that).
"""

from __future__ import annotations

from typing import Any

from ..quantities import Basis, Reading, Spread, Word
from ..records import Item, Marking


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


def item(
    identity: str, number: str, name: str, parent: str | None, position: int,
    quantity: Reading | None, mass: Reading | None,
    material: Word | None, process: Word | None, function: Word | None,
    length: Reading | None, width: Reading | None, thickness: Reading | None, wall: Reading | None,
    markings: tuple[Marking, ...], photos: tuple[str, ...], remarks: str, origin: str,
    extra: tuple[tuple[str, str], ...],
) -> Item:  # fmt: skip
    """An `Item` without weighings, not held."""
    new: Any = _OpenItem()
    new.id = identity
    new.number = number
    new.name = name
    new.parent = parent
    new.position = position
    new.quantity = quantity
    new.mass = mass
    new.material = material
    new.process = process
    new.function = function
    new.length = length
    new.width = width
    new.thickness = thickness
    new.wall = wall
    new.weighings = ()
    new.markings = markings
    new.photos = photos
    new.remarks = remarks
    new.origin = origin
    new.held = False
    new.extra = extra
    new.__class__ = Item
    made: Item = new
    return made
