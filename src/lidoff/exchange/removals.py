"""Rows of removal tables: how long the n-th removal from a vehicle took."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..quantities import Basis, Reading, parse_unit
from ..quantities.defaults import default_spread
from ..quantities.dimension import TIME
from ..quantities.parsing import QuantityError, scan
from ..records import Removal
from .bench import Bench
from .columns import Layout
from .headings import unit_fits
from .joints import _Row
from .log import duration_of
from .notes import Note, cell_text
from .rows import is_total
from .tables import Table, blank_within
from .vocabulary import has_any, normal

_MEAN = frozenset(
    {"mean", "average", "avg", "mittel", "mittelwert", "durchschnitt", "moyenne", "media", "gemiddelde"}
)


def read_removals(
    bench: Bench, laid: Sequence[tuple[Table, Layout]]
) -> tuple[list[Removal], list[tuple[Table, int]]]:
    """All removals, in their order, and the rows that are notes."""
    out: list[Removal] = []
    notes: list[tuple[Table, int]] = []
    for table, layout in laid:
        conditions = _conditions(table)
        unit = layout.units.get("duration", bench.units.get("time", "min"))
        for number in table.body:
            row = _Row(table, layout, number)
            label = row.text("ordinal")
            if not row.text("duration") or is_total(label) or normal(label) in _MEAN:
                if not blank_within(table, number):
                    notes.append((table, number))
                continue
            removal = _removal(bench, row, label, unit, conditions, len(out))
            if removal is not None:
                out.append(removal)
    return out, notes


def removal_line(bench: Bench, note: Note) -> list[Removal]:
    """Removals that one line lists: "Removal times: 41, 27, 21, 17 min"; none where it is something else."""
    head, mark, tail = (f"{note.label}: {note.text}" if note.label else note.text).partition(":")
    if not mark or not has_any(head, "removals_hint"):
        return []
    try:
        groups = scan(re.sub(r"(?<=\d),(?=\s)", ";", tail), decimal=bench.decimal)
    except QuantityError:
        return []
    unit = next((g.unit for g in groups if unit_fits(g.unit, TIME)), "")
    values = [v for g in groups for v in g.values if g.unit in ("", unit)]
    if not unit or len(values) < 2 or min(values) <= 0.0:
        return []
    origin = bench.origin(note.sheet, note.row, note.column)
    out = []
    for ordinal, value in enumerate(values, 1):
        seconds = parse_unit(unit).to_si(value)
        spread = default_spread(seconds, Basis.MEASURED)
        reading = Reading(
            value=seconds, unit=unit, basis=Basis.MEASURED, spread=spread, origin=origin, text=f"{value:g}"
        )
        identity = bench.desk.identity("r", ordinal)
        out.append(Removal(id=identity, ordinal=ordinal, duration=reading, note=head.strip(), origin=origin))
    return out


def _conditions(table: Table) -> str:
    lines = [[cell_text(c) for c in table.sheet.rows[row]] for row in table.titles]
    return "; ".join(" ".join(t for t in line if t) for line in lines)


def _removal(bench: Bench, row: _Row, label: str, unit: str, conditions: str, before: int) -> Removal | None:
    cell = row.cell("duration")
    found = duration_of(bench, cell, unit)
    if found is None or isinstance(found, str) or found <= 0.0:
        why = found if isinstance(found, str) else f"{cell_text(cell)!r} is no duration"
        bench.desk.reject(row.where(bench, "duration"), f"{why}; the removal is left out", cell_text(cell))
        return None
    digits = re.search(r"\d{1,6}", label)
    ordinal = int(digits.group()) if digits and 0 < int(digits.group()) < 1000 else before + 1
    reading = Reading(
        value=found,
        unit=unit,
        basis=Basis.MEASURED,
        spread=default_spread(found, Basis.MEASURED),
        origin=row.origin(bench, "duration"),
        text=cell_text(cell),
    )
    note = "; ".join(t for t in ("" if digits else label, row.text("note")) if t)
    return Removal(
        id=bench.desk.identity("r", ordinal),
        ordinal=ordinal,
        duration=reading,
        note=note,
        conditions=conditions,
        origin=row.origin(bench, "ordinal"),
    )
