"""Mass against size, shape and density: what cannot be, and the slip of the pen that explains it."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Any

from ...quantities import Basis, Reading
from ...records import Edit, EditKind, Item, Pack
from ..findings import Doubt
from ..limits import limit
from ..shape import Body, MassBounds, body_of, mass_bounds
from ..tree import Node, Tree, quantity_of
from .ids import doubt_id, kilograms, millimetres, place


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A slip that would explain a mass: by what factor mass and sizes are put right."""

    says: str
    mass: float = 1.0
    size: float = 1.0
    rare: float = 0.0


@cache
def _slip_rows() -> tuple[Mapping[str, Any], ...]:
    text = (files("lidoff.evaluate") / "data" / "slips.toml").read_text("utf-8")
    return tuple(tomllib.loads(text)["slips"])


def _slips(quantity: float) -> Iterator[Slip]:
    for row in _slip_rows():
        mass: Any = row.get("mass", 1.0)
        if isinstance(mass, str):
            if quantity <= 1.0:
                continue
            mass = 1.0 / quantity if mass == "each" else quantity
        yield Slip(says=row["says"], mass=mass, size=row.get("size", 1.0), rare=row["rare"])


def geometry_doubts(pack: Pack, tree: Tree) -> tuple[Doubt, ...]:
    """A doubt for each leaf whose mass no body of its sizes and material can have.

    Lines without all three sizes are passed over: a missing size is not a contradiction.
    """
    found = (_doubt(pack, node) for node in tree.leaves)
    return tuple(doubt for doubt in found if doubt is not None)


def _doubt(pack: Pack, node: Node) -> Doubt | None:
    item = node.item
    if item.mass is None or item.mass.basis is Basis.BY_DIFFERENCE:
        return None
    body = body_of(item, node.function)
    bounds = None if body is None else mass_bounds(body)
    if body is None or bounds is None or bounds.low <= item.mass.value <= bounds.high:
        return None
    slips = slips_that_explain(body, item.mass.value, quantity_of(item))
    slip = slips[0][1] if slips else None
    kind = "mass against size" if slip is None else "mass unit" if slip.size == 1.0 else "size unit"
    too = "too light" if item.mass.value < bounds.low else "too heavy"
    sizes = millimetres(body.length, body.width, body.thickness)
    says = (
        f"{node.label} at {kilograms(item.mass.value)} each is {too} for {sizes} of {body.material}: "
        f"{_range(bounds)}"
    )
    proposed, edits = _proposal(item, item.mass, slip)
    if (other := _rival(slips)) is not None:
        proposed += f"; or else {other.says}"
    return Doubt(
        id=doubt_id(kind, pack, item.id, item.mass.value, body.box),
        pack=pack.id,
        item=item.id,
        kind=kind,
        where=place(item, item.mass),
        says=says,
        proposed=proposed,
        edits=edits,
    )


def _range(bounds: MassBounds) -> str:
    low, usual, high = (kilograms(m, figures=2) for m in (bounds.low, bounds.typical, bounds.high))
    return f"about {usual}, between {low} and {high} at the outside"


def _rival(slips: list[tuple[float, Slip]]) -> Slip | None:
    """The likeliest slip of the other sort (sizes for mass, or mass for sizes), if likely enough."""
    for score, slip in slips:
        if (slip.size == 1.0) != (slips[0][1].size == 1.0):
            return slip if score - slips[0][0] <= limit("slip_rival") else None
    return None


def slips_that_explain(body: Body, mass: float, quantity: float) -> list[tuple[float, Slip]]:
    """Slips that make the mass [kg] possible with their scores, the likeliest (lowest) first.

    The score is half the squared distance from the usual mass in its own scatter, plus how rare
    the slip is (both natural logarithms of a probability, up to a constant).
    """
    found: list[tuple[float, Slip]] = []
    for slip in _slips(quantity):
        seen = replace(
            body,
            length=body.length * slip.size,
            width=body.width * slip.size,
            thickness=body.thickness * slip.size,
            wall=None if body.wall is None else body.wall * slip.size,
        )
        bounds = mass_bounds(seen)
        right = mass * slip.mass
        if bounds is None or not bounds.low <= right <= bounds.high:
            continue
        score = 0.5 * (math.log(right / bounds.typical) / bounds.scatter) ** 2 + slip.rare
        found.append((score, slip))
    return sorted(found, key=lambda pair: pair[0])


def _proposal(item: Item, mass: Reading, slip: Slip | None) -> tuple[str, tuple[Edit, ...]]:
    if slip is None:
        return "weigh it again and measure it again: no usual slip explains it", ()
    if slip.size == 1.0:
        right = mass.value * slip.mass
        edits: tuple[Edit, ...] = (
            Edit(kind=EditKind.SET, record="item", target=item.id, field="mass", value=right),
        )
        return f"take {kilograms(right)} each: it looks like {slip.says}", edits
    sizes = {name: getattr(item, name) for name in ("length", "width", "thickness", "wall")}
    edits = tuple(
        Edit(kind=EditKind.SET, record="item", target=item.id, field=name, value=r.value * slip.size)
        for name, r in sizes.items()
        if r is not None
    )
    written = millimetres(
        *(r.value * slip.size for r in (item.length, item.width, item.thickness) if r is not None)
    )
    return f"take {written}: it looks like {slip.says}", edits
