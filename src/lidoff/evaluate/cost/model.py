"""The cost model laid open: every costed line with its books, inputs, and where each input comes from.

For those who write the model down again, such as a live workbook. Nominal values only, worked out here
from the records once more and not taken from the costed lines, so that the two can be held together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from ...materials import Material
from ...methods import Book, Input, Line, Run, Table, books, run
from ...methods.book import Formula
from ...methods.origins import look_up, price_of
from ...prices import PriceBook
from ...quantities import Reading
from ...records import Joint, Pack, Route, RouteStep, Scenario
from ..findings import MassLine
from .frame import Frame
from .inputs import Subject
from .joints import joint_mass_line, joint_subject
from .lines import item_subject
from .route import ELEMENTS, GOOD_SHARE, TOOLING, NotCosted
from .stack import NO_MARKUP, STACK_BOOK, supplier_class
from .stack import _row as stack_row


class From(StrEnum):
    """Where an input's value comes from."""

    GIVEN = "given with the route"
    ITEM = "item"  # key: mass, length, width, thickness, wall
    JOINT = "joint"  # key: count, torque
    MATERIAL = "material"  # key: the material and its property, by a dot
    PRICE = "price"  # key: the row
    TABLE = "table"  # key: the price book's table
    SCENARIO = "scenario"  # key: volume, life
    ROUTE = "route"  # key: parts_year, parts_life; in the stack material, labour, burden
    FORMULA = "default formula"
    NUMBER = "default"


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """``reading`` is set where the value is one, ``formula`` for a default that is calculated."""

    kind: From
    key: str = ""
    reading: Reading | None = None
    formula: Formula | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelInput:
    """One input of a book as it is filled: ``value`` in SI, or the table."""

    entry: Input
    value: float | Table
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelSheet:
    """A book at work: its inputs in the book's order, the lines that have a value, and the run."""

    book: Book
    inputs: Mapping[str, ModelInput]
    lines: tuple[Line, ...]
    run: Run = field(repr=False)

    def value(self, line: str) -> float:
        """A line [SI]; zero where the book has no such line."""
        return float(np.asarray(self.run.values[line])) if line in self.book.lines else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelStep:
    """A step of a route: ``handled`` pieces go through it for one that leaves the route good."""

    sheet: ModelSheet
    good_share: float
    handled: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelLine:
    """A costed line. ``supplier`` is its mark-up class; ``stack`` is ``None`` for what bears none."""

    mass: MassLine
    is_joint: bool
    per_pack: float
    material: Material | None
    steps: tuple[ModelStep, ...]
    supplier: str
    stack: ModelSheet | None

    def element(self, name: str) -> float:
        """Material, labour or burden per good piece [money/part]."""
        return sum(step.sheet.value(name) * step.handled for step in self.steps)

    @property
    def tooling(self) -> float:
        """Investment over the programme [money]."""
        return sum(step.sheet.value(TOOLING) for step in self.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class CostModel:
    """The costed lines of a pack by item or joint, in the order of the cost lines; ``rates`` are the
    machine tables they use, with the hour rate that each row works out to."""

    lines: Mapping[str, ModelLine]
    rates: Mapping[str, Table]


def cost_model(
    pack: Pack,
    scenario: Scenario,
    prices: PriceBook,
    mass_lines: Sequence[MassLine],
    shelf: Mapping[str, Book] | None = None,
) -> CostModel:
    """The model behind a pack's cost lines; lines that are not costed are not in it.

    ``mass_lines`` are the leaves of the pack's roll-up, ``shelf`` the method books (the shipped ones
    where none are given).
    """
    frame = Frame(scenario=scenario, prices=prices, books=books() if shelf is None else shelf, count=0)
    items = {item.id: item for item in pack.items}
    lines: dict[str, ModelLine] = {}
    for mass in mass_lines:
        item = items.get(mass.item)
        if item is None:
            continue
        try:
            subject, choice = item_subject(frame, item, mass)
            if choice.route is not None:
                lines[mass.item] = _line(frame, mass, subject, choice.route)
        except NotCosted:
            continue
    for joint in pack.joints:
        try:
            lines[joint.id] = _joint(frame, joint)
        except NotCosted:
            continue
    keys = dict.fromkeys(
        put.origin.key
        for line in lines.values()
        for step in line.steps
        for put in step.sheet.inputs.values()
        if put.origin.kind is From.TABLE
    )
    rates = {key: tables[0] for key in keys if (tables := frame.table(key)) is not None}
    return CostModel(lines=lines, rates=rates)


def _joint(frame: Frame, joint: Joint) -> ModelLine:
    subject, route = joint_subject(frame, joint)
    return _line(frame, joint_mass_line(joint), subject, route, is_joint=True)


def _line(
    frame: Frame, mass: MassLine, subject: Subject, route: Route, *, is_joint: bool = False
) -> ModelLine:
    steps: list[ModelStep] = []
    handled = 1.0
    for step in reversed(route.steps):
        one = _step(frame, subject, step, handled)
        handled = one.handled
        steps.insert(0, one)
    line = ModelLine(
        mass=mass,
        is_joint=is_joint,
        per_pack=subject.per_pack,
        material=subject.material,
        steps=tuple(steps),
        supplier=supplier_class(route),
        stack=None,
    )
    if line.supplier == NO_MARKUP:
        return line
    return ModelLine(
        mass=mass,
        is_joint=is_joint,
        per_pack=subject.per_pack,
        material=subject.material,
        steps=line.steps,
        supplier=line.supplier,
        stack=_stack(frame, line),
    )


def _step(frame: Frame, subject: Subject, step: RouteStep, downstream: float) -> ModelStep:
    book = frame.books.get(step.method)
    if book is None:
        raise NotCosted(f"there is no method book {step.method!r}")
    given = dict(step.inputs)
    filled: dict[str, tuple[float | Table, Origin]] = {}
    for name, entry in book.inputs.items():
        found = _filled(frame, subject, entry, given.get(name))
        if found is not None:
            filled[name] = found
    good = 1.0
    if GOOD_SHARE in book.lines:
        alone = run(book, {name: value for name, (value, _) in filled.items()}, only=GOOD_SHARE)
        if GOOD_SHARE in alone.missing:
            raise NotCosted(f"{book.title}: {GOOD_SHARE} {alone.missing[GOOD_SHARE]}")
        good = float(np.asarray(alone.values[GOOD_SHARE]))
    handled = downstream / good
    numbers = {
        "route.parts_year": frame.parts_a_year(subject.per_pack) * handled,
        "route.parts_life": frame.parts_of_life(subject.per_pack) * handled,
    }
    for name, entry in book.inputs.items():
        if entry.comes_from in numbers and name not in filled:
            key = entry.comes_from.partition(".")[2]
            filled[name] = numbers[entry.comes_from], Origin(kind=From.ROUTE, key=key)
    sheet = _sheet(book, filled)
    lacking = next((name for name in (*ELEMENTS, TOOLING) if name in sheet.run.missing), None)
    if lacking is not None:
        raise NotCosted(f"{book.title}: {lacking} {sheet.run.missing[lacking]}")
    return ModelStep(sheet=sheet, good_share=good, handled=handled)


def _filled(
    frame: Frame, subject: Subject, entry: Input, given: Reading | None
) -> tuple[float | Table, Origin] | None:
    """What an input is filled with and from where, in the order of `inputs.gather`."""
    if given is not None:
        return given.value, Origin(kind=From.GIVEN, reading=given)
    origin = entry.comes_from or ""
    room, _, key = origin.partition(".")
    if origin.startswith("table:"):
        table = frame.table(origin.removeprefix("table:"))
        return (
            None if table is None else (table[0], Origin(kind=From.TABLE, key=origin.removeprefix("table:")))
        )
    kind = From.JOINT if room == "joint" else From.ITEM
    if origin in subject.known:
        return subject.known[origin][0].value, Origin(kind=kind, key=key)
    if origin in subject.readings:
        reading = subject.readings[origin]
        return reading.value, Origin(kind=kind, key=key, reading=reading)
    if origin == "scenario.volume":
        return frame.parts_a_year(1.0), Origin(kind=From.SCENARIO, key=key)
    if origin == "scenario.life":
        return entry.unit.to_si(frame.scenario.life), Origin(kind=From.SCENARIO, key=key)
    row = subject.prices.get(origin)
    found = price_of(frame.prices, row) if row else look_up(entry, subject.material, frame.prices)
    if found is None:
        return None
    if found.price is not None:
        return found.reading.value, Origin(kind=From.PRICE, key=found.price, reading=found.reading)
    name = found.stream.removeprefix("material:").replace(":", ".", 1)
    return found.reading.value, Origin(kind=From.MATERIAL, key=name, reading=found.reading)


def _stack(frame: Frame, line: ModelLine) -> ModelSheet:
    book = frame.books.get(STACK_BOOK)
    if book is None:
        raise NotCosted(f"there is no method book {STACK_BOOK!r}")
    filled: dict[str, tuple[float | Table, Origin]] = {
        name: (line.element(name), Origin(kind=From.ROUTE, key=name)) for name in ELEMENTS
    }
    for name, entry in book.inputs.items():
        row = stack_row(entry.comes_from, line.supplier)
        found = price_of(frame.prices, row) if row is not None and name not in filled else None
        if found is not None:
            origin = Origin(kind=From.PRICE, key=found.price or "", reading=found.reading)
            filled[name] = found.reading.value, origin
    return _sheet(book, filled)


def _sheet(book: Book, filled: Mapping[str, tuple[float | Table, Origin]]) -> ModelSheet:
    """Run the book and say of every input and line that came to a value how."""
    ran = run(book, {name: value for name, (value, _) in filled.items()})
    inputs: dict[str, ModelInput] = {}
    lines: list[Line] = []
    there: set[str] = set(book.tables)
    for name in book.order:
        entry = book.inputs.get(name)
        if entry is None:
            line = book.lines[name]
            if _known(book, line.formula, there):
                there.add(name)
                lines.append(line)
        elif name in ran.inputs:
            origin = filled[name][1] if name in filled else _default(book, entry, there)
            value = ran.inputs[name]
            inputs[name] = ModelInput(
                entry=entry,
                value=value if isinstance(value, Table) else float(np.asarray(value)),
                origin=origin,
            )
            there.add(name)
    return ModelSheet(book=book, inputs=inputs, lines=tuple(lines), run=ran)


def _known(book: Book, formula: Formula, there: set[str]) -> bool:
    return all(name in there or not (name in book.inputs or name in book.lines) for name in formula.names)


def _default(book: Book, entry: Input, there: set[str]) -> Origin:
    """The first formula of a default whose names are all there, else its number."""
    formulas = entry.default.formulas if entry.default is not None else ()
    chosen = next((formula for formula in formulas if _known(book, formula, there)), None)
    return Origin(kind=From.NUMBER) if chosen is None else Origin(kind=From.FORMULA, formula=chosen)
