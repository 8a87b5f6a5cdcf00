"""What follows from a change of design: masses by model, and weighings of what holds them.

A weighed mass stands for the part as built. Where a size, gauge or material changes, the mass
follows the model of its shape: times model after over model before. Where a part's mass or count
changes, every weighing of an assembly above it, and of the pack, moves by the same kilograms.
Both widen by the spread of a mass by model times the change, and say "by model".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..quantities import Basis, Reading, Shape
from ..quantities.defaults import RELATIVE
from ..records import Edit, Fact, Function, Item, Pack
from .changes import Applied
from .edit_values import scaled
from .known import qualified
from .mass import holds_coolant
from .shape import Body, Form, body_of
from .tree import Node, Tree, build

_SIZES = ("length", "width", "thickness", "wall")


def follow(before: Pack, after: Pack, edits: Sequence[Edit]) -> Applied:
    """``after`` with its dependent readings brought along; ``edits`` led there from ``before``."""
    notes: list[str] = []
    set_masses = {e.target for e in edits if e.record == "item" and e.field in ("mass", "")}
    old = {item.id: item for item in before.items}
    nodes = build(after).nodes
    items = tuple(
        _follow_size(old[item.id], item, nodes.get(item.id), notes)
        if item.id in old and item.id not in set_masses
        else item
        for item in after.items
    )
    after = replace(after, items=items)
    return Applied(pack=_follow_weighings(before, after, edits, notes), notes=tuple(notes))


def _follow_size(old: Item, new: Item, node: Node | None, notes: list[str]) -> Item:
    material_changed = _word(old) != _word(new)
    sizes_changed = [s for s in _SIZES if getattr(old, s) != getattr(new, s)]
    if new.mass is None or new.mass != old.mass or not (material_changed or sizes_changed):
        return new
    label = f"{new.number} {new.name.strip()}"
    function = None if node is None else node.function
    was, now = body_of(old, function), body_of(new, function)
    ratio = None if was is None or now is None else model_ratio(was, now, material_changed)
    if ratio is None and material_changed and not sizes_changed:
        ratio = _density_ratio(old, new)
    if ratio is None:
        notes.append(
            f"the mass of {label} stays as weighed: sizes or density are not known well enough to rescale it"
        )
        return new
    notes.append(
        f"the mass of {label} goes from {new.mass.value:.4g} to {new.mass.value * ratio:.4g} kg by model"
    )
    return replace(new, mass=by_model(new.mass, ratio, new.id))


def _word(item: Item) -> str:
    return "" if item.material is None else (item.material.means or item.material.text)


def _density_ratio(old: Item, new: Item) -> float | None:
    from ..materials import MATERIALS

    keys = [None if i.material is None else i.material.means for i in (old, new)]
    if any(key is None or key not in MATERIALS for key in keys):
        return None
    was, now = (MATERIALS[str(key)].density.value for key in keys)
    return now / was


def model_ratio(was: Body, now: Body, material_changed: bool) -> float | None:
    """Mass after over mass before by the model of the shape, ``None`` where a density is unknown.

    Sheet: length × width × gauge. Profile: length × wall × (width + height); without a wall,
    length × (width + height). Others with a wall: surface of the box × wall; without, the box.
    """
    if material_changed and (was.density is None or now.density is None):
        return None
    ratio = (now.density or 1.0) / (was.density or 1.0) if material_changed else 1.0
    return ratio * _measure(now, was.form) / _measure(was, was.form)


def _measure(body: Body, form: Form) -> float:
    if form is Form.PROFILE:
        return body.length * (body.width + body.thickness) * (body.wall or 1.0)
    if form is Form.SHEET:
        return body.length * body.width * (body.wall or body.thickness)
    if body.wall is not None:
        faces = body.length * body.width + body.length * body.thickness + body.width * body.thickness
        return faces * body.wall
    return body.box


def by_model(mass: Reading, ratio: float, identity: str) -> Reading:
    """A mass times a model's ratio: the weighing's spread goes along, the model's comes on top."""
    moved = scaled(qualified(mass), ratio)
    change = abs(moved.value - mass.value)
    return _widened(moved, change, f"{identity}.model")


def _widened(reading: Reading, change: float, stream: str) -> Reading:
    own = RELATIVE[Basis.BY_MODEL] * change
    spread = reading.spread
    if spread.shape is Shape.EXACT:
        spread = replace(spread, shape=Shape.NORMAL)
    spread = replace(spread, shared=(*spread.shared, (stream, own)))
    return replace(reading, spread=spread, basis=Basis.BY_MODEL, text="", note="follows a change of design")


def _follow_weighings(before: Pack, after: Pack, edits: Sequence[Edit], notes: list[str]) -> Pack:
    old, new = build(before), build(after)
    touched = {e.target for e in edits if e.record == "fact"}
    items = tuple(
        replace(item, weighings=_shifted(item, delta, notes))
        if item.weighings and item.id in old.nodes and (delta := _delta(old, new, item.id)) != 0.0
        else item
        for item in after.items
    )
    held = holds_coolant(after)
    delta = _total(new, held) - _total(old, held)
    facts = tuple(
        _weighed(fact, delta, after.id, notes)
        if fact.key == "mass_weighed" and fact.id not in touched and delta != 0.0
        else fact
        for fact in after.facts
    )
    return replace(after, items=items, facts=facts)


def _delta(old: Tree, new: Tree, identity: str) -> float:
    """Change of the parts below one piece of an assembly [kg]."""
    return _below(new, identity) - _below(old, identity)


def _below(tree: Tree, identity: str) -> float:
    if identity not in tree.nodes:
        return 0.0
    return sum(
        leaf.item.mass.value * tree.count_below(leaf, identity)
        for leaf in tree.leaves_of(identity)
        if leaf.item.mass is not None
    )


def _total(tree: Tree, with_coolant: bool | None) -> float:
    return sum(
        leaf.item.mass.value * leaf.count
        for leaf in tree.leaves
        if leaf.item.mass is not None and (with_coolant or leaf.function is not Function.COOLANT)
    )


def _shifted(item: Item, delta: float, notes: list[str]) -> tuple[Reading, ...]:
    notes.append(
        f"weighings of the whole {item.number} {item.name.strip()} move by {delta:+.4g} kg with its parts"
    )
    return tuple(_moved(reading, delta, f"{item.id}.model") for reading in item.weighings)


def _moved(reading: Reading, delta: float, stream: str) -> Reading:
    moved = replace(qualified(reading), value=reading.value + delta)
    return _widened(moved, abs(delta), stream)


def _weighed(fact: Fact, delta: float, pack: str, notes: list[str]) -> Fact:
    if fact.reading is None:
        return fact
    notes.append(f"the mass of the whole pack moves by {delta:+.4g} kg with its parts")
    return replace(fact, reading=_moved(fact.reading, delta, f"{pack}.model"))
