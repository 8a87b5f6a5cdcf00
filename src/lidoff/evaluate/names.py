"""The figures: their names, titles, units and meaning, fixed once published."""

from __future__ import annotations

from dataclasses import dataclass

from ..records import FUNCTIONS, Function


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureKind:
    """One figure a pack may have. ``unit`` "money…" stands for the price book's currency."""

    name: str
    title: str
    unit: str
    means: str


_PLAIN = (
    ("mass_rolled", "Dry mass, rolled up", "kg", "sum of the leaves of the parts tree, coolant left out"),
    ("mass_weighed", "Mass as weighed", "kg", "the whole pack on the scale, with whatever it then held"),
    ("mass_closure", "Closure", "%", "dry leaves, and coolant where the weighing held it, over the weighed"),
    ("mass_unaccounted", "Mass not accounted for", "kg", "weighed mass less what the list accounts for"),
    ("mass_estimated", "Mass resting on estimates", "kg", "dry mass of the lines estimated or assumed"),
    ("mass_unassigned", "Mass without a function", "kg", "dry mass of the lines whose function is not known"),
    ("cell_count", "Cells", "", "cells in the parts tree"),
    ("cell_mass_fraction", "Cell fraction", "%", "mass of the cells over the dry rolled mass"),
    ("voltage_nominal", "Nominal voltage", "V", "cells in series times the cell's nominal voltage"),
    ("voltage_max", "Highest voltage", "V", "cells in series times the cell's highest voltage"),
    ("voltage_min", "Lowest voltage", "V", "cells in series times the cell's lowest voltage"),
    ("energy_nominal", "Nominal energy", "kWh", "cells times capacity times nominal voltage"),
    ("specific_energy", "Specific energy", "Wh/kg", "nominal energy over the dry rolled mass"),
    ("energy_density", "Energy density", "Wh/l", "nominal energy over the envelope volume"),
    (
        "structure_per_kwh",
        "Structure per kWh",
        "kg/kWh",
        "mass of module, tray, cover and mount lines over nominal energy",
    ),
)  # fmt: skip

_COST = (
    ("cost_piece", "Piece cost", "material, labour, burden, mark-up and packaging of the costed lines"),
    ("cost_material", "Material", "raw material net of scrap credit, and bought parts"),
    ("cost_labour", "Labour", "direct labour"),
    ("cost_burden", "Burden", "machines, floor, energy and other manufacturing overhead"),
    ("cost_markup", "Mark-up", "end-item scrap, administration, profit and engineering"),
    ("cost_packaging", "Packaging", "packaging and inbound handling, beside the mark-up"),
    ("cost_tooling_per_piece", "Tooling, per pack", "investment over the scenario's packs, beside the piece"),
    ("tooling_investment", "Tooling investment", "tooling over the programme, replacements included"),
    ("cost_per_kwh", "Piece cost per kWh", "piece cost of the costed lines over nominal energy"),
)  # fmt: skip

#: Functions whose mass is called structure.
STRUCTURE = (Function.MODULE, Function.TRAY, Function.COVER, Function.MOUNT)

_COST_UNIT = {"tooling_investment": "money", "cost_per_kwh": "money/kWh"}

FIGURES: dict[str, FigureKind] = {
    kind.name: kind
    for kind in (
        *(FigureKind(name=n, title=t, unit=u, means=m) for n, t, u, m in _PLAIN),
        *(
            FigureKind(
                name=f"mass_{f}",
                title=f"Mass: {f}",
                unit="kg",
                means=f"mass of the lines whose function is {f}"
                + ("; kept out of the dry mass" if f is Function.COOLANT else ""),
            )
            for f in FUNCTIONS
        ),
        *(FigureKind(name=n, title=t, unit=_COST_UNIT.get(n, "money/pack"), means=m) for n, t, m in _COST),
    )
}
