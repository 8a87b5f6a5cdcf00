"""Leaves of the tree with their masses: one random stream a leaf, by its id."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..quantities import Basis, Reading, Shape
from ..quantities.sampling import Samples
from ..records import Function, Pack
from .findings import MassLine
from .known import draw
from .tree import Node, Tree


@dataclass(frozen=True, kw_only=True)
class Leaf:
    """A leaf: ``each`` is samples of one piece [kg], ``pieces`` samples of the count in a pack."""

    node: Node
    each: Samples | None
    pieces: Samples | float

    @cached_property
    def mass(self) -> float | None:
        """Nominal mass in a pack [kg]."""
        reading = self.node.item.mass
        return None if reading is None else reading.value * self.node.count

    @cached_property
    def samples(self) -> Samples | None:
        return None if self.each is None else self.each * self.pieces

    @property
    def is_coolant(self) -> bool:
        return self.node.function is Function.COOLANT

    @cached_property
    def line(self) -> MassLine:
        item = self.node.item
        return MassLine(
            item=item.id,
            number=item.number,
            name=item.name.strip(),
            function=self.node.function,
            count=self.node.count,
            mass=self.mass,
            basis=None if item.mass is None else item.mass.basis,
            samples=self.samples,
        )


def leaves(pack: Pack, tree: Tree, count: int) -> tuple[Leaf, ...]:
    """Every leaf, in the order of the records, with ``count`` samples of its mass.

    A mass found by difference is not drawn: it moves with the weighing it was taken from and
    against the other parts, so that the sum moves with the weighing alone.
    """
    drawn = {node.item.id: _each(node, count) for node in tree.leaves}
    derived = {
        node.item.id: moved
        for node in tree.leaves
        if (moved := _by_difference(pack, tree, node, drawn, count)) is not None
    }
    return tuple(
        Leaf(
            node=node, each=derived.get(node.item.id, drawn[node.item.id]), pieces=_pieces(tree, node, count)
        )
        for node in tree.leaves
    )


def _each(node: Node, count: int) -> Samples | None:
    mass = node.item.mass
    return None if mass is None else draw(mass, f"{node.item.id}.mass", count)


def _pieces(tree: Tree, node: Node, count: int, below: str | None = None) -> Samples | float:
    path = node.path if below is None else node.path[node.path.index(below) + 1 :]
    pieces: Samples | float = 1.0
    for identity in path:
        quantity = tree.nodes[identity].item.quantity
        if quantity is not None and _varies(quantity):
            pieces = pieces * draw(quantity, f"{identity}.quantity", count)
        elif quantity is not None:
            pieces = pieces * quantity.value
    return pieces


def _varies(quantity: Reading) -> bool:
    """Counts are exact unless somebody gave them a spread."""
    return quantity.spread.stated and quantity.spread.shape is not Shape.EXACT


def weighing_samples(readings: tuple[Reading, ...], identity: str, count: int) -> tuple[float, Samples]:
    """Mean of whole weighings and its samples, each weighing a stream of its own."""
    draws = [draw(r, f"{identity}.weighing.{n}", count) for n, r in enumerate(readings)]
    return float(np.mean([r.value for r in readings])), np.mean(draws, axis=0)


def _by_difference(
    pack: Pack, tree: Tree, node: Node, drawn: Mapping[str, Samples | None], count: int
) -> Samples | None:
    """Samples of a mass by difference, or ``None`` where it is to be drawn like any other.

    Taken from the nearest assembly above that was weighed whole (at the top: the pack's weighing),
    when it is the only such line under it and all others are known.
    """
    mass = node.item.mass
    if mass is None or mass.basis is not Basis.BY_DIFFERENCE:
        return None
    for above in tree.ancestors(node.item.id):
        whole = above.item.weighings
        at_top = above.item.parent is None
        total = pack.fact("mass_weighed") if at_top and not whole else None
        if not whole and total is None:
            continue
        below = tree.leaves_of(above.item.id)
        others = [
            n for n in below if n.item.id != node.item.id and not (total and n.function is Function.COOLANT)
        ]
        if any(
            drawn[n.item.id] is None or n.item.mass is None or n.item.mass.basis is mass.basis for n in others
        ):
            return None
        if whole:
            nominal, samples = weighing_samples(whole, above.item.id, count)
        else:
            assert total is not None
            nominal, samples = total.value, draw(total, f"{pack.id}.mass_weighed", count)
        deviation = samples - nominal
        for other in others:
            each, reading = drawn[other.item.id], other.item.mass
            if each is not None and reading is not None:
                deviation = deviation - (each - reading.value) * tree.count_below(other, above.item.id)
        return mass.value + deviation / tree.count_below(node, above.item.id)
    return None
