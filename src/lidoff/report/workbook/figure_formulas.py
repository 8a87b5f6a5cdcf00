"""Formulas of a pack's figures of mass, layout and energy over its sheets."""

from __future__ import annotations

from collections.abc import Callable

from ...evaluate.layout import cell_nodes
from ...evaluate.names import STRUCTURE
from ...records import FUNCTIONS, Function
from .binder import PackSheets
from .page import cells_from


class Formulas:
    """Writes the formula of a figure as seen from a sheet. Called only for figures that have a value."""

    def __init__(self, pack: PackSheets, sheet: str, cells: dict[str, str]) -> None:
        self.pack, self.sheet = pack, sheet
        #: Cells on the sheet that hold the figures, by name, so that one figure can use another.
        self.figures = cells
        self.masses = self.span("parts mass")
        self.functions = self.span("parts function")

    def span(self, key: str) -> str:
        there = self.pack.columns[key]
        return cells_from(self.sheet, there.first, there.last)

    def fact(self, key: str) -> str:
        return self.pack.facts[key].ref.seen_from(self.sheet)

    def has(self, key: str) -> bool:
        return key in self.pack.facts

    def formula(self, name: str) -> str | None:
        """The formula, ``None`` where the figure is not one of these."""
        if name.startswith("mass_") and name.removeprefix("mass_") in set(map(str, FUNCTIONS)):
            return self.of_function(name.removeprefix("mass_"))
        writers: dict[str, Callable[[], str]] = {
            "mass_rolled": lambda: f"SUM({self.masses})-{self.of_function(Function.COOLANT)}",
            "mass_weighed": lambda: self.fact("mass_weighed"),
            "mass_closure": lambda: f"100*({self.listed()})/{self.figures['mass_weighed']}",
            "mass_unaccounted": lambda: f"{self.figures['mass_weighed']}-({self.listed()})",
            "mass_estimated": self.estimated,
            "mass_unassigned": self.unassigned,
            "cell_mass_fraction": lambda: (
                f"100*{self.of_function(Function.CELLS)}/{self.figures['mass_rolled']}"
            ),
            "cell_count": self.cell_count,
            "voltage_nominal": lambda: f"{self.fact('cells_series')}*{self.fact('cell_voltage')}",
            "voltage_max": lambda: f"{self.fact('cells_series')}*{self.fact('cell_voltage_max')}",
            "voltage_min": lambda: f"{self.fact('cells_series')}*{self.fact('cell_voltage_min')}",
            "energy_nominal": self.energy,
            "specific_energy": lambda: f"1000*{self.figures['energy_nominal']}/{self.figures['mass_rolled']}",
            "energy_density": lambda: f"1000*{self.figures['energy_nominal']}/({self.litres()})",
            "structure_per_kwh": self.structure,
        }
        return writers[name]() if name in writers else None

    def of_function(self, function: str) -> str:
        return f'SUMIFS({self.masses},{self.functions},"{function}")'

    def listed(self) -> str:
        """Dry leaves, and coolant where the weighing held it."""
        rolled = self.figures["mass_rolled"]
        if not self.has("coolant_in_weighing"):
            return rolled
        return f"{rolled}+IF({self.fact('coolant_in_weighing')}>0,{self.of_function(Function.COOLANT)},0)"

    def estimated(self) -> str:
        basis = self.span("parts basis")
        terms = [
            f'SUMIFS({self.masses},{basis},"{word}")-SUMIFS({self.masses},{basis},"{word}",{self.functions},"coolant")'
            for word in ("estimated", "assumed")
        ]
        return "+".join(terms)

    def unassigned(self) -> str:
        known = [self.of_function(f) for f in FUNCTIONS if f is not Function.COOLANT]
        return f"{self.figures['mass_rolled']}-({'+'.join(known)})"

    def counted(self) -> str | None:
        cells = cell_nodes(self.pack.tree)
        terms = [self.pack.counts[node.item.id].ref.seen_from(self.sheet) for node in cells]
        return "+".join(terms) or None

    def connected(self) -> str | None:
        if self.has("cells_series") and self.has("cells_parallel"):
            return f"{self.fact('cells_series')}*{self.fact('cells_parallel')}"
        return None

    def cell_count(self) -> str:
        return self.counted() or self.connected() or "0"

    def energy(self) -> str:
        """kWh: cells of the circuit, else those counted, times capacity and voltage (or energy of a cell)."""
        cells = self.connected() or f"({self.counted()})"
        if self.has("cell_capacity"):
            return f"{cells}*{self.fact('cell_capacity')}*{self.fact('cell_voltage')}/1000"
        return f"{cells}*{self.fact('cell_energy')}/1000"

    def litres(self) -> str:
        """Outer volume as noted, else of the outer box (mm to l)."""
        if self.has("volume"):
            return self.fact("volume")
        sides = "*".join(self.fact(f"envelope_{side}") for side in ("length", "width", "height"))
        return f"{sides}/1000000"

    def structure(self) -> str:
        terms = "+".join(self.of_function(function) for function in STRUCTURE)
        return f"({terms})/{self.figures['energy_nominal']}"
