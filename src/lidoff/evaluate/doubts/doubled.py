"""Doubled lines: the same thing entered twice under different numbers."""

from __future__ import annotations

import re
from itertools import pairwise

from ...quantities import Reading
from ...records import Edit, EditKind, Item, Pack
from ..findings import Doubt
from ..tree import Tree
from .ids import doubt_id, kilograms, place


def doubled_doubts(pack: Pack, tree: Tree) -> tuple[Doubt, ...]:
    """Neighbours in one assembly alike in name, quantity, mass, material and sizes.

    Left and right parts, or one screw listed for two places, are alike too but say so in their
    name or are not neighbours; anything less than all of it alike is not doubted.
    """
    doubts = []
    lines = [node.item for node in tree.nodes.values() if node.is_leaf]
    for first, second in pairwise(lines):
        if first.parent == second.parent and first.number != second.number and _alike(first, second):
            doubts.append(_doubt(pack, first, second))
    return tuple(doubts)


def _alike(a: Item, b: Item) -> bool:
    if a.mass is None or _name(a) != _name(b) or (_remark(a) != _remark(b) and _remark(a) and _remark(b)):
        return False
    fields = ("mass", "quantity", "length", "width", "thickness")
    material = [("" if i.material is None else i.material.text.strip().lower()) for i in (a, b)]
    return material[0] == material[1] and all(_same(getattr(a, f), getattr(b, f)) for f in fields)


def _same(a: Reading | None, b: Reading | None) -> bool:
    if a is None or b is None:
        return a is b
    return a.value == b.value


def _name(item: Item) -> str:
    return re.sub(r"\W+", " ", item.name.lower()).strip()


def _remark(item: Item) -> str:
    return re.sub(r"\W+", " ", item.remarks.lower()).strip()


def _doubt(pack: Pack, first: Item, second: Item) -> Doubt:
    mass = "" if second.mass is None else f" of {kilograms(second.mass.value)}"
    return Doubt(
        id=doubt_id("doubled line", pack, first.id, second.id),
        pack=pack.id,
        item=second.id,
        kind="doubled line",
        where=place(second),
        says=f"{second.number} {second.name.strip()}{mass} is alike in all to {first.number} just above it",
        proposed="hold the second line back, if it is one thing entered twice",
        edits=(Edit(kind=EditKind.SET, record="item", target=second.id, field="held", value=True),),
    )
