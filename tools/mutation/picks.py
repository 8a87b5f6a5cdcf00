"""Lookups and limits done a second time: which row is the first that is enough, and what just holds holds."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import numpy as np

from lidoff.methods import Book, Table
from lidoff.methods.calculate import compiled
from lidoff.methods.formula import Comparison, Name, Pick, names

Row = Mapping[str, float]
Need = Callable[[Mapping[str, float], Row], float]


class Given:
    """A need that is one value of the book."""

    def __init__(self, name: str) -> None:
        self.name = name

    def __call__(self, values: Mapping[str, float], row: Row) -> float:
        return values[self.name]


def extrusion_force(v: Mapping[str, float], row: Row) -> float:
    """F = A k ln(A / strands of the section), A of the press's own container, with a margin."""
    area = math.pi * (row["container"] / 2.0) ** 2
    ratio = area / (v["holes"] * v["section"])
    return v["force_margin"] * area * v["extrusion_constant"] * math.log(ratio)


#: By book and line: every column that must be at least so much.
PICKS: Mapping[tuple[str, str], tuple[tuple[str, Need], ...]] = {
    ("blanking", "press"): (("capacity", Given("press_force")),),
    ("progressive_stamping", "press"): (("capacity", Given("press_force")), ("bed", Given("die_length"))),
    ("transfer_stamping", "press"): (("capacity", Given("press_force")), ("bed", Given("die_length"))),
    ("extrusion", "press"): (("largest_circle", Given("circle")), ("capacity", extrusion_force)),
    ("high_pressure_die_casting", "machine"): (
        ("capacity", Given("locking_force")),
        ("largest_shot", Given("shot_mass")),
    ),
    ("injection_moulding", "machine"): (
        ("capacity", Given("clamp_force")),
        ("largest_shot", lambda v, row: v["shot_volume"] * 1.25),
    ),
    ("machining", "machine"): (("travel", Given("length")),),
    ("bending", "machine"): (("travel", Given("length")),),
    ("saw", "saw"): (("capacity", Given("cut_width")),),
    ("dispensing", "dispenser"): (("pump", Given("pump_rate")),),
    ("die_cutting", "press"): (("capacity", Given("cut_force")),),
    ("compression_moulding", "press"): (("capacity", Given("press_force")),),
    ("bar_turning", "lathe"): (("bar", Given("bar_diameter")),),
    ("friction_stir_welding", "gantry"): (("travel", Given("length")),),
    ("polymer_extrusion", "extruder"): (("largest", Given("width")),),
    ("furnace_brazing", "furnace"): (("belt_width", Given("width")),),
    ("roll_forming", "mill"): (("strip", Given("width")),),
    ("screwing", "row"): (("size", Given("diameter")),),
    ("screwing", "station"): (("capacity", Given("station_torque")),),
}
ROWS = 6
TRIALS = 60


def pick_faults(book: Book) -> Iterator[str]:
    """Where a lookup takes another row than the first that is enough."""
    for line in book.lines.values():
        tree = line.formula.tree
        if isinstance(tree, Pick):
            wanted = PICKS.get((book.name, line.name))
            if wanted is None:
                yield f"nobody says which row {line.name} is"
            else:
                yield from _trials(line.name, tree, line.formula.calculate, wanted)


def _trials(
    name: str, tree: Pick, calculate: Callable[[Any], Any], wanted: tuple[tuple[str, Need], ...]
) -> Iterator[str]:
    chance = random.Random(name)
    free = sorted((names(tree) | _spoken_of(wanted)) - {tree.table, "pi"})
    for trial in range(TRIALS):
        columns = {column: sorted(chance.uniform(1.0, 3.0) for _ in range(ROWS)) for column in free}
        values = {column: chance.uniform(1.0, 3.0) for column in free}
        if "section" in values:
            values["section"] = chance.uniform(0.005, 0.02)
            columns["capacity"] = sorted(chance.uniform(5.0, 120.0) for _ in range(ROWS))
        rows = [{column: columns[column][n] for column in free} for n in range(ROWS)]
        if trial % 3 == 0:  # a need that a row meets exactly is met
            row = chance.choice(rows)
            for column, need in wanted:
                if isinstance(need, Given):
                    values[need.name] = row[column]
        if trial % 3 == 1:  # and one that it nearly meets
            row = chance.choice(rows)
            for column, need in wanted:
                row[column] = need(values, row) * chance.choice((0.99, 1.01))
                columns[column][rows.index(row)] = row[column]
        own = {column: np.array(cells) for column, cells in columns.items() if _is_column(column, wanted)}
        got = calculate({**values, tree.table: Table(columns=own)})
        try:
            fits = [all(row[c] >= need(values, row) for c, need in wanted) for row in rows]
        except KeyError as error:
            yield f"{name} does not ask for {error}"
            return
        first = fits.index(True) if any(fits) else ROWS - 1
        if int(got.index[0]) != first or bool(got.overflow[0]) != (not any(fits)):
            yield f"{name} is not the first row that is enough"
            return


def _spoken_of(wanted: tuple[tuple[str, Need], ...]) -> set[str]:
    own = {column for column, _ in wanted}
    return own | {need.name for _, need in wanted if isinstance(need, Given)}


def _is_column(name: str, wanted: tuple[tuple[str, Need], ...]) -> bool:
    return name == "container" or any(name == column for column, _ in wanted)


def edge_faults(book: Book) -> Iterator[str]:
    """Limits that are broken already where both sides are equal."""
    for number, limit in enumerate(book.limits, start=1):
        tree = limit.holds.tree
        if not isinstance(tree, Comparison):
            continue
        for this, other in ((tree.left, tree.right), (tree.right, tree.left)):
            if not isinstance(this, Name):
                continue
            env: dict[str, Any] = {name: 1.7 for name in limit.holds.names}
            env |= {row: _Any(1.3) for row, line in book.lines.items() if line.is_row}
            env[this.name] = compiled(other)(env)
            if not bool(limit.holds.calculate(env)):
                yield f"limit {number} is broken where it is just reached"
            break


class _Any:
    """A row whose columns all hold one number."""

    def __init__(self, value: float) -> None:
        self.columns = _Same(value)


class _Same(dict[str, float]):
    def __init__(self, value: float) -> None:
        super().__init__()
        self.value = value

    def __missing__(self, key: str) -> float:
        return self.value
