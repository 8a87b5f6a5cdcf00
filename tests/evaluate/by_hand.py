"""Small records by hand, for tests of the evaluation."""

from __future__ import annotations

from lidoff.materials import recognise
from lidoff.quantities import Basis, Evidence, Reading, Shape, Spread, Word
from lidoff.quantities.defaults import default_spread
from lidoff.records import Fact, Item, Pack


def read(value: float, unit: str = "kg", basis: Basis = Basis.WEIGHED, u: float | None = None) -> Reading:
    spread = default_spread(value, basis) if u is None else Spread(shape=Shape.NORMAL, u=u, stated=True)
    return Reading(value=value, unit=unit, basis=basis, spread=spread)


def word(text: str | None) -> Word | None:
    if text is None:
        return None
    found = recognise(text)
    return Word(
        text=text,
        means=None if found is None else found.key,
        evidence=Evidence.STATED if found is None else found.evidence,
    )


def part(
    number: str,
    name: str,
    mass: float | None = None,
    *,
    quantity: float | None = 1.0,
    function: str | None = None,
    material: str | None = None,
    process: str | None = None,
    size: tuple[float, float, float] | None = None,
    wall: float | None = None,
    basis: Basis = Basis.WEIGHED,
    u: float | None = None,
    weighings: tuple[float, ...] = (),
    remarks: str = "",
    held: bool = False,
    parent: str | None = "",
    identity: str | None = None,
) -> Item:
    """An item whose parent follows from its number; sizes in millimetres, masses in kilograms."""
    above = number.rpartition(".")[0] or None
    sides = [None] * 3 if size is None else [read(s / 1000.0, "mm", Basis.MEASURED) for s in size]
    return Item(
        id=identity or number,
        number=number,
        name=name,
        parent=above if parent == "" else parent,
        quantity=None if quantity is None else read(quantity, "", Basis.COUNTED),
        mass=None if mass is None else read(mass, "kg", basis, u),
        material=word(material),
        process=None if process is None else Word(text=process),
        function=None if function is None else Word(text=function, means=function),
        length=sides[0],
        width=sides[1],
        thickness=sides[2],
        wall=None if wall is None else read(wall / 1000.0, "mm", Basis.MEASURED),
        weighings=tuple(read(w) for w in weighings),
        remarks=remarks,
        origin=f"Parts!{number}",
        held=held,
    )


def fact(
    key: str, value: float | None = None, unit: str = "", *, text: str = "", u: float | None = None
) -> Fact:
    """A fact in SI; a word where no value is given."""
    reading = None if value is None else read(value, unit, Basis.MEASURED, u)
    return Fact(
        id=f"fact.{key}",
        label=key,
        text=text,
        key=key,
        reading=reading,
        word=None if value is not None else Word(text=text),
    )


def pack(*items: Item, facts: tuple[Fact, ...] = (), identity: str = "wren", **more: object) -> Pack:
    return Pack(id=identity, name=identity, items=items, facts=facts, **more)  # type: ignore[arg-type]
