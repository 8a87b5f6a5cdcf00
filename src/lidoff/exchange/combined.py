"""Sizes written in one cell: "2560 x 1350 x 128", in a column of their own or in the length column."""

from __future__ import annotations

from collections.abc import Sequence

from ..quantities import Basis, Reading
from .bench import Bench, cells_of
from .columnread import column_habit, refuse
from .measures import CellReader, Measure, spread_of
from .rows import PartRows


def combined_sizes(
    bench: Bench, part: PartRows, ids: Sequence[str], sizes: dict[str, list[Reading | None]]
) -> dict[str, list[Reading | None]]:
    """``sizes`` with length, width and third size filled from a column that holds them together."""
    column = part.layout.at.get("size")
    if column is None:
        return sizes
    out = {name: list(values) for name, values in sizes.items()}
    reader = CellReader(column_habit(bench, part, "size"))
    for k, cell in enumerate(cells_of(part.table, column, part.items)):
        measure = reader(cell) if cell != "" else None
        if measure is None:
            continue
        where = bench.where(part.table.sheet, part.items[k], column, part.layout.headings["size"])
        if measure.problem:
            refuse(bench, where, measure, ids[k], "length", cell, "the size is left open")
            continue
        if any(v <= 0.0 for v in measure.values) or len(measure.values) > 3:
            bench.desk.reject(where, f"{measure.text!r} is not a size in up to three numbers", measure.text)
            continue
        origin = bench.origin(part.table.sheet, part.items[k], column)
        for name, value in zip(("length", "width", "thickness"), measure.values, strict=False):
            if out[name][k] is None:
                out[name][k] = _size(measure, value, origin)
    return out


def _size(measure: Measure, value: float, origin: str) -> Reading:
    alone = Measure(value=value, unit=measure.unit, text=measure.text)
    basis = Basis.ESTIMATED if measure.approximate else Basis.MEASURED
    return Reading(
        value=value, unit=measure.unit, basis=basis, spread=spread_of(alone, basis), origin=origin, text=measure.text
    )
