"""Whole assemblies against the sum of their parts."""

from __future__ import annotations

import numpy as np

from ...records import Pack
from ..closing import Closing, closings
from ..findings import Doubt
from ..limits import limit
from ..tree import Tree
from .ids import doubt_id, kilograms, place


def assembly_doubts(pack: Pack, tree: Tree, count: int) -> tuple[Doubt, ...]:
    """A doubt where an assembly weighed whole and its parts disagree beyond interval and limit.

    Those that agree are told in the working of the closure, not here.
    """
    doubts = []
    for closing in closings(tree, count):
        off = abs(closing.difference) / closing.weighed if closing.weighed > 0.0 else 0.0
        if not closing.agrees and off > limit("assembly_off"):
            doubts.append(_disagreement(pack, closing))
        doubts.extend(_outliers(pack, closing))
    return tuple(doubts)


def _disagreement(pack: Pack, closing: Closing) -> Doubt:
    item = closing.node.item
    heavier = closing.difference > 0.0
    whole = "one weighing" if closing.weighings == 1 else f"the mean of {closing.weighings} weighings"
    says = (
        f"{closing.node.label}: its parts add up to {kilograms(closing.parts)}, {whole} of the whole is "
        f"{kilograms(closing.weighed)}; the parts are {kilograms(abs(closing.difference))} "
        f"{'heavier' if heavier else 'lighter'}"
    )
    if heavier:
        proposed = (
            "look for a line listed twice, a quantity or mass too high, or a whole weighed without a part"
        )
    else:
        proposed = "look for a line left out, a quantity or mass too low, or a whole weighed with more on it"
    return Doubt(
        id=doubt_id("assembly", pack, item.id, closing.parts, closing.weighed),
        pack=pack.id,
        item=item.id,
        kind="assembly",
        where=place(item, *item.weighings),
        says=says,
        proposed=proposed,
    )


def _outliers(pack: Pack, closing: Closing) -> list[Doubt]:
    """Weighings of one assembly that stand far from the others."""
    item = closing.node.item
    values = np.array([r.value for r in item.weighings])
    if len(values) < 3:
        return []
    middle = float(np.median(values))
    doubts = []
    for number, reading in enumerate(item.weighings, start=1):
        if middle > 0.0 and abs(reading.value - middle) > limit("weighing_off") * middle:
            doubts.append(
                Doubt(
                    id=doubt_id("weighing", pack, item.id, number, reading.value),
                    pack=pack.id,
                    item=item.id,
                    kind="weighing",
                    where=place(item, reading),
                    says=(
                        f"{closing.node.label}: weighing {number} of {len(values)}, "
                        f"{kilograms(reading.value)}, stands far from the others about {kilograms(middle)}"
                    ),
                    proposed="weigh that one again, or see whether a digit was miswritten",
                )
            )
    return doubts
