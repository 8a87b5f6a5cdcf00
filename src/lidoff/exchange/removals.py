"""Rows of removal tables: how long the n-th removal from a vehicle took."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..quantities import Basis, Reading
from ..quantities.defaults import default_spread
from ..records import Removal
from .bench import Bench
from .columns import Layout
from .joints import _Row
from .log import duration_of
from .notes import cell_text
from .rows import is_total
from .tables import Table, blank_within
from .vocabulary import normal

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
    digits = re.search(r"\d+", label)
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
