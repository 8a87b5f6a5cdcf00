"""Item: a node of the parts tree, with its readings, words and markings."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..quantities import Reading, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Marking:
    """What is moulded, printed or etched on a part."""

    text: str
    kind: str = "marking"  # material, maker code, part number, date, cavity, marking
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """An assembly, part or bulk material.

    ``quantity`` is per parent. ``mass`` is of one piece. ``length`` and ``width`` are in the
    plane, ``thickness`` is the third size as the bench wrote it, which may be a sheet's gauge or a
    part's outer height: ``wall`` holds a gauge or wall only where the bench said so.
    ``weighings`` are weighings of the whole item as assembled; they close a roll-up and never add
    to it. ``held`` lines (doubled entries) are kept out of every sum until answered.
    ``function`` is the item's own word; an item without one takes its parent's.
    """

    id: str
    number: str
    name: str
    parent: str | None = None
    position: int = 0
    quantity: Reading | None = None
    mass: Reading | None = None
    material: Word | None = None
    process: Word | None = None
    function: Word | None = None
    length: Reading | None = None
    width: Reading | None = None
    thickness: Reading | None = None
    wall: Reading | None = None
    weighings: tuple[Reading, ...] = ()
    markings: tuple[Marking, ...] = ()
    photos: tuple[str, ...] = ()
    remarks: str = ""
    origin: str = ""
    held: bool = False
    extra: tuple[tuple[str, str], ...] = field(default=())
