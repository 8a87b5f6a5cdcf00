"""The next thing to weigh: the line that leaves most open in the pack's mass."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ...quantities import Basis
from ...records import Pack
from ..findings import Doubt, MassLine
from ..known import draw
from ..limits import limit
from ..tree import Tree
from .ids import doubt_id, kilograms, place
from .missing import unweighed


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """What one line leaves open: its standard uncertainty in the pack [kg], and what to do."""

    item: str | None
    label: str
    u: float
    do: str


def next_doubts(pack: Pack, tree: Tree, lines: tuple[MassLine, ...], count: int) -> tuple[Doubt, ...]:
    """At most one: nothing is asked for where the rolled mass is already tight."""
    rolled = sum(line.mass or 0.0 for line in lines)
    ranked = ranking(pack, tree, lines, count)
    total = math.sqrt(sum(o.u**2 for o in ranked))
    if not ranked or rolled <= 0.0 or total <= limit("next_open") * rolled:
        return ()
    first = ranked[0]
    share = (first.u / total) ** 2
    if share < limit("next_share"):
        return ()
    says = (
        f"{first.label} leaves most open in the pack's mass: ±{kilograms(2.0 * first.u)} "
        f"of ±{kilograms(2.0 * total)} (two standard uncertainties)"
    )
    item = None if first.item is None else tree.nodes[first.item].item
    return (
        Doubt(
            id=doubt_id("next weighing", pack, first.item or "pack"),
            pack=pack.id,
            item=first.item,
            kind="next weighing",
            where="" if item is None else place(item, item.mass),
            says=says,
            proposed=first.do,
        ),
    )


def ranking(pack: Pack, tree: Tree, lines: tuple[MassLine, ...], count: int) -> list[Open]:
    """Lines by what they leave open, largest first; the pack's own weighing among them.

    A line without a mass is open from nothing to what its sizes hold (uniform, most/√12).
    """
    found = [
        Open(item=line.item, label=f"{line.number} {line.name}", u=float(np.std(line.samples)), do=_do(line))
        for line in lines
        if line.samples is not None
    ]
    for missing in unweighed(tree):
        if missing.most_in_pack is not None:
            do = "weigh one: it has no mass yet"
            u = missing.most_in_pack / math.sqrt(12.0)
            found.append(Open(item=missing.node.item.id, label=missing.node.label, u=u, do=do))
    reading = pack.fact("mass_weighed")
    if reading is not None:
        u = float(np.std(draw(reading, f"{pack.id}.mass_weighed", count)))
        do = "weigh the whole pack again on a finer scale, or in halves"
        found.append(Open(item=None, label="the weighing of the whole pack", u=u, do=do))
    return sorted(found, key=lambda o: -o.u)


def _do(line: MassLine) -> str:
    if line.basis in (Basis.ESTIMATED, Basis.ASSUMED, Basis.BY_DIFFERENCE, Basis.BY_MODEL):
        return "weigh it: so far it is not weighed"
    if line.count >= 20.0:
        return "weigh a good number of them at once, on the finer scale"
    return "weigh it again, on the finer scale"
