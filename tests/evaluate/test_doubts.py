"""Behaviour: what the data check raises, what it proposes, and what it lets be."""

from dataclasses import replace

import pytest
from by_hand import fact, pack, part, read

from lidoff.evaluate import apply_edits, check, check_pack
from lidoff.evaluate.doubts import KINDS
from lidoff.quantities import Basis, Word
from lidoff.records import Joint, Question, Study


def kinds(record):
    return [doubt.kind for doubt in check_pack(record)]


def of_kind(record, kind):
    return [doubt for doubt in check_pack(record) if doubt.kind == kind]


def cover(mass: float, **more):
    more = {"material": "PA66 FR (marked)", "process": "injection moulded", "size": (180, 76, 1.6), **more}
    return part("1.1", "bus bar cover", mass, quantity=12, function="insulation", **more)


def test_a_kilogram_in_a_gram_column_is_found_and_the_kilogram_proposed() -> None:
    record = pack(part("1", "pack"), cover(0.025e-3))
    (doubt,) = of_kind(record, "mass unit")
    assert doubt.item == "1.1" and doubt.where == "Parts!1.1"
    assert "kilograms written where grams" in doubt.proposed
    mended = apply_edits(record, doubt.edits)
    assert mended.items[1].mass is not None
    assert mended.items[1].mass.value == pytest.approx(0.025, rel=1e-12)
    assert not of_kind(mended, "mass unit")


@pytest.mark.parametrize(
    ("item", "right"),
    [
        # 400 × 300 × 1 mm of steel is 0.94 kg.
        (part("1", "plate", 940.0, material="steel", process="stamped", size=(400, 300, 1)), 0.94),
        (part("1", "plate", 0.94 * 2.20462, material="steel", process="stamped", size=(400, 300, 1),
              remarks="flat size"), 0.94),
        (part("1", "plate", 0.94 * 8, quantity=8, material="steel", process="stamped", size=(400, 300, 1),
              remarks="flat size"), 0.94),
        (part("1", "pin", 0.62, material="steel", process="turned", size=(20, 20, 25)), 0.062),
    ],
)  # fmt: skip
def test_other_slips_are_found_with_their_correction(item, right) -> None:
    (doubt,) = of_kind(pack(item), "mass unit")
    assert doubt.edits[0].value == pytest.approx(right, rel=0.01)


def test_sizes_in_inches_are_found() -> None:
    # 50 × 40 × 30 mm of steel, full, is 0.471 kg.
    block = part("1", "block", 0.47, material="steel", process="machined", size=(1.97, 1.57, 1.18))
    (doubt,) = of_kind(pack(block), "size unit")
    assert [e.field for e in doubt.edits] == ["length", "width", "thickness"]
    assert doubt.edits[0].value == pytest.approx(0.050, rel=1e-3)
    assert not of_kind(apply_edits(pack(block), doubt.edits), "size unit")


def test_sizes_in_centimetres_are_named_beside_grams() -> None:
    # The two slips look alike: both put mass over volume out by a thousand.
    cell = part("1", "cell", 0.937, function="cells", material="NMC", size=(32.5, 10.1, 1.2))
    (doubt,) = of_kind(pack(cell), "mass unit")
    assert "or else sizes in centimetres" in doubt.proposed


def test_what_no_slip_explains_is_told_without_a_correction() -> None:
    (doubt,) = of_kind(
        pack(part("1", "block", 9e4, material="steel", process="turned", size=(30, 30, 40))),
        "mass against size",
    )
    assert doubt.edits == () and "weigh it again" in doubt.proposed


@pytest.mark.parametrize(
    "item",
    [
        # Lines as benches write them; every one is right.
        part("1", "tray sheet", 29.4, material="Stahl, verzinkt", process="tiefgezogen",
             size=(2180, 1510, 1.2), remarks="abgewickelt, vor Beschnitt"),
        part("1", "tray sheet by plan", 29.4, material="Stahl", process="tiefgezogen",
             size=(1960, 1290, 1.2)),
        part("1", "band", 0.79, material="Stahl", process="gestanzt",
             size=(1176, 104, 0.9), remarks="abgewickelt, Fenster"),
        part("1", "side rail", 9.09, material="Al extr., 6005A? (XRF)", process="extruded, CNC",
             size=(2560, 75, 98), remarks="wall 2.4-2.6"),
        part("1", "side rail by wall", 9.09, material="Al", process="extruded, CNC", size=(2560, 75, 2.5)),
        part("1", "end plate", 0.211, material="Al die cast", process="HPDC",
             size=(388, 84, 14), remarks="ribbed"),
        part("1", "carrier", 0.54, material="PC/ABS FR (marked)", process="injection moulded",
             size=(462, 386, 14)),
        part("1", "carrier by wall", 0.402, material="PA66-GF", process="Spritzguss", size=(1140, 180, 3)),
        part("1", "potting", 0.118, material="PU 2K", process="dispensed",
             size=(460, 386, 3), remarks="voids only", basis=Basis.ESTIMATED),
        part("1", "gasket", 0.16, material="EPDM", process="gestanzt", size=(6300, 14, 6), remarks="Schaum"),
        part("1", "bar", 1.48, material="Al, insulated", process="extruded, bent", size=(2240, 40, 6)),
        part("1", "bent line", 0.21, material="PA12", process="extruded, formed", size=(1800, 900, 40)),
        part("1", "contactor", 0.412, material="bought-in", process="bought", size=(96, 72, 76)),
        part("1", "foam block", 0.05, material="PUR-Schaum", process="gestanzt", size=(300, 320, 10)),
        part("1", "set", 1.98, material="Cu/PVC", process="Zukauf"),
        part("1", "sheet of two sizes", 1.0, material="steel", process="stamped"),
    ],
)  # fmt: skip
def test_right_lines_raise_nothing(item) -> None:
    record = pack(replace(item, quantity=read(1.0, "", Basis.COUNTED)))
    assert not [k for k in kinds(record) if k in ("mass unit", "size unit", "mass against size")]


def module(*weighings: float):
    return (
        part("1", "pack"),
        part("1.1", "module", quantity=4, function="module", weighings=weighings),
        part("1.1.1", "cell", 1.0, quantity=10, function="cells"),
        part("1.1.2", "plate", 0.5, quantity=2),
    )


def test_assemblies_that_agree_with_their_parts_raise_nothing() -> None:
    assert not of_kind(pack(*module(11.02, 10.98, 11.05, 11.0)), "assembly")


def test_assemblies_that_disagree_are_told_with_both_numbers() -> None:
    (doubt,) = of_kind(pack(*module(12.02, 11.98, 12.05)), "assembly")
    assert "11 kg" in doubt.says and "12 kg" in doubt.says and "lighter" in doubt.says


def test_parts_short_of_a_whole_are_no_doubt_while_a_line_below_has_no_mass() -> None:
    items = (*module(12.0, 12.0, 12.0), part("1.1.3", "glue"))
    assert not of_kind(pack(*items), "assembly")


def test_one_weighing_far_from_its_like_is_told() -> None:
    (doubt,) = of_kind(pack(*module(11.0, 11.02, 1.1, 10.98)), "weighing")
    assert "weighing 3 of 4" in doubt.says


LAYOUT = (fact("cells_series", 108.0), fact("cells_parallel", 40.0))


def modules(cells: float = 360, count: float = 12, collectors: float = 10):
    return (
        part("1", "pack"),
        part("1.3", "Module, 9s40p", quantity=count, function="module"),
        part("1.3.1", "Cell 21700", 0.0696, quantity=cells, function="cells", material="NCA"),
        part("1.3.4", "Collector plate", 0.023, quantity=collectors, function="interconnect"),
    )


def test_counts_that_fit_the_layout_raise_nothing() -> None:
    counted = ("cell count", "module cells", "module count", "collector count")
    for collectors in (8, 9, 10, 20):  # 9 groups in series have 8 joints between them, and two ends
        record = pack(*modules(collectors=collectors), facts=LAYOUT)
        assert not [k for k in kinds(record) if k in counted]


def test_a_stack_that_states_the_layout_of_its_modules_is_not_counted_twice() -> None:
    items = (
        part("1", "Pack 108s40p"),
        part("1.3", "Stack 108s40p", function="module"),
        part("1.3.1", "Module, 9s40p", quantity=12),
        part("1.3.1.1", "Cell", 0.0696, quantity=360, function="cells", material="NCA"),
    )
    assert not [k for k in kinds(pack(*items, facts=LAYOUT)) if k.startswith("module")]


def test_wrong_counts_are_told() -> None:
    assert {"cell count", "module cells"} <= set(kinds(pack(*modules(cells=356), facts=LAYOUT)))
    assert {"cell count", "module count"} <= set(kinds(pack(*modules(count=11), facts=LAYOUT)))
    assert "collector count" in kinds(pack(*modules(collectors=7), facts=LAYOUT))


def test_one_line_that_carries_many_collectors_is_let_be() -> None:
    assert "collector count" not in kinds(pack(*modules(collectors=1), facts=LAYOUT))


def test_label_and_voltage_at_arrival_are_held_against_the_layout() -> None:
    cell = (fact("cell_voltage", 3.62, "V"), fact("cell_capacity", 4.72 * 3600, "Ah"))
    right = (*LAYOUT, *cell, fact("label_voltage", 391.0, "V"), fact("label_energy", 74 * 3.6e6, "kWh"),
             fact("voltage_arrival", 384.9, "V"))  # fmt: skip
    labels = ("label voltage", "label energy", "voltage at arrival")
    assert not [k for k in kinds(pack(*modules(), facts=right)) if k in labels]
    wrong = (*LAYOUT, *cell, fact("label_voltage", 350.0, "V"), fact("label_energy", 94 * 3.6e6, "kWh"),
             fact("voltage_arrival", 192.4, "V"))  # fmt: skip
    assert [k for k in kinds(pack(*modules(), facts=wrong)) if k in labels] == [
        "voltage at arrival", "label voltage", "label energy",
    ]  # fmt: skip


def test_a_line_entered_twice_under_another_number_is_asked_about() -> None:
    twice = (
        part("1", "pack"),
        part("1.1", "Nut M8", 0.011, quantity=26),
        part("1.2", "nut  M8", 0.011, quantity=26),
    )
    (doubt,) = of_kind(pack(*twice), "doubled line")
    held = apply_edits(pack(*twice), doubt.edits)
    assert [i.held for i in held.items] == [False, False, True]


@pytest.mark.parametrize(
    "second",
    [
        part("1.2", "Nut M8, left", 0.011, quantity=26),
        part("1.2", "Nut M8", 0.012, quantity=26),
        part("1.2", "Nut M8", 0.011, quantity=12),
        part("1.2", "Nut M8", 0.011, quantity=26, remarks="rear"),
    ],
)
def test_lines_that_differ_in_anything_are_let_be(second) -> None:
    first = part("1.1", "Nut M8", 0.011, quantity=26, remarks="front" if second.remarks else "")
    assert "doubled line" not in kinds(pack(part("1", "pack"), first, second))


def glued(weighed: float, glue_mass: float | None = None, basis: Basis = Basis.BY_DIFFERENCE):
    glue = part("1.5.7", "structural glue", glue_mass, basis=basis, material="PU 2K", size=(1100, 200, 0.8))
    return pack(
        part("1", "pack"),
        part("1.1", "tray", 100.0, function="tray", u=0.01),
        part("1.5", "block", quantity=7, function="module"),
        replace(glue, process=Word(text="dosiert")),
        facts=(fact("mass_weighed", weighed, "kg", u=0.05), fact("coolant_in_weighing", 0.0)),
    )  # fmt: skip


def test_a_line_without_a_mass_is_bounded_by_its_sizes() -> None:
    (doubt,) = of_kind(glued(102.0), "mass missing")
    # 1100 × 200 × 0.8 mm at 1300 kg/m³: 0.229 kg each, 1.60 kg of seven.
    assert "at most 0.23 kg each, 1.6 kg in the pack" in doubt.says


def test_what_sizes_cannot_hold_stays_unexplained() -> None:
    (doubt,) = of_kind(glued(102.0), "closure")
    assert "first candidate is 1.5.7 structural glue" in doubt.says
    assert "0.29 kg each that the difference would give it are refused" in doubt.says
    assert "at least 0.4 kg stay unexplained" in doubt.says
    assert "labels and warning signs" in doubt.proposed


def test_what_sizes_can_hold_may_be_all_of_it() -> None:
    (doubt,) = of_kind(glued(101.0), "closure")
    assert "it may be all of it" in doubt.says and "unexplained" not in doubt.says


def test_a_mass_by_difference_beyond_its_sizes_is_refused() -> None:
    (doubt,) = of_kind(glued(102.0, 2.0 / 7.0), "by difference")
    assert "hold at most 0.23 kg: refused" in doubt.says
    assert not of_kind(glued(101.4, 0.2), "by difference")


def test_a_list_heavier_than_the_pack_is_told() -> None:
    (doubt,) = of_kind(glued(97.0), "closure")
    assert "more than the pack" in doubt.says and "listed twice" in doubt.proposed


def test_fasteners_that_joints_name_and_the_list_lacks_are_named() -> None:
    base = glued(104.0)

    def joint(n: int, kind: str, count: float, second: str = "1.5") -> Joint:
        return Joint(
            id=f"j{n}", first_text="1.1", second_text=second, kind=kind, count=read(count, "", Basis.COUNTED)
        )

    joints = (joint(1, "M6x20", 28), joint(2, "M8 nut", 12), joint(3, "M12x110", 10, "vehicle"))
    record = replace(
        base, joints=joints, items=(*base.items, part("1.9", "Nut M8 flange", 0.011, quantity=8))
    )
    (doubt,) = of_kind(record, "closure")
    assert "28 × M6x20 (named in the joints)" in doubt.proposed
    assert "4 × M8 nut (the joints name 12, the list 8)" in doubt.proposed
    assert "M12" not in doubt.proposed


def test_the_next_weighing_is_the_line_that_leaves_most_open() -> None:
    record = pack(
        part("1", "pack"),
        part("1.1", "tray", 50.0, function="tray"),
        part("1.2", "filler", 4.0, basis=Basis.ESTIMATED, function="cooling"),
    )
    (doubt,) = of_kind(record, "next weighing")
    assert doubt.item == "1.2" and "not weighed" in doubt.proposed
    tight = pack(part("1", "pack"), part("1.1", "tray", 50.0, function="tray", u=0.001))
    assert not of_kind(tight, "next weighing")


def test_ids_stay_the_same_and_change_with_the_value() -> None:
    first, again = check_pack(pack(cover(0.025e-3))), check_pack(pack(cover(0.025e-3)))
    assert [d.id for d in first] == [d.id for d in again]
    other = check_pack(pack(cover(0.026e-3)))
    assert {d.id for d in first if d.kind == "mass unit"} & {d.id for d in other} == set()


def test_what_a_person_has_kept_is_not_asked_again() -> None:
    record = pack(cover(0.025e-3))
    (doubt,) = of_kind(record, "mass unit")
    kept = Question(id=doubt.id, where="", what="", taken="", proposed="", answer="kept")
    assert not of_kind(replace(record, questions=(kept,)), "mass unit")


def test_every_kind_is_one_of_the_fixed_list_and_ids_are_single_words() -> None:
    study = Study(
        id="s", name="s", packs=(glued(102.0), pack(*modules(cells=3), facts=LAYOUT, identity="other"))
    )
    doubts = check(study)
    assert {d.pack for d in doubts} == {"wren", "other"}
    assert {d.kind for d in doubts} <= set(KINDS)
    assert all(" " not in d.id and "," not in d.id for d in doubts)


def test_a_guessed_material_is_given_more_room() -> None:
    sure = pack(cover(0.160))
    guessed = replace(sure.items[0], material=Word(text="PA66?", means="pa66", evidence="guessed"))  # type: ignore[arg-type]
    assert of_kind(sure, "mass unit") or of_kind(sure, "mass against size")
    assert not [k for k in kinds(pack(guessed)) if k.startswith("mass ")]
