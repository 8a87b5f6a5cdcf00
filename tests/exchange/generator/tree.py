"""Draws a pack's tree of parts, with masses that follow from sizes, shape and density."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

from .truth import Line
from .words import words

_HERE = Path(__file__).parent

#: Share of the outer box (length x width x third size) that is filled, by shape: this file's own choice,
#: wide enough for trimmed sheets, ribbed castings and thin-walled mouldings. A hollow section of 80 x 60 mm
#: with a wall of 2 mm fills 0.11 of its box, a tube of 18 mm with a wall of 1 mm 0.16.
_FILL = {
    "sheet": (0.82, 0.99), "bead": (0.75, 0.98), "profile": (0.12, 0.38), "cast": (0.16, 0.34),
    "moulded": (0.12, 0.26), "solid": (0.85, 0.97), "plate": (0.45, 0.8), "tube": (0.17, 0.26),
    "cell": (0.72, 0.785),
}  # fmt: skip
#: Density of a bought part over its outer box [kg/m3].
_BOUGHT = (600.0, 1600.0)


@dataclass(frozen=True)
class Stuff:
    density: float
    names: dict[str, list[str]]


@cache
def _rows(name: str) -> tuple[dict[str, str], ...]:
    with (_HERE / name).open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file, delimiter=";"))


@cache
def stuffs() -> dict[str, Stuff]:
    return {
        row["key"]: Stuff(float(row["density"]), {lang: row[lang].split("|") for lang in ("en", "de", "fr")})
        for row in _rows("materials.csv")
    }


def _between(rng: Random, text: str) -> float:
    low, _, high = text.partition("-")
    value = rng.uniform(float(low), float(high or low))
    return round(value) if value >= 20 else round(value, 1) if value >= 2 else round(value, 2)


def _sizes(rng: Random, row: dict[str, str]) -> tuple[float, float, float] | None:
    if not row["length"]:
        return None
    return _between(rng, row["length"]), _between(rng, row["width"]), _between(rng, row["third"])


def _part(rng: Random, row: dict[str, str], language: str, parent: Line | None, name: str) -> Line:
    sizes = _sizes(rng, row)
    if sizes is None:
        mass = _between(rng, row["mass"]) / 1000
    else:
        box = sizes[0] * sizes[1] * sizes[2] * 1e-9
        if row["shape"] == "bought":
            mass = box * rng.uniform(*_BOUGHT)
        else:
            mass = box * rng.uniform(*_FILL[row["shape"]]) * stuffs()[row["stuff"]].density
    return Line(
        name=name, depth=parent.depth + 1 if parent else 0, parent=parent, shape=row["shape"],
        function=row["function"], quantity=round(_between(rng, row["count"])), stuff=row["stuff"],
        material=rng.choice(stuffs()[row["stuff"]].names[language]), process=row["process"],
        wanted_mass=mass, wanted_sizes=sizes,
    )  # fmt: skip


def _cell(rng: Random, language: str, parent: Line, count: int, cylindrical: bool) -> Line:
    """A cell of usual outer density, 2.2 to 2.9 t/m3 over its body."""
    if cylindrical:
        sizes = (21.2, 21.2, 70.2)
        mass = rng.uniform(0.067, 0.071)
    else:
        sizes = (rng.randint(148, 174), rng.randint(270, 540) / 10, rng.randint(95, 112))
        mass = sizes[0] * sizes[1] * sizes[2] * 1e-9 * rng.uniform(2050, 2250)
    names = {"en": "Cell", "de": "Zelle", "fr": "Cellule"}
    return Line(
        name=names[language], depth=parent.depth + 1, parent=parent, shape="cell", function="cells",
        quantity=count, stuff="cell", material=rng.choice(stuffs()["cell"].names[language]), process="bought",
        wanted_mass=mass, wanted_sizes=sizes,
    )  # fmt: skip


def _fill(rng: Random, assembly: Line, key: str, language: str, wanted: int) -> None:
    """Parts of an assembly; sides are told apart by a word, some parts sit in a sub-assembly."""
    catalogue = [row for row in _rows("parts.csv") if row["assembly"] == key]
    sides = words(language, "phrases")["left"]
    order = [(row, "") for row in catalogue] + [(row, side) for row in catalogue for side in sides]
    form = rng.choice(["{} {}", "{} {}", "{}, {}", "{} ({})"])
    core, spare = order[: len(catalogue)], order[len(catalogue) :]
    rng.shuffle(core)
    rng.shuffle(spare)
    chosen = (core + spare)[:wanted]
    holder = assembly
    for position, (row, side) in enumerate(chosen):
        name = form.format(row[language], side) if side else row[language]
        if position == 2 and len(chosen) - position >= 5 and rng.random() < 0.25:
            title = {"en": "Sub-assembly", "de": "Untergruppe", "fr": "Sous-ensemble"}[language]
            holder = Line(name=f"{title} {rng.choice(sides)}", depth=assembly.depth + 1, parent=assembly,
                          shape="assembly", function=assembly.function)  # fmt: skip
            assembly.children.append(holder)
        elif position == 5:
            holder = assembly
        holder.children.append(_part(rng, row, language, holder, name))


@dataclass(frozen=True)
class Layout:
    """Cells of the pack: what stands on the front page."""

    series: int
    parallel: int
    modules: int
    cell_mass: float  # kg
    cell_voltage: str  # V

    @property
    def cells(self) -> int:
        return self.series * self.parallel


def draw_tree(rng: Random, language: str, *, single_counts: bool, many: bool) -> tuple[Line, Layout]:
    """A pack. ``single_counts`` keeps every assembly to one piece; ``many`` gives ten or more children."""
    name = {"en": "Pack, complete", "de": "Batterie komplett", "fr": "Batterie complète"}[language]
    root = Line(name=name, depth=0, parent=None, shape="assembly", function="")
    others = [row for row in _rows("assemblies.csv") if row["key"] != "module"]
    rng.shuffle(others)
    size = rng.randint(6, 9) if many else rng.randint(4, 12)
    keys = ["module"] + [row["key"] for row in others[: size - 1]]
    rng.shuffle(keys)
    modules = 1 if single_counts else rng.choice([2, 4, 6, 7, 8, 10, 12, 16])
    cylindrical = rng.random() < 0.5
    parallel = rng.choice([20, 30, 40]) if cylindrical else rng.choice([1, 1, 2])
    series = rng.randint(60, 112) if single_counts else rng.randint(6, 14)
    wanted = rng.randint(30, 120)
    cell_mass, box, voltage = 0.0, 0.0, ""
    for key in keys:
        row = next(row for row in _rows("assemblies.csv") if row["key"] == key)
        line = Line(name=row[language], depth=1, parent=root, shape="assembly", function=row["function"],
                    wanted_sizes=_sizes(rng, row))  # fmt: skip
        root.children.append(line)
        if key == "module":
            line.quantity = modules
            cell = _cell(rng, language, line, series * parallel, cylindrical)
            line.children.append(cell)
            line.wanted_sizes = _around(rng, cell)
            cell_mass = cell.wanted_mass or 0.0
            voltage = "3.2" if "LFP" in cell.material else "3.65"  # iron phosphate, and the others
            box = modules * math.prod(line.wanted_sizes)
        _fill(rng, line, key, language, max(2, round(wanted / len(keys) * rng.uniform(0.6, 1.4))))
    loose = [row for row in _rows("parts.csv") if row["assembly"] == "loose"]
    rng.shuffle(loose)
    for row in loose[: rng.randint(10 - size if many else 0, 7)]:
        at = rng.randint(0, len(root.children)) if not many else len(root.children)
        root.children.insert(at, _part(rng, row, language, root, row[language]))
    height = rng.randint(125, 170)
    length = rng.randint(1500, 2500)
    root.wanted_sizes = (length, max(700, round(box * rng.uniform(1.3, 1.7) / height / length)), height)
    return root, Layout(
        series=series * modules, parallel=parallel, modules=modules, cell_mass=cell_mass, cell_voltage=voltage
    )


def _around(rng: Random, cell: Line) -> tuple[float, float, float]:
    """A module's outer size that its cells fit into."""
    assert cell.wanted_sizes is not None
    height = round(max(cell.wanted_sizes[2], 70) + rng.randint(8, 16))
    area = cell.quantity * math.prod(cell.wanted_sizes[:2]) * rng.uniform(1.12, 1.3)
    length = round(math.sqrt(area) * rng.uniform(1.2, 2.2))
    return length, round(area / length), height


def walk(line: Line) -> Iterator[Line]:
    yield line
    for child in line.children:
        yield from walk(child)
