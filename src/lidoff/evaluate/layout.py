"""Layout and energy: cells, voltages and energy from cell and layout, held against the label."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..quantities import Basis, Reading, parse_unit
from ..quantities.spread import between
from ..records import Pack
from .build import figure, line, missing, put
from .chemistry import Chemistry, recognise_chemistry
from .findings import Figure, WorkedLine
from .known import Known, known, mean_basis
from .mass import Masses
from .tree import Node, Tree
from .units import LITRE, WATT_HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """What is known of cells and their connection. Counts are nominal, ``None`` where not known."""

    cell: Node | None
    counted: float | None
    series: float | None
    parallel: float | None
    chemistry: Chemistry | None

    @property
    def connected(self) -> float | None:
        """Cells in the circuit: series × parallel."""
        if self.series is None or self.parallel is None:
            return None
        return self.series * self.parallel

    @property
    def cells(self) -> float | None:
        """Cells behind the energy: those of the circuit, else those counted in the tree."""
        return self.connected if self.connected is not None else self.counted


def read_layout(pack: Pack, tree: Tree) -> Layout:
    cells = cell_nodes(tree)
    series, parallel = pack.fact("cells_series"), pack.fact("cells_parallel")
    cell = max(cells, key=lambda node: node.count, default=None)
    material = None if cell is None or cell.item.material is None else cell.item.material.text
    return Layout(
        cell=cell,
        counted=sum(node.count for node in cells) if cells else None,
        series=None if series is None else series.value,
        parallel=None if parallel is None else parallel.value,
        chemistry=recognise_chemistry(
            pack.word("cell_chemistry"),
            material,
            None if cell is None else cell.item.name,
            pack.word("cell_format"),
        ),
    )


def cell_nodes(tree: Tree) -> tuple[Node, ...]:
    """Leaves that are cells: of that function and, where several are, made of a cell's material."""
    from ..materials import MATERIALS
    from ..records import Function

    nodes = tuple(node for node in tree.leaves if node.function is Function.CELLS)
    if len(nodes) < 2:
        return nodes

    def is_cell(node: Node) -> bool:
        key = None if node.item.material is None else node.item.material.means
        if key is not None and key in MATERIALS:
            return str(MATERIALS[key].family) == "cell"
        return (
            recognise_chemistry(None if node.item.material is None else node.item.material.text) is not None
        )

    sure = tuple(node for node in nodes if is_cell(node))
    return sure or (max(nodes, key=lambda node: node.count),)


def layout_figures(pack: Pack, tree: Tree, masses: Masses, count: int) -> dict[str, Figure]:
    """Counts, voltages, energy and what is made of them, with ``count`` samples."""
    layout = read_layout(pack, tree)
    figures = {"cell_count": _cell_count(layout, count)}
    for name, key, limit in (
        ("voltage_nominal", "cell_voltage", "nominal"),
        ("voltage_max", "cell_voltage_max", "max"),
        ("voltage_min", "cell_voltage_min", "min"),
    ):
        figures[name] = _voltage(pack, layout, name, key, limit, count)
    energy, working, why = _energy(pack, layout, count)
    if energy is None:
        figures["energy_nominal"] = missing("energy_nominal", *why)
        for name in ("specific_energy", "energy_density", "structure_per_kwh"):
            figures[name] = missing(name, *why)
        return figures
    kwh = energy.times(1.0 / (1000.0 * WATT_HOUR))
    figures["energy_nominal"] = figure("energy_nominal", kwh, working=working, warnings=why)
    figures["specific_energy"] = _specific(kwh, masses.rolled)
    figures["energy_density"] = _density(pack, kwh, count)
    figures["structure_per_kwh"] = _structure(kwh, masses.structure)
    return figures


def _cell_count(layout: Layout, count: int) -> Figure:
    if layout.counted is None and layout.connected is None:
        return missing("cell_count", "no line of the list is a cell, and the layout is not recorded")
    value, basis, notes = layout.counted, Basis.COUNTED, list[str]()
    connected = layout.connected
    working = [] if value is None else [line("cell_count", "quantities down the tree", put(value), value, "")]
    if connected is not None:
        put_in = f"{put(layout.series or 0.0)} × {put(layout.parallel or 0.0)}"
        working.append(line("layout", "series × parallel", put_in, connected, ""))
        if value is not None and value != connected:
            notes.append(f"the list holds {value:g} cells, the layout {connected:g}")
    if value is None:
        value, basis = connected, Basis.MARKED
        notes.append("no line of the list is a cell; taken from the layout")
    assert value is not None
    return figure("cell_count", constant(value, basis, count), working=working, warnings=notes)


def constant(
    value: float, basis: Basis, count: int, source: str | None = None, warning: str | None = None
) -> Known:
    """A number without spread."""
    import numpy as np

    return Known(
        value=value,
        samples=np.full(count, value),
        basis={basis: 1.0},
        sources=() if source is None else (source,),
        warnings=() if warning is None else (warning,),
    )


def cell_voltage(pack: Pack, layout: Layout, key: str, limit: str, count: int) -> Known | None:
    """A cell's voltage as noted, else as its chemistry's row gives it."""
    reading = pack.fact(key)
    if reading is not None:
        return known(as_nominal(reading), f"{pack.id}.{key}", count)
    if layout.chemistry is None:
        return None
    value: float = getattr(layout.chemistry, limit)
    note = f"{limit} voltage of a cell not recorded; taken as usual for {layout.chemistry.title}: {value:g} V"
    return constant(value, Basis.ASSUMED, count, layout.chemistry.source, note)


def as_nominal(reading: Reading) -> Reading:
    """A nominal voltage is a definition: where nobody gave a spread it is good to its last digit."""
    if reading.spread.stated:
        return reading
    step = parse_unit(reading.unit).factor * label_step(reading)
    return replace(reading, spread=between(reading.value - step, reading.value + step, stated=False))


def _voltage(pack: Pack, layout: Layout, name: str, key: str, limit: str, count: int) -> Figure:
    if layout.series is None:
        return missing(name, "cells in series not recorded")
    cell = cell_voltage(pack, layout, key, limit, count)
    if cell is None:
        return missing(name, "neither the cell's voltage nor its chemistry is recorded")
    volts = cell.times(layout.series)
    put_in = f"{put(layout.series)} × {put(cell.value, 'V')}"
    source = cell.sources[0] if cell.sources else None
    working = [line(name, f"series × cell's {limit} voltage", put_in, volts.value, "V", source=source)]
    if limit == "nominal":
        working += label_line(pack, "label_voltage", volts.value)
    return figure(name, volts, working=working)


def _energy(pack: Pack, layout: Layout, count: int) -> tuple[Known | None, list[WorkedLine], list[str]]:
    """Energy [J], its working, and what is missing or was assumed."""
    capacity = pack.fact("cell_capacity")
    if layout.cells is None:
        return None, [], ["the number of cells is not known"]
    cells, notes = layout.cells, list[str]()
    if capacity is None:
        whole = pack.fact("cell_energy")
        if whole is None:
            return None, [], ["neither capacity nor energy of a cell is recorded"]
        energy = known(whole, f"{pack.id}.cell_energy", count).times(cells)
        put_in = f"{put(cells)} × {put(whole.value / WATT_HOUR, 'Wh')}"
        formula = "cells × energy of a cell"
    else:
        volts = cell_voltage(pack, layout, "cell_voltage", "nominal", count)
        if volts is None:
            return None, [], ["neither the cell's nominal voltage nor its chemistry is recorded"]
        charge = known(capacity, f"{pack.id}.cell_capacity", count)
        energy = (charge * volts).times(cells)
        amp_hours = parse_unit("Ah").from_si(capacity.value)
        put_in = f"{put(cells)} × {put(amp_hours, 'Ah')} × {put(volts.value, 'V')}"
        formula = "cells × capacity × nominal voltage"
    if layout.connected is None:
        notes.append("layout not recorded; all cells of the list taken as connected")
    kwh = energy.value / (1000.0 * WATT_HOUR)
    working = [line("energy_nominal", formula, put_in, kwh, "kWh")]
    return energy, working + label_line(pack, "label_energy", kwh), notes


def label_step(reading: Reading) -> float:
    """Half a unit of the last digit printed on a label, in the reading's own unit.

    >>> label_step(Reading(value=391.0, unit="V", basis=Basis.MARKED))
    0.5
    """
    shown = parse_unit(reading.unit).from_si(reading.value)
    decimals = next((d for d in range(6) if abs(round(shown, d) - shown) <= 1e-9 * abs(shown)), 6)
    return 0.5 * 10.0**-decimals


def label_line(pack: Pack, key: str, computed: float) -> list[WorkedLine]:
    """The label beside a computed value in the label's unit, and whether they agree to its rounding."""
    label = pack.fact(key)
    if label is None:
        return []
    shown = parse_unit(label.unit).from_si(label.value)
    step = label_step(label)
    inside = abs(computed - shown) <= step * (1.0 + 1e-9)
    about = f"the label {'agrees' if inside else 'differs'} (rounded to ±{step:g} {label.unit})"
    return [
        line(
            "label less computed",
            "label − computed",
            f"{put(shown)} − {put(computed)}",
            shown - computed,
            label.unit,
            about=about,
        )
    ]


def _specific(kwh: Known, rolled: Known | None) -> Figure:
    if rolled is None or rolled.value <= 0.0:
        return missing("specific_energy", "no line has a mass")
    number = (kwh / rolled).times(1000.0)
    put_in = f"1000 × {put(kwh.value, 'kWh')} / {put(rolled.value, 'kg')}"
    return figure(
        "specific_energy",
        number,
        working=[line("specific_energy", "energy / dry leaves", put_in, number.value, "Wh/kg")],
    )


def envelope_volume(pack: Pack, count: int) -> Known | None:
    """Outer volume [m³] as noted, else of the outer box."""
    reading = pack.fact("volume")
    if reading is not None:
        return known(reading, f"{pack.id}.volume", count)
    sides = [pack.fact(f"envelope_{side}") for side in ("length", "width", "height")]
    given = [known(r, f"{pack.id}.envelope.{n}", count) for n, r in enumerate(sides) if r is not None]
    if len(given) < len(sides):
        return None
    box = given[0] * given[1] * given[2]
    return replace(box, basis=mean_basis(*(g.basis for g in given)))


def _density(pack: Pack, kwh: Known, count: int) -> Figure:
    volume = envelope_volume(pack, count)
    if volume is None or volume.value <= 0.0:
        return missing("energy_density", "the envelope is not recorded")
    litres = volume.times(1.0 / LITRE)
    number = (kwh / litres).times(1000.0)
    put_in = f"1000 × {put(kwh.value, 'kWh')} / {put(litres.value, 'l')}"
    return figure(
        "energy_density",
        number,
        working=[line("energy_density", "energy / envelope", put_in, number.value, "Wh/l")],
    )


def _structure(kwh: Known, structure: Known | None) -> Figure:
    if structure is None:
        return missing("structure_per_kwh", "no module, tray, cover or mount line has a mass")
    number = structure / kwh
    put_in = f"{put(structure.value, 'kg')} / {put(kwh.value, 'kWh')}"
    working = [
        line("structure_per_kwh", "(module + tray + cover + mount) / energy", put_in, number.value, "kg/kWh")
    ]
    return figure("structure_per_kwh", number, working=working)
