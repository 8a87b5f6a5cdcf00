"""Behaviour: corrections as they stand, changes of design with what follows, conflicts by name."""

from dataclasses import replace

import pytest
from by_hand import fact, pack, part, read

from lidoff.evaluate import ChangeConflict, ChangeError, apply_edits, evaluate
from lidoff.evaluate.changes import conflicts, correct, redesign
from lidoff.quantities import Basis, Shape
from lidoff.records import Change, Edit, EditKind, Joint, Pack, Step, Study

SET, SCALE, ADD, REMOVE, REPLACE = EditKind


def edit(kind: EditKind, target: str, field: str = "", value: object = None, record: str = "item") -> Edit:
    return Edit(kind=kind, record=record, target=target, field=field, value=value)


def small() -> Pack:
    return pack(
        part("1", "pack"),
        part(
            "1.1", "cover", 8.0, function="cover", material="steel", process="stamped", size=(1000, 1000, 1)
        ),
        part("1.2", "box", quantity=2, function="switching", weighings=(3.1, 3.2)),
        part("1.2.1", "base", 2.0, function="switching", material="PBT-GF30"),
        part("1.2.2", "fuse", 1.0, function="switching"),
        part("1.3", "rail", 5.0, function="tray", material="Al", process="extruded", size=(2000, 80, 40)),
        facts=(fact("mass_weighed", 30.0, "kg"), fact("cells_series", 100.0)),
        joints=(
            Joint(id="j1", first_text="1.2", second_text="1.3", first="1.2", second="1.3", kind="M6x20"),
            Joint(id="j2", first_text="1.1", second_text="1.3", first="1.1", second="1.3", kind="bead"),
        ),
        steps=(Step(id="s1", number="4", does="box out", items=("1.2",)),),
    )


def mass_of(record: Pack, identity: str) -> float:
    item = record.item(identity)
    assert item is not None and item.mass is not None
    return item.mass.value


def test_a_correction_sets_what_was_misread_and_rescales_nothing() -> None:
    fixed = apply_edits(small(), [edit(SET, "1.1", "mass", 0.008), edit(SET, "1.3", "length", 1.0)])
    cover = fixed.item("1.1")
    assert cover is not None and cover.mass is not None
    assert cover.mass.value == 0.008 and cover.mass.basis is Basis.WEIGHED
    assert mass_of(fixed, "1.3") == 5.0
    assert fixed.facts == small().facts


def test_a_correction_keeps_what_was_written_and_where() -> None:
    before = replace(read(0.000025), text="0,025", origin="Parts!E31", unit="g")
    record = pack(replace(part("1", "cover"), mass=before))
    after = apply_edits(record, [edit(SET, "1", "mass", 0.025)]).items[0].mass
    assert after is not None and (after.text, after.origin, after.unit) == ("0,025", "Parts!E31", "g")
    assert after.spread.u == pytest.approx(0.002 * 0.025, rel=1e-12)  # 0.2 % of the new value


def test_words_flags_and_facts_can_be_set() -> None:
    record = apply_edits(
        small(),
        [
            edit(SET, "1.1", "material", "Al 5754"),
            edit(SET, "1.1", "function", "tray"),
            edit(SET, "1.3", "held", True),
            edit(SET, "cells_series", "value", 96.0, record="fact"),
        ],
    )
    cover = record.item("1.1")
    assert cover is not None and cover.material is not None and cover.function is not None
    assert cover.material.means is not None and cover.material.means.startswith("aluminium")
    assert cover.function.means == "tray"
    rail = record.item("1.3")
    assert rail is not None and rail.held
    series = record.fact("cells_series")
    assert series is not None and series.value == 96.0


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (edit(SET, "9.9", "mass", 1.0), "there is no such item"),
        (edit(SET, "1.1", "colour", 1.0), "no field 'colour'"),
        (edit(SET, "1.1", "id", "x"), "no field 'id'"),
        (edit(SET, "1.1", "mass", -1.0), "-1 cannot be a mass"),
        (edit(SET, "1.1", "mass", float("nan")), "nan cannot be a mass"),
        (edit(SET, "1.1", "mass", "heavy"), "must be a number"),
        (edit(SET, "1.1", "function", "gubbins"), "is not a function"),
        (edit(SCALE, "1.1", "mass", 0.0), "not a factor above zero"),
        (edit(SCALE, "1.2", "mass", 2.0), "no number to scale"),
        (edit(SET, "1.1", "parent", "1.9"), "its assembly '1.9' is not in pack"),
        (edit(SET, "1", "parent", "1.1"), "would be part of itself"),
        (edit(ADD, "1.1", value={"number": "x", "name": "y"}), "of this id already"),
        (edit(ADD, "n1", value={"name": "y"}), "is not a whole item"),
        (edit(SET, "volume", "value", 1.0, record="scenario"), "not part of a pack"),
    ],
)
def test_an_edit_that_does_not_fit_is_refused_in_one_sentence(bad: Edit, says: str) -> None:
    with pytest.raises(ChangeError, match=says) as refused:
        apply_edits(small(), [bad])
    assert "\n" not in str(refused.value)


def test_removing_an_item_takes_its_joints_and_says_so() -> None:
    done = correct(small(), [edit(REMOVE, "1.2")])
    assert {i.id for i in done.pack.items} == {"1", "1.1", "1.3"}
    assert [j.id for j in done.pack.joints] == ["j2"]
    assert done.pack.steps[0].items == ()
    told = " | ".join(done.notes)
    assert "2 items below it" in told and "joint 1.2–1.3" in told and "step 4" in told


def test_adding_and_replacing_bring_whole_records() -> None:
    brought = {"number": "1.4", "name": "strap", "parent": "1", "mass": 0.2, "function": "tray"}
    record = apply_edits(small(), [edit(ADD, "new.1", value=brought)])
    assert mass_of(record, "new.1") == 0.2
    added = record.item("new.1")
    assert added is not None and added.mass is not None and added.mass.basis is Basis.ESTIMATED
    replaced = apply_edits(record, [edit(REPLACE, "1.1", value=part("1.1", "lid", 3.0))])
    assert mass_of(replaced, "1.1") == 3.0


@pytest.mark.parametrize(
    ("changed", "ratio"),
    [
        (edit(SET, "1.1", "thickness", 0.0008), 0.8),  # sheet: with its gauge
        (edit(SET, "1.1", "length", 1.2), 1.2),
        (edit(SET, "1.1", "material", "aluminium"), 2700 / 7850),
    ],
)
def test_a_mass_follows_gauge_size_and_material_by_model(changed: Edit, ratio: float) -> None:
    # Densities from EN 1999-1-1 (2700) and EN 1993-1-1 (7850), as the material table has them.
    done = redesign(small(), [changed])
    cover = done.pack.item("1.1")
    assert cover is not None and cover.mass is not None
    assert cover.mass.value == pytest.approx(8.0 * ratio, rel=1e-9)
    assert cover.mass.basis is Basis.BY_MODEL
    assert any("by model" in note for note in done.notes)


def test_the_spread_of_a_mass_by_model_widens_with_the_change() -> None:
    def model_u(gauge: float) -> float:
        cover = redesign(small(), [edit(SET, "1.1", "thickness", gauge)]).pack.item("1.1")
        assert cover is not None and cover.mass is not None and cover.mass.spread.shape is Shape.NORMAL
        return dict(cover.mass.spread.shared)["1.1.model"]

    assert model_u(0.0008) == pytest.approx(0.10 * 1.6, rel=1e-9)  # a tenth of the 1.6 kg that changed
    assert model_u(0.0006) == pytest.approx(0.10 * 3.2, rel=1e-9)


def test_weighings_above_follow_a_change_of_mass_or_count() -> None:
    done = redesign(small(), [edit(SET, "1.2.2", "quantity", 2.0)])
    box = done.pack.item("1.2")
    assert box is not None
    assert [w.value for w in box.weighings] == pytest.approx([4.1, 4.2], rel=1e-12)
    weighed = done.pack.fact("mass_weighed")
    assert weighed is not None and weighed.value == pytest.approx(32.0, rel=1e-12)  # two boxes
    assert weighed.basis is Basis.BY_MODEL


def test_a_mass_that_cannot_be_rescaled_stays_and_says_so() -> None:
    record = apply_edits(small(), [edit(SET, "1.3", "width", None)])
    done = redesign(record, [edit(SET, "1.3", "length", 1.0)])
    assert mass_of(done.pack, "1.3") == 5.0
    assert any("stays as weighed" in note for note in done.notes)


def test_a_mass_set_by_the_change_itself_is_not_rescaled() -> None:
    done = redesign(small(), [edit(SET, "1.1", "thickness", 0.0008), edit(SET, "1.1", "mass", 7.0)])
    assert mass_of(done.pack, "1.1") == 7.0


def change(title: str, *edits: Edit) -> Change:
    return Change(id=title, title=title, edits=edits)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (edit(SET, "1.1", "mass", 1.0), edit(SET, "1.1", "mass", 2.0)),
        (edit(SET, "1.1", "mass", 1.0), edit(SCALE, "1.1", "mass", 2.0)),
        (edit(REMOVE, "1.1"), edit(SET, "1.1", "mass", 2.0)),
    ],
)
def test_changes_that_cannot_both_hold_are_refused_by_name(one: Edit, other: Edit) -> None:
    with pytest.raises(ChangeConflict, match=r"'thin' and 'thick' both alter item 1\.1"):
        conflicts([change("thin", one), change("thick", other)])


def test_changes_that_agree_or_aim_elsewhere_are_let_be() -> None:
    conflicts(
        [
            change("a", edit(SET, "1.1", "mass", 1.0), edit(SCALE, "1.3", "mass", 2.0)),
            change("b", edit(SET, "1.1", "mass", 1.0), edit(SCALE, "1.3", "mass", 3.0)),
            change("c", edit(SET, "1.1", "length", 1.5)),
        ]
    )


def test_an_evaluation_carries_changes_out_and_leaves_the_study_as_it_was() -> None:
    study = Study(id="s", name="s", packs=(small(),))
    before = evaluate(study, topics=("mass",), samples=200)
    thin = change(
        "thin",
        edit(SET, "1.1", "thickness", 0.0008),
        edit(ADD, "", value={"number": "n", "name": "pad", "parent": "1", "mass": 0.5}),
    )
    after = evaluate(study, changes=[thin], topics=("mass",), samples=200)
    assert after.packs["wren"].figures["mass_rolled"].value == pytest.approx(
        before.packs["wren"].figures["mass_rolled"].value - 1.6 + 0.5, rel=1e-9
    )
    assert {line.item for line in after.packs["wren"].mass_lines} >= {"thin.2"}
    assert after.packs["wren"].notes and not before.packs["wren"].notes
    assert evaluate(study, topics=("mass",), samples=200).packs == before.packs


def test_an_evaluation_refuses_changes_in_conflict() -> None:
    study = Study(id="s", name="s", packs=(small(),))
    rivals = [change("a", edit(SET, "1.1", "mass", 1.0)), change("b", edit(SET, "1.1", "mass", 2.0))]
    with pytest.raises(ChangeConflict, match="'a' and 'b'"):
        evaluate(study, changes=rivals, topics=("mass",), samples=200)


def test_a_change_that_no_pack_has_is_refused() -> None:
    study = Study(id="s", name="s", packs=(small(),))
    with pytest.raises(ChangeError, match="no pack of the study has it"):
        evaluate(study, changes=[change("x", edit(SET, "7.7", "mass", 1.0))], topics=("mass",), samples=200)


def test_a_scenario_can_be_changed() -> None:
    study = Study(id="s", name="s", packs=(small(),))
    double = change("more", edit(SCALE, "", "volume", 2.0, record="scenario"))
    assert evaluate(study, changes=[double], topics=("mass",), samples=200).scenario.volume == 200_000
    with pytest.raises(ChangeError, match="not above zero"):
        none = change("none", edit(SET, "", "volume", 0.0, record="scenario"))
        evaluate(study, changes=[none], topics=("mass",), samples=200)
