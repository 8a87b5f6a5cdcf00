"""Masses of parts rows: each or in total, by which scale, several weighed together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..quantities import Basis, Reading, parse_unit
from ..quantities.defaults import default_spread
from ..quantities.dimension import MASS
from ..quantities.written import unit_word
from . import swift
from .bench import Bench
from .columnread import column_habit, doubt_mark, refuse
from .desk import set_edit
from .headings import unit_fits
from .item_words import basis_of
from .measures import CellReader, Habit, Measure, _value_text, spread_of
from .rows import PartRows
from .scales import Scale, Together, scale_for, weighed_together
from .sheets import Cell

_NOT_TAKEN = "the mass is left open"


@dataclass(slots=True)
class MassContext:
    """What the masses of one table need to know of its rows."""

    bench: Bench
    part: PartRows
    ids: Sequence[str]
    quantities: Sequence[Reading | None]
    remarks: Sequence[str]
    sized: Sequence[bool]
    scales: list[Scale]


def read_bases(context: MassContext) -> list[Basis | str | None]:
    """The basis of each row: a basis, "none" for not weighed, ``None`` where nothing was said."""
    bench, part = context.bench, context.part
    column = part.layout.at.get("basis")
    if column is None:
        return [None] * len(part.items)
    out: list[Basis | str | None] = []
    asked: set[str] = set()
    known: dict[Cell, Basis | str | None] = {"": None}
    for at, cell in enumerate(part.cells(column)):
        if cell in known:
            out.append(known[cell])
            continue
        text = cell.strip() if isinstance(cell, str) else str(cell)
        basis: Basis | str | None = None
        if not text:
            out.append(None)
            continue
        basis = basis_of(text)
        if basis is None and text not in asked:
            asked.add(text)
            bench.desk.ask(
                bench.where(part.table.sheet, part.items[at], column, part.layout.headings["basis"]),
                f"{text!r} does not say how the mass was come by",
                taken="estimated",
                proposed="weighed, estimated, or one of the other bases",
                about=f"basis {text}",
            )
        known[cell] = Basis.ESTIMATED if basis is None else basis
        out.append(known[cell])
    return out


def read_masses(context: MassContext) -> list[Reading | None]:
    """The mass of one piece for every row."""
    layout = context.part.layout
    bases = read_bases(context)
    each = _column(context, "mass_each", bases) if "mass_each" in layout.at else None
    total = _column(context, "mass_total", bases) if "mass_total" in layout.at else None
    if total is None:
        return each if each is not None else [None] * len(context.part.items)
    shared = _per_piece(context, total)
    if each is None:
        return shared
    return [_agree(context, at, e, t) for at, (e, t) in enumerate(zip(each, shared, strict=True))]


def _column(context: MassContext, name: str, bases: Sequence[Basis | str | None]) -> list[Reading | None]:
    bench, part = context.bench, context.part
    column = part.layout.at[name]
    own = column_habit(bench, part, name)
    reader, factor, unit = CellReader(own), parse_unit(own.unit).factor, own.unit
    units, instruments = _row_units(context, own), _instruments(context)
    origin, lines, remarks = bench.column_origin(part.table.sheet, column), part.lines, context.remarks
    scales, make = context.scales, swift.reading
    out: list[Reading | None] = []
    for at, cell in enumerate(part.cells(column)):
        basis = Basis.WEIGHED if bases[at] is None else bases[at]
        if cell == "":
            out.append(None)
        elif (
            cell.__class__ is float
            and isinstance(basis, Basis)
            and units is None
            and "=" not in remarks[at]
            and 0.0 < cell < math.inf
        ):
            value = cell * factor
            scale = scale_for(value, scales) if basis is Basis.WEIGHED else None
            instrument, division = (scale.name, scale.division) if scale else (None, None)
            instrument = instruments[at] or instrument
            spread = default_spread(value, basis, instrument=instrument, division=division)
            out.append(make(value, unit, basis, spread, instrument, origin + lines[at], _value_text(cell)))
            if division is not None and value < 0.5 * division:
                _doubt_division(context, at, name, out[-1], division)
        else:
            read = units[at] if units is not None else None
            out.append(_one(context, name, at, cell, (read or reader)(cell), bases[at], instruments[at]))
    return out


def _row_units(context: MassContext, own: Habit) -> list[CellReader | None] | None:
    """A reader for each row where a unit column gives mass units row by row."""
    part = context.part
    column = part.layout.at.get("unit")
    if column is None:
        return None
    readers: dict[str, CellReader] = {}
    out: list[CellReader | None] = []
    for cell in part.cells(column):
        unit = unit_word(cell.strip()) if isinstance(cell, str) else ""
        if unit_fits(unit, MASS):
            out.append(readers.setdefault(unit, CellReader(replace(own, unit=unit))))
        else:
            out.append(None)
    return out if any(out) else None


def _instruments(context: MassContext) -> list[str | None]:
    part = context.part
    column = part.layout.at.get("instrument")
    if column is None:
        return [None] * len(part.items)
    cells = part.cells(column)
    return [str(c).strip() or None if not isinstance(c, float) else f"scale {c:g}" for c in cells]


def _one(
    context: MassContext,
    name: str,
    at: int,
    cell: Cell,
    measure: Measure | None,
    basis: Basis | str | None,
    instrument: str | None,
) -> Reading | None:
    """One mass cell with all that may be said around it."""
    if measure is None:
        return None
    bench, part = context.bench, context.part
    sheet, row, column = part.table.sheet, part.items[at], part.layout.at[name]
    where = bench.where(sheet, row, column, part.layout.headings[name])
    if measure.problem:
        refuse(bench, where, measure, context.ids[at], "mass", cell, _NOT_TAKEN, part, name)
        return None
    if measure.value <= 0.0:
        said = "below zero" if measure.value < 0.0 else "nothing, and missing is not zero"
        bench.desk.reject(
            where, f"a mass of {measure.text} {measure.unit} is {said}; {_NOT_TAKEN}", measure.text
        )
        return None
    doubt_mark(bench, where, measure, "item", context.ids[at], "mass")
    known = _known_basis(measure, basis)
    scale = scale_for(measure.value, context.scales) if known is Basis.WEIGHED else None
    division = scale.division if scale else None
    instrument = instrument or (scale.name if scale else None)
    together = weighed_together(context.remarks[at], bench.decimal) if known is Basis.WEIGHED else None
    count = measure.count
    if together is not None and name == "mass_each" and _agrees(context, at, where, measure, together):
        count = together.count
        scale = scale_for(together.total, context.scales)
        division = scale.division / together.count if scale else None
        instrument = scale.name if scale else instrument
    reading = Reading(
        value=measure.value,
        unit=measure.unit,
        basis=known,
        spread=spread_of(measure, known, instrument=instrument, division=division),
        instrument=instrument,
        origin=bench.origin(sheet, row, column),
        text=measure.text,
        note="at most" if measure.bound == "<" else "at least" if measure.bound == ">" else "",
        count=count,
    )
    _doubt_division(context, at, name, reading, division)
    return reading


def _known_basis(measure: Measure, basis: Basis | str | None) -> Basis:
    """The basis of a mass that was written; "~" is never a weighing, nor is a row "not weighed"."""
    if basis is None or basis is Basis.WEIGHED:
        return Basis.ESTIMATED if measure.approximate or measure.bound else Basis.WEIGHED
    return basis if isinstance(basis, Basis) else Basis.ESTIMATED


def _agrees(context: MassContext, at: int, where: str, measure: Measure, together: Together) -> bool:
    """Whether a weighing of several pieces bears the mass of one out; asked where it does not."""
    each = together.total / together.count
    if abs(each - measure.value) <= 0.01 * each + 0.0001:
        return True
    if abs(together.total - measure.value) <= 0.01 * together.total:
        said = f"the mass is that of {together.count} pieces together, as the remark says"
    else:
        said = (
            f"the remark weighs {together.count} pieces at {together.total:g} kg, which is {each:.4g} kg each"
        )
    unit = parse_unit(measure.unit)
    context.bench.desk.ask(
        where,
        said,
        taken=f"{measure.text} {measure.unit} each".strip(),
        proposed=f"{unit.from_si(each):.5g} {measure.unit} each",
        edits=(set_edit("item", context.ids[at], "mass", each),),
        about=f"together {measure.text}",
    )
    return False


def _doubt_division(
    context: MassContext, at: int, name: str, reading: Reading | None, division: float | None
) -> None:
    """A weighing below its scale's own division, where no size lets geometry judge it."""
    if reading is None or division is None or reading.value >= 0.5 * division or context.sized[at]:
        return
    bench, part = context.bench, context.part
    where = bench.where(part.table.sheet, part.items[at], part.layout.at[name], part.layout.headings[name])
    bench.desk.ask(
        where,
        f"{reading.text} {reading.unit} is below the scale's division of {division * 1000:g} g",
        taken=f"{reading.value * 1000:g} g",
        proposed=f"{reading.value * 1e6:g} g, if kilograms were written",
        edits=(set_edit("item", context.ids[at], "mass", reading.value * 1000.0),),
        about=f"division {reading.text}",
    )


def _per_piece(context: MassContext, totals: Sequence[Reading | None]) -> list[Reading | None]:
    """Line totals divided by the quantity of the row."""
    out: list[Reading | None] = []
    for total, quantity in zip(totals, context.quantities, strict=True):
        if total is None or quantity is None or quantity.value <= 0.0 or quantity.value == 1.0:
            out.append(total)
            continue
        n = quantity.value
        spread = replace(
            total.spread,
            u=total.spread.u / n if total.spread.shape != "log-normal" else total.spread.u,
            low=None if total.spread.low is None else total.spread.low / n,
            high=None if total.spread.high is None else total.spread.high / n,
            shared=tuple((name, u / n) for name, u in total.spread.shared),
        )
        note = f"{total.text} {total.unit} for {n:g}"
        out.append(replace(total, value=total.value / n, spread=spread, note=note, count=int(n)))
    return out


def _agree(context: MassContext, at: int, each: Reading | None, shared: Reading | None) -> Reading | None:
    """One mass from a column for each and one for the total; asked about where they disagree."""
    if each is None or shared is None:
        return each or shared
    quantity = context.quantities[at]
    n = quantity.value if quantity is not None else 1.0
    rounding = 0.6 * (_last_digit(each) + _last_digit(shared) / n)
    if abs(each.value - shared.value) <= 0.005 * each.value + rounding:
        return each
    bench, part = context.bench, context.part
    unit = parse_unit(each.unit)
    bench.desk.ask(
        bench.where(
            part.table.sheet, part.items[at], part.layout.at["mass_each"], part.layout.headings["mass_each"]
        ),
        f"{n:g} pieces of {each.text} {each.unit} are not the total of {shared.text} {shared.unit}",
        taken=f"{unit.from_si(each.value):.6g} {each.unit} each",
        proposed=f"{unit.from_si(shared.value):.6g} {each.unit} each, from the total",
        edits=(set_edit("item", context.ids[at], "mass", shared.value),),
        about=f"total {each.text} {shared.text}",
    )
    return each


def _last_digit(reading: Reading) -> float:
    """One unit of the last digit written, SI."""
    body = reading.text.split(" ")[0].replace(",", ".")
    decimals = len(body.rsplit(".", 1)[1]) if "." in body else 0
    return float(10.0**-decimals * parse_unit(reading.unit).factor)
