"""A column of a parts table as readings: the unit it uses, its numbers, what cannot be used."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from ..quantities import Basis, Dimension, Reading, Spread, parse_unit
from ..quantities.dimension import LENGTH, MASS
from ..quantities.written import unit_word
from . import swift
from .bench import Bench, habit, stated_units
from .desk import set_edit
from .headings import Kind, dimension_of, unit_fits
from .measures import CellReader, Habit, Measure, _default, _value_text, reading_of
from .rows import PartRows
from .sheets import Cell

#: So many sure numbers let a column judge a doubtful one.
_ENOUGH = 5
_NAMES = {MASS: "mass", LENGTH: "size"}


def column_habit(bench: Bench, part: PartRows, name: str) -> Habit:
    """Unit and decimal mark of a parts column; a unit nobody stated is guessed and asked about."""
    dimension = dimension_of(Kind.PARTS, name)
    if dimension is None:
        raise ValueError(f"{name} is no column of numbers with a unit")
    cells = part.column(name)
    what = _NAMES.get(dimension, name)
    unit = part.layout.units.get(name) or _row_unit(part, dimension) or _shared_unit(part, dimension)
    unit = unit or _title_unit(part, dimension) or bench.units.get(_kind(dimension))
    if unit is None:
        unit = _guess(bench, part, name, cells, dimension, what)
    own = habit(bench, cells, dimension, unit, what)
    if own.decimal is not None and not own.strict:
        return own
    sure = [
        m.value
        for m in map(CellReader(own), cells)
        if m and not m.problem and m.other is None and m.value > 0
    ]
    return replace(own, low=min(sure), high=max(sure)) if len(sure) >= _ENOUGH else own


def _kind(dimension: Dimension) -> str:
    return "mass" if dimension == MASS else "length"


def _row_unit(part: PartRows, dimension: Dimension) -> str | None:
    """The unit most rows give in a unit column."""
    words = Counter(unit_word(c.strip()) for c in part.column("unit") if isinstance(c, str) and c.strip())
    fitting = [(n, unit) for unit, n in words.items() if unit_fits(unit, dimension)]
    return max(fitting)[1] if fitting else None


def _title_unit(part: PartRows, dimension: Dimension) -> str | None:
    """The unit that a title of the table itself states, before what the rest of the file says."""
    for row in part.table.titles:
        for cell in part.table.sheet.rows[row]:
            unit = stated_units(cell).get(_kind(dimension)) if isinstance(cell, str) else None
            if unit:
                return unit
    return None


def _shared_unit(part: PartRows, dimension: Dimension) -> str | None:
    """The unit of another column of the same dimension."""
    for other, unit in part.layout.units.items():
        if dimension_of(Kind.PARTS, other) == dimension:
            return unit
    return None


def _guess(
    bench: Bench, part: PartRows, name: str, cells: Sequence[Cell], dimension: Dimension, what: str
) -> str:
    """The likely unit of bare numbers, from their sizes."""
    default = "g" if dimension == MASS else "mm"
    reader = CellReader(habit(bench, cells, dimension, default, what))
    read = [m for m in map(reader, cells) if m is not None and not m.problem]
    factor = parse_unit(default).factor
    bare = [m.value / factor for m in read if not m.own_unit and m.value > 0.0]
    if not bare:
        return default
    unit, sure = _mass_unit(bare) if dimension == MASS else _length_unit(bare)
    bench.units[_kind(dimension)] = unit
    if not sure:
        heading = part.layout.headings[name]
        bench.desk.ask(
            bench.where(part.table.sheet, part.table.head, part.layout.at[name], heading),
            f"the column {heading!r} names no unit and {len(bare)} of its {len(read)} numbers have none",
            taken=unit,
            proposed=f"{unit}, judged by the size of the numbers",
            about=f"unit {name}",
        )
    return unit


def _mass_unit(values: list[float]) -> tuple[str, bool]:
    """Grams or kilograms; a single part is neither heavier than 400 kg nor lighter than 0.05 g."""
    largest, smallest = max(values), min((v for v in values if v > 0), default=1.0)
    if largest > 400.0:
        return "g", False
    return ("kg", False) if smallest < 0.05 or (largest < 60.0 and smallest < 0.5) else ("g", False)


def _length_unit(values: list[float]) -> tuple[str, bool]:
    """Millimetres, metres or unsure; the longest part of a pack is between 0.3 m and 4 m."""
    largest = max(values)
    if 300.0 < largest <= 4000.0:
        return "mm", True
    if 0.3 < largest <= 4.0 and len(values) > 5:
        return "m", False
    return "mm", largest <= 4000.0 and len(values) < 4


def size_column(bench: Bench, part: PartRows, name: str, ids: Sequence[str]) -> list[Reading | None]:
    """The readings of a column of sizes, one a row."""
    column = part.layout.at[name]
    own = column_habit(bench, part, name)
    reader, factor, unit = CellReader(own), parse_unit(own.unit).factor, own.unit
    origin = bench.column_origin(part.table.sheet, column)
    lines, make, measured = part.lines, swift.reading, Basis.MEASURED
    seen: dict[float, tuple[float, Spread, str]] = {}
    out: list[Reading | None] = []
    for at, cell in enumerate(part.cells(column)):
        if cell == "":
            out.append(None)
        elif cell.__class__ is float and 0.0 < cell < math.inf:
            known = seen.get(cell)
            if known is None:
                value = cell * factor
                known = seen[cell] = (value, _default(value, measured), _value_text(cell))
            out.append(make(known[0], unit, measured, known[1], None, origin + lines[at], known[2]))
        else:
            out.append(_size(bench, part, name, at, ids[at], cell, reader(cell)))
    return out


def _size(
    bench: Bench, part: PartRows, name: str, at: int, identity: str, cell: Cell, measure: Measure | None
) -> Reading | None:
    if measure is None:
        return None
    sheet, row, column = part.table.sheet, part.items[at], part.layout.at[name]
    where = bench.where(sheet, row, column, part.layout.headings.get(name, ""))
    if not measure.problem and measure.value == 0.0:
        return None
    if not measure.problem and measure.value < 0.0:
        bench.desk.reject(
            where, f"a size of {measure.text} is below zero; the size is left open", measure.text
        )
        return None
    if measure.problem:
        refuse(bench, where, measure, identity, name, cell, "the size is left open", part, name)
        return None
    doubt_mark(bench, where, measure, "item", identity, name)
    basis = Basis.ESTIMATED if measure.approximate else Basis.MEASURED
    return reading_of(measure, basis, bench.origin(sheet, row, column))


def doubt_mark(bench: Bench, where: str, measure: Measure, record: str, identity: str, name: str) -> None:
    """Ask where the decimal mark of one number is unsure, or a word behind it is no known unit."""
    if measure.strange:
        shown = f"{parse_unit(measure.unit).from_si(measure.value):g} {measure.unit}"
        bench.desk.ask(
            where,
            f"{measure.strange!r} in {measure.text!r} is no unit that is known",
            taken=shown,
            proposed=shown,
            about=f"strange {measure.text}",
        )
    if measure.other is None:
        return
    unit = parse_unit(measure.unit)
    taken, other = unit.from_si(measure.value), unit.from_si(measure.other)
    bench.desk.ask(
        where,
        f"{measure.text!r} may be {taken:g} or {other:g} {measure.unit}:"
        " its mark may part thousands or decimals",
        taken=f"{taken:g} {measure.unit}".strip(),
        proposed=f"{other:g} {measure.unit}".strip(),
        edits=(set_edit(record, identity, name, measure.other),),
        about=f"mark {measure.text}",
    )


def refuse(
    bench: Bench,
    where: str,
    measure: Measure,
    identity: str,
    name: str,
    cell: Cell,
    outcome: str,
    part: PartRows | None = None,
    column: str = "",
) -> None:
    """Reject a cell, or ask where a good guess exists (letters for digits, a date for a decimal)."""
    guess = _meant(cell)
    if guess is not None and part is not None:
        own = column_habit(bench, part, column)
        unit = parse_unit(own.unit)
        bench.desk.ask(
            where,
            f"{measure.problem}; {guess:g} {own.unit} may be meant",
            taken=outcome,
            proposed=f"{guess:g} {own.unit}",
            edits=(set_edit("item", identity, name, unit.to_si(guess)),),
            about=f"meant {measure.text}",
        )
        return
    bench.desk.reject(where, f"{measure.problem}; {outcome}", measure.text)


def _meant(cell: Cell) -> float | None:
    """What a mangled number most likely was: "1O5" is 105, a date 4 January is 4.1."""
    from datetime import date, datetime

    if isinstance(cell, (datetime, date)):
        return float(f"{cell.day}.{cell.month}")
    if isinstance(cell, str) and any(c.isdigit() for c in cell):
        tried = cell.strip().translate(str.maketrans("OolIS", "00115"))
        if tried != cell.strip():
            try:
                value = float(tried.replace(",", "."))
            except ValueError:
                return None
            return value if math.isfinite(value) and value > 0 else None
    return None
