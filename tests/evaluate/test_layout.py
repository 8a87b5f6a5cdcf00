"""Cells, voltages and energy: published limits of cells, behaviour where something is missing."""

from dataclasses import replace

import pytest
from by_hand import fact, pack, part

from lidoff.evaluate.chemistry import recognise_chemistry
from lidoff.evaluate.layout import label_step, layout_figures, read_layout
from lidoff.evaluate.mass import masses
from lidoff.evaluate.tree import build
from lidoff.quantities import Basis, Reading

FACTS = (
    fact("cells_series", 108.0),
    fact("cells_parallel", 40.0),
    fact("cell_voltage", 3.62, "V"),
    fact("cell_capacity", 4.72 * 3600.0, "Ah"),
    fact("label_voltage", 391.0, "V"),
    fact("label_energy", 74 * 3.6e6, "kWh"),
)


def record(*facts, cells: float = 360, material: str = "NCA / graphite"):
    return pack(
        part("1", "pack"),
        part("1.3", "module, 9s40p", quantity=12),
        part("1.3.1", "cell 21700", 0.0696, quantity=cells, function="cells", material=material),
        facts=facts or FACTS,
    )


def figures(pack_record):
    tree = build(pack_record)
    return layout_figures(pack_record, tree, masses(pack_record, tree, 400), 400)


def test_voltage_and_energy_follow_from_cell_and_layout() -> None:
    found = figures(record())
    assert found["cell_count"].value == 4320
    assert found["voltage_nominal"].value == pytest.approx(390.96, rel=1e-12)  # 108 × 3.62
    assert found["energy_nominal"].value == pytest.approx(73.813248, rel=1e-9)  # 4320 × 4.72 × 3.62 / 1000


def test_limits_not_recorded_are_those_usual_for_the_chemistry_and_say_so() -> None:
    # Common practice: 4.20 V for nickel oxide cells, 3.65 V for iron phosphate.
    nickel, iron = figures(record()), figures(record(material="LFP/Graphit"))
    assert nickel["voltage_max"].value == pytest.approx(108 * 4.20, rel=1e-12)
    assert iron["voltage_max"].value == pytest.approx(108 * 3.65, rel=1e-12)
    assert nickel["voltage_max"].basis == {Basis.ASSUMED: 1.0}
    assert "common_practice" in nickel["voltage_max"].sources
    assert any("not recorded" in w for w in nickel["voltage_max"].warnings)


def test_a_limit_that_was_recorded_is_taken() -> None:
    found = figures(record(*FACTS, fact("cell_voltage_max", 4.15, "V")))
    assert found["voltage_max"].value == pytest.approx(108 * 4.15, rel=1e-12)
    assert not found["voltage_max"].warnings


def test_a_layout_that_contradicts_the_list_is_said() -> None:
    assert any("4308" in w for w in figures(record(cells=359))["cell_count"].warnings)


def test_energy_of_a_cell_serves_where_its_capacity_is_missing() -> None:
    facts = (*FACTS[:2], fact("cell_energy", 17.1 * 3600.0, "Wh"))
    assert figures(record(*facts))["energy_nominal"].value == pytest.approx(4320 * 17.1 / 1000, rel=1e-12)


def test_what_is_missing_is_named_and_nothing_is_zero() -> None:
    found = figures(record(fact("cells_series", 108.0), material="steel"))
    assert found["energy_nominal"].value is None
    assert found["energy_nominal"].warnings == ("neither capacity nor energy of a cell is recorded",)
    assert found["specific_energy"].value is None and found["energy_density"].value is None
    assert found["voltage_max"].warnings == ("neither the cell's voltage nor its chemistry is recorded",)


def test_the_label_is_held_against_the_computed_value_within_its_rounding() -> None:
    agreed = figures(record())["energy_nominal"].working[-1]
    assert "agrees" in agreed.about
    facts = (*FACTS[:5], fact("label_energy", 75 * 3.6e6, "kWh"))
    assert "differs" in figures(record(*facts))["energy_nominal"].working[-1].about


@pytest.mark.parametrize(
    ("value", "unit", "step"), [(391.0, "V", 0.5), (3.6, "V", 0.05), (266.4e6, "kWh", 0.5)]
)
def test_half_a_unit_of_the_last_digit(value: float, unit: str, step: float) -> None:
    assert label_step(Reading(value=value, unit=unit, basis=Basis.MARKED)) == pytest.approx(step, rel=1e-12)


def test_energy_density_is_over_the_envelope() -> None:
    sides = tuple(
        fact(f"envelope_{side}", value, "mm")
        for side, value in (("length", 2.56), ("width", 1.35), ("height", 0.128))
    )
    found = figures(record(*FACTS, *sides))["energy_density"]
    assert found.value == pytest.approx(73813.248 / (2560 * 1350 * 128 / 1e6), rel=1e-9)
    volume = figures(record(*FACTS, fact("volume", 0.4, "l")))["energy_density"]
    assert volume.value == pytest.approx(73813.248 / 400, rel=1e-9)


def test_cells_are_told_from_other_lines_of_their_function() -> None:
    base = record()
    wrap = part("1.3.2", "cell sleeve", 0.001, quantity=360, function="cells", material="PET")
    assert read_layout(base, build(replace(base, items=(*base.items, wrap)))).counted == 4320


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("NCA? / graphite", "nca"),
        ("LFP/Graphit", "lfp"),
        ("NMC811", "nmc"),
        ("LiFePO4", "lfp"),
        ("steel", None),
    ],
)
def test_chemistry_is_recognised(text: str, key: str | None) -> None:
    found = recognise_chemistry(text)
    assert (found.key if found else None) == key
