"""Length, width, third size and wall of parts rows, from whatever columns there are."""

from __future__ import annotations

from collections.abc import Sequence

from ..quantities import Basis, Reading
from .bench import Bench
from .columnread import column_habit, refuse, size_column
from .measures import CellReader, Measure, spread_of
from .rows import PartRows

Sizes = dict[str, list[Reading | None]]


def read_sizes(bench: Bench, part: PartRows, ids: Sequence[str]) -> Sizes:
    """Length, width, thickness and wall of every row.

    Beside a height, a thickness is a gauge; a gauge alone is the third size too.
    """
    nothing: list[Reading | None] = [None] * len(part.items)
    read = {
        name: size_column(bench, part, name, ids)
        for name in ("length", "width", "thickness", "height", "wall", "diameter")
        if name in part.layout.at
    }
    out = {name: read.get(name, nothing) for name in ("length", "width", "thickness", "wall")}
    if "height" in read:
        if "thickness" in read:
            out["wall"] = read.get("wall", read["thickness"])
            out["thickness"] = [h or t for h, t in zip(read["height"], read["thickness"], strict=True)]
        else:
            out["thickness"] = read["height"]
    elif "wall" in read and "thickness" not in read:
        out["thickness"] = read["wall"]
    if "diameter" in read:
        for name in ("width", "thickness"):
            out[name] = [a or d for a, d in zip(out[name], read["diameter"], strict=True)]
    return _combined(bench, part, ids, out)


def _combined(bench: Bench, part: PartRows, ids: Sequence[str], sizes: Sizes) -> Sizes:
    """Sizes filled from a column that holds them together: "2560 x 1350 x 128"."""
    column = part.layout.at.get("size")
    if column is None:
        return sizes
    out = {name: list(values) for name, values in sizes.items()}
    reader = CellReader(column_habit(bench, part, "size"))
    for k, cell in enumerate(part.cells(column)):
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
    spread = spread_of(alone, basis)
    return Reading(
        value=value, unit=measure.unit, basis=basis, spread=spread, origin=origin, text=measure.text
    )
