"""Pack data: what the benches noted of whole packs, each number an input."""

from __future__ import annotations

from ...evaluate.layout import read_layout
from ...quantities import Basis, parse_unit
from ...records import Fact
from ...records.facts import FACTS
from .binder import Binder, Cell, PackSheets
from .page import Page

_WEAK = (Basis.ASSUMED, Basis.ESTIMATED)
_VOLTAGES = (("cell_voltage", "nominal"), ("cell_voltage_max", "max"), ("cell_voltage_min", "min"))


def facts(binder: Binder) -> None:
    page = binder.page("Pack data", (18, 44, 14, 10, 16, 44, 30))
    page.head(
        "Pack data",
        "What was noted of whole packs: weighing, envelope, label, cells and their layout.",
        binder.back,
    )
    heads = ("Pack", "What", "Value", "Unit", "Basis", "As written", "Where written")
    page.columns([(head, head == "Value") for head in heads], freeze=2)
    for pack in binder.packs:
        for fact in pack.pack.facts:
            if fact.key is not None and (fact.reading is not None or fact.word is not None):
                _fact(page, pack, fact)
                page.row += 1
        _usual_voltages(binder, page, pack)
        page.row += 1


def _fact(page: Page, pack: PackSheets, fact: Fact) -> None:
    kind = FACTS[fact.key or ""]
    page.say(0, pack.name, "soft")
    page.say(1, kind.about)
    reading = fact.reading
    if reading is None:
        page.say(2, "")
    else:
        unit = parse_unit(kind.unit)
        ref = page.put(2, unit.from_si(reading.value), "assumed" if reading.basis in _WEAK else "input")
        pack.facts.setdefault(kind.key, Cell(ref, unit))
    page.say(3, kind.unit.replace("degC", "°C").replace("ohm", "Ω"), "unit")
    page.say(4, "" if reading is None else str(reading.basis), "soft")
    page.say(5, fact.text or ("" if fact.word is None else fact.word.text), "soft")
    page.say(6, fact.origin, "soft")


def _usual_voltages(binder: Binder, page: Page, pack: PackSheets) -> None:
    """Cell voltages nobody recorded, as usual for the chemistry."""
    chemistry = read_layout(pack.pack, pack.tree).chemistry
    if chemistry is None:
        return
    for key, limit in _VOLTAGES:
        if key in pack.facts:
            continue
        value: float = getattr(chemistry, limit)
        unit = parse_unit("V")
        page.say(0, pack.name, "soft")
        page.say(1, FACTS[key].about)
        pack.facts[key] = Cell(page.put(2, value, "assumed"), unit)
        page.say(3, "V", "unit")
        page.say(4, str(Basis.ASSUMED), "soft")
        page.say(5, f"not recorded; usual for {chemistry.title}", "soft")
        page.say(6, binder.cite(chemistry.source), "soft")
        page.row += 1
