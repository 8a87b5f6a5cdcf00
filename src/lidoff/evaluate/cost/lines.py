"""Cost lines: every leaf of the parts tree and every group of joints, costed or said why not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...materials import COATINGS, MATERIALS, Material, recognise
from ...methods.routes import RouteChoice
from ...quantities import Basis, Evidence, Reading
from ...quantities.sampling import Samples
from ...records import Function, Item, Route
from ..findings import CostLine, CostStatus, MassLine, Money
from .amount import NOTHING, Amount
from .bought import bought_note, bought_rows
from .frame import Frame
from .inputs import Subject
from .route import NotCosted, RouteCost, run_route
from .stack import stack, supplier_class

BOUGHT = "bought_part"
#: What a word of the bench rests on, as a basis of the figure that follows from it.
EVIDENCE_BASIS: Mapping[Evidence, Basis] = {
    Evidence.MARKED: Basis.MARKED,
    Evidence.SPECTROMETER: Basis.MEASURED,
    Evidence.HARDNESS: Basis.ESTIMATED,
    Evidence.STATED: Basis.MARKED,
    Evidence.GUESSED: Basis.ASSUMED,
    Evidence.ASSUMED: Basis.ASSUMED,
}
_SIZES = ("length", "width", "thickness", "wall")


@dataclass(frozen=True, slots=True, kw_only=True)
class Costed:
    """A line with the shares of its basis (they weigh by its cost in a figure)."""

    line: CostLine
    basis: Mapping[Basis, float]


def item_line(frame: Frame, item: Item, mass: MassLine) -> Costed:
    """The line of a leaf; ``mass`` brings its count, function and the samples of its mass."""
    material, understood = _material(item)
    try:
        _refuse_kinds(item, mass, material)
        choice = _route(frame, item, mass, material)
        if choice.route is None:
            raise NotCosted(choice.why)
        subject = _subject(frame, item, mass, material)
        cost = run_route(frame, subject, choice.route)
        warnings = (*_left_out(choice, understood), *_bought_notes(frame, item, mass, material, choice.route))
        return cost_of(frame, mass, subject, choice, cost, warnings, _evidence(item, material, choice))
    except NotCosted as why:
        return Costed(line=not_costed(mass, str(why)), basis={})


def item_subject(frame: Frame, item: Item, mass: MassLine) -> tuple[Subject, RouteChoice]:
    """What a leaf is costed as, and the route it takes. Raises `NotCosted` as `item_line` refuses."""
    material, _ = _material(item)
    _refuse_kinds(item, mass, material)
    choice = _route(frame, item, mass, material)
    if choice.route is None:
        raise NotCosted(choice.why)
    return _subject(frame, item, mass, material), choice


def not_costed(mass: MassLine, why: str) -> CostLine:
    """A line without a cost, which is not zero."""
    return CostLine(
        item=mass.item,
        number=mass.number,
        name=mass.name,
        function=mass.function,
        count=mass.count,
        mass=mass.mass,
        status=CostStatus.NOT_COSTED,
        why=why,
    )


def _material(item: Item) -> tuple[Material | None, tuple[str, ...]]:
    """The material as understood, and its coatings."""
    word = item.material
    if word is None or not word.text.strip():
        return None, ()
    found = recognise(word.text)
    key = word.means or (found.key if found is not None else None)
    return MATERIALS.get(key or ""), found.coatings if found is not None else ()


def _refuse_kinds(item: Item, mass: MassLine, material: Material | None) -> None:
    if mass.function is Function.COOLANT:
        raise NotCosted("coolant is not part of the dry pack")
    if mass.function is Function.CELLS or (material is not None and material.family == "cell"):
        raise NotCosted("cells have no method book yet")
    if mass.count <= 0.0:
        raise NotCosted("its quantity is not a number of pieces")


def _route(frame: Frame, item: Item, mass: MassLine, material: Material | None) -> RouteChoice:
    return frame.route(item.process, material, mass.function)


def _subject(frame: Frame, item: Item, mass: MassLine, material: Material | None) -> Subject:
    known: dict[str, tuple[Amount, Basis | None]] = {}
    if mass.mass is not None:
        each = mass.mass / mass.count
        known["item.mass"] = (Amount(value=each, samples=_each(frame, mass, each)), mass.basis)
    readings: dict[str, Reading] = {}
    for size in _SIZES:
        reading: Reading | None = getattr(item, size)
        if reading is not None and reading.value > 0.0:
            readings[f"item.{size}"] = reading
    return Subject(
        id=item.id,
        per_pack=mass.count,
        material=material,
        known=known,
        readings=readings,
        prices=bought_rows(frame.prices, item, material, mass.function),
    )


def _each(frame: Frame, mass: MassLine, each: float) -> Samples:
    """Samples of one piece, in the pack's own draws so that cost moves with mass."""
    if not frame.count:
        return NOTHING
    if mass.samples is None or mass.samples.size != frame.count:
        return np.full(frame.count, each)
    return mass.samples / mass.count


def _bought_notes(
    frame: Frame, item: Item, mass: MassLine, material: Material | None, route: Route
) -> tuple[str, ...]:
    if all(step.method != BOUGHT for step in route.steps):
        return ()
    return bought_note(bought_rows(frame.prices, item, material, mass.function).get("item.price"), item)


def _left_out(choice: RouteChoice, coatings: tuple[str, ...]) -> tuple[str, ...]:
    said = [f"{step} is not in the cost: it has no method book yet" for step in choice.left_out]
    titles = [COATINGS[key].title for key in coatings if key in COATINGS and key != "zinc"]
    if titles:
        said.append(f"its coating or covering ({', '.join(titles)}) is not in the cost")
    if choice.assumed:
        steps = choice.route.steps if choice.route is not None else ()
        said.append(f"how it is made is not written; assumed: {', '.join(step.method for step in steps)}")
    return tuple(said)


def _evidence(item: Item, material: Material | None, choice: RouteChoice) -> list[Basis]:
    """What the material and the route rest on."""
    bases = [EVIDENCE_BASIS[choice.route.evidence]] if choice.route is not None else []
    if material is not None and item.material is not None:
        bases.append(EVIDENCE_BASIS[item.material.evidence])
    return bases


def shares(bases: list[Basis]) -> dict[Basis, float]:
    """Every input speaks with the same weight."""
    return {basis: bases.count(basis) / len(bases) for basis in dict.fromkeys(bases)}


def cost_of(
    frame: Frame,
    mass: MassLine,
    subject: Subject,
    choice: RouteChoice,
    cost: RouteCost,
    warnings: tuple[str, ...],
    evidence: list[Basis],
) -> Costed:
    assert choice.route is not None
    top = stack(frame, subject, supplier_class(choice.route), cost.material, cost.labour, cost.burden)
    per_pack = subject.per_pack
    tooling = cost.tooling.money()
    line = CostLine(
        item=mass.item,
        number=mass.number,
        name=mass.name,
        function=mass.function,
        count=mass.count,
        mass=mass.mass,
        status=CostStatus.COSTED,
        assumed_route=choice.assumed,
        route=cost.steps,
        material=cost.material.times(per_pack).money(),
        labour=cost.labour.times(per_pack).money(),
        burden=cost.burden.times(per_pack).money(),
        markup=top.markup.times(per_pack).money(),
        packaging=top.packaging.times(per_pack).money(),
        piece=top.price.times(per_pack).money(),
        tooling_per_piece=_per_pack(tooling, frame.packs_of_life),
        tooling_investment=tooling,
        sources=tuple(dict.fromkeys((*cost.sources, *top.sources))),
        warnings=tuple(dict.fromkeys((*warnings, *cost.warnings))),
    )
    return Costed(line=line, basis=shares([*evidence, *cost.bases]))


def _per_pack(tooling: Money, packs: float) -> Money:
    """The investment spread over so many packs; its interval scales with it."""
    share = 1.0 / packs
    return Money(
        value=tooling.value * share,
        low=tooling.low * share,
        high=tooling.high * share,
        samples=None if tooling.samples is None else tooling.samples * share,
    )
