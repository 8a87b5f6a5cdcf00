"""Facts: what a bench notes about a whole pack, as key and value."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import Reading, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class FactKind:
    """One thing that may be noted of a pack. ``unit`` is its display unit, empty for words."""

    key: str
    about: str
    unit: str = ""
    is_word: bool = False


FACTS: dict[str, FactKind] = {
    kind.key: kind
    for kind in (
        FactKind(key="name", about="pack's nickname", is_word=True),
        FactKind(key="job", about="job or order number", is_word=True),
        FactKind(key="received", about="date of receipt or record", is_word=True),
        FactKind(key="donor", about="vehicle it came from", is_word=True),
        FactKind(key="model_year", about="model year", is_word=True),
        FactKind(key="condition", about="condition as received", is_word=True),
        FactKind(key="scales", about="scales used, with range and division", is_word=True),
        FactKind(key="mass_weighed", about="whole pack as weighed", unit="kg"),
        FactKind(key="coolant_in_weighing", about="whether the weighing held coolant (1 yes, 0 no)"),
        FactKind(key="envelope_length", about="outer length", unit="mm"),
        FactKind(key="envelope_width", about="outer width", unit="mm"),
        FactKind(key="envelope_height", about="outer height", unit="mm"),
        FactKind(key="volume", about="outer volume", unit="l"),
        FactKind(key="label_voltage", about="nominal voltage on the label", unit="V"),
        FactKind(key="label_energy", about="energy on the label", unit="kWh"),
        FactKind(key="label_capacity", about="capacity on the label", unit="Ah"),
        FactKind(key="cells_series", about="cells or groups in series"),
        FactKind(key="cells_parallel", about="cells in parallel"),
        FactKind(key="cell_format", about="format of the cell", is_word=True),
        FactKind(key="cell_chemistry", about="chemistry of the cell", is_word=True),
        FactKind(key="cell_voltage", about="nominal voltage of a cell", unit="V"),
        FactKind(key="cell_voltage_max", about="highest voltage of a cell", unit="V"),
        FactKind(key="cell_voltage_min", about="lowest voltage of a cell", unit="V"),
        FactKind(key="cell_capacity", about="capacity of a cell", unit="Ah"),
        FactKind(key="cell_resistance", about="direct-current resistance of a cell", unit="mohm"),
        FactKind(key="cell_energy", about="energy of a cell", unit="Wh"),
        FactKind(key="pack_resistance", about="direct-current resistance of the pack", unit="mohm"),
        FactKind(key="voltage_arrival", about="open-circuit voltage at arrival", unit="V"),
        FactKind(key="isolation_plus", about="isolation resistance of plus", unit="Mohm"),
        FactKind(key="isolation_minus", about="isolation resistance of minus", unit="Mohm"),
        FactKind(key="isolation_test_voltage", about="test voltage of the isolation reading", unit="V"),
        FactKind(key="fuse_current", about="rated current of the main fuse", unit="A"),
        FactKind(key="fuse_voltage", about="rated voltage of the main fuse", unit="V"),
        FactKind(key="contactor_current", about="continuous current of the main contactors", unit="A"),
        FactKind(key="contactor_voltage", about="rated voltage of the main contactors", unit="V"),
        FactKind(key="coolant", about="coolant", is_word=True),
        FactKind(key="coolant_flow", about="coolant flow", unit="l/min"),
        FactKind(key="coolant_inlet", about="coolant inlet temperature", unit="degC"),
        FactKind(key="ribbons_per_module", about="cooling ribbons in a module"),
        FactKind(key="ports_per_ribbon", about="ports in a ribbon"),
        FactKind(key="port_width", about="width of a port", unit="mm"),
        FactKind(key="port_height", about="height of a port", unit="mm"),
        FactKind(key="ribbon_wall", about="wall of a ribbon", unit="mm"),
        FactKind(key="ribbon_length", about="developed length of a ribbon", unit="mm"),
        FactKind(key="contact_height", about="height of contact on the cell", unit="mm"),
        FactKind(key="contact_arc", about="arc of contact on the cell", unit="deg"),
        FactKind(key="filler_thickness", about="bond line of the filler", unit="mm"),
        FactKind(key="filler_conductivity", about="thermal conductivity of the filler", unit="W/(m*K)"),
        FactKind(key="uncontacted_share", about="share of cells without contact"),
        FactKind(key="plumbing", about="how modules are plumbed", is_word=True),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A note about the pack: what was written, and what it was understood to be.

    ``key`` is one of `FACTS` or ``None`` where the note was kept but not understood.
    """

    id: str
    label: str
    text: str
    key: str | None = None
    reading: Reading | None = None
    word: Word | None = None
    position: int = 0
    origin: str = ""
