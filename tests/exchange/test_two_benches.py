"""Behaviour: the two bench files, one workbook in English, one text table in German.

The expected figures were read and added by hand from the files.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from bench_files import DATA, by_number, dry_mass, sizes

from lidoff.exchange import Imported, read_bench
from lidoff.quantities import Basis, Evidence


@pytest.fixture(scope="module")
def heron() -> Imported:
    return read_bench(DATA / "heron.xlsx", pack_id="heron")


@pytest.fixture(scope="module")
def marlin() -> Imported:
    return read_bench(DATA / "marlin.csv", pack_id="marlin")


def facts(imported: Imported) -> Mapping[str | None, float]:
    return {f.key: f.reading.value for f in imported.pack.facts if f.reading}


def words(imported: Imported) -> Mapping[str | None, str]:
    return {f.key: f.word.means or f.word.text for f in imported.pack.facts if f.word}


def test_heron_has_its_lines_and_the_doubled_one_is_held(heron: Imported) -> None:
    pack = heron.pack
    assert len([i for i in pack.items if not i.held]) == 64
    (held,) = [i for i in pack.items if i.held]
    assert (held.number, held.name) == ("1.4.4", "Nut M8 flange")
    assert (len(pack.joints), len(pack.steps), len(pack.removals)) == (18, 19, 4)
    assert pack.rejections == ()


def test_heron_adds_up_as_entered(heron: Imported) -> None:
    assert dry_mass(heron.pack) == pytest.approx(447.59, rel=1e-5)  # half a unit of the last digit
    items = by_number(heron.pack)
    coolant = items["1.14"]
    assert coolant.mass is not None and coolant.function is not None
    assert coolant.mass.value == pytest.approx(2.41, rel=1e-12)
    assert coolant.function.means == "coolant"
    shield = items["1.2.10"].mass  # 14.79 lb at 0.45359237 kg
    assert (
        shield is not None and shield.value == pytest.approx(6.7086311523, rel=1e-9) and shield.unit == "lb"
    )


def test_heron_is_asked_about_four_things_and_no_more(heron: Imported) -> None:
    where = [q.where for q in heron.pack.questions]
    assert sorted(where) == sorted(["Parts!C40", "Parts!B46", "Strip log!B13", "Strip log!C13"])
    whole = next(q for q in heron.pack.questions if q.where == "Parts!C40")
    assert "28.238 kg" in whole.what and "28.255 kg" in whole.what
    module = by_number(heron.pack)["1.3"]
    assert len(module.weighings) == 12 and module.mass is None


def test_heron_weighings_of_several_share_their_division(heron: Imported) -> None:
    screw = by_number(heron.pack)["1.1.4"].mass
    alone = by_number(heron.pack)["1.1.5"].mass
    assert screw is not None and alone is not None
    assert screw.count == 10 and screw.instrument == alone.instrument == "parts scale 6 kg / 0.1 g"
    assert alone.spread.u == pytest.approx(1e-4 / 12**0.5, rel=1e-9)  # JCGM 100:2008, F.2.2.1
    assert screw.spread.u == pytest.approx(alone.spread.u / 10.0, rel=1e-9)


def test_heron_words_have_meaning_and_evidence(heron: Imported) -> None:
    items = by_number(heron.pack)
    meant = {n: items[n].function.means for n in ("1.1", "1.2", "1.4.3", "1.9", "1.12")}  # type: ignore[union-attr]
    assert meant == {
        "1.1": "cover", "1.2": "tray", "1.4.3": "insulation", "1.9": "monitoring", "1.12": "interface",
    }  # fmt: skip
    rail, node, cell = items["1.2.1"].material, items["1.2.6"].material, items["1.3.1"].material
    assert rail is not None and node is not None and cell is not None
    assert (rail.evidence, node.evidence, cell.evidence) == (
        Evidence.SPECTROMETER, Evidence.MARKED, Evidence.GUESSED,
    )  # fmt: skip
    assert [m.text for m in items["1.2.6"].markings] == [">AlSi<"]
    assert items["1.1.2"].photos == ("IMG_2240", "IMG_2241", "IMG_2242")


def test_heron_walls_stand_in_the_remarks(heron: Imported) -> None:
    items = by_number(heron.pack)
    panel, rail, line = items["1.1.1"].wall, items["1.2.1"].wall, items["1.13.1"].wall
    assert panel is not None and rail is not None and line is not None
    assert (panel.value, panel.spread.low, panel.spread.high) == pytest.approx(
        (8e-4, 7.8e-4, 8.2e-4), rel=1e-9
    )
    assert rail.value == pytest.approx(2.5e-3, rel=1e-9) and line.value == pytest.approx(1.5e-3, rel=1e-9)
    assert items["1.13.2"].wall is None


def test_heron_joints_point_at_items(heron: Imported) -> None:
    numbers = {i.id: i.number for i in heron.pack.items}
    first, bead = heron.pack.joints[0], heron.pack.joints[2]
    assert (numbers[first.first or ""], numbers[first.second or ""]) == ("1.1", "1.2")
    assert [t.value for t in first.torques] == [8.6, 8.9, 9.4, 8.8, 9.1]
    assert first.live is False and first.reusable is True and first.count is not None
    assert bead.count is None and bead.length is not None and bead.length.value == 6.4
    vehicle = [j for j in heron.pack.joints if j.second_text == "vehicle"]
    assert len(vehicle) == 4 and all(j.second is None and j.first is not None for j in vehicle)


def test_heron_log_runs_over_two_days_with_breaks(heron: Imported) -> None:
    numbers = {i.id: i.number for i in heron.pack.items}
    steps = heron.pack.steps
    assert [s.does for s in steps if s.is_break] == ["BREAK", "LUNCH"]
    assert [s.day for s in steps] == [1] * 16 + [2] * 3
    dotted = next(s for s in steps if s.number == "11")
    assert (dotted.start, dotted.finish) == (11 * 3600 + 46 * 60, 12 * 3600 + 10 * 60)
    off = {s.number: [numbers[i] for i in s.items] for s in steps}
    assert off["4"] == ["1.8", "1.7", "1.6"] and off["15"] == ["1.3"]
    assert [(r.ordinal, r.duration.value / 60.0) for r in heron.pack.removals] == [
        (1, 41),
        (2, 27),
        (3, 21),
        (4, 17),
    ]
    assert heron.pack.removals[3].note == "this one"


def test_heron_facts_are_understood(heron: Imported) -> None:
    got = facts(heron)
    expected = {
        "mass_weighed": 454.0, "coolant_in_weighing": 1.0,
        "envelope_length": 2.56, "envelope_width": 1.35, "envelope_height": 0.128,
        "label_voltage": 391.0, "label_energy": 74.0 * 3.6e6, "cells_series": 108.0, "cells_parallel": 40.0,
        "voltage_arrival": 384.9,
        "isolation_plus": 2.4e6, "isolation_minus": 3.1e6, "isolation_test_voltage": 500.0,
        "coolant_flow": 12e-3 / 60.0, "coolant_inlet": 298.15, "ribbons_per_module": 9.0,
        "ports_per_ribbon": 14.0,
        "port_width": 1.9e-3, "port_height": 2.6e-3, "ribbon_wall": 0.35e-3, "ribbon_length": 0.52,
        "contact_height": 42e-3, "contact_arc": 1.0471975512, "filler_thickness": 0.5e-3,
        "filler_conductivity": 1.1, "uncontacted_share": 1.0 / 9.0, "cell_resistance": 23.5e-3,
        "cell_capacity": 4.72 * 3600.0, "cell_voltage": 3.62, "pack_resistance": 82e-3,
        "fuse_current": 400.0, "fuse_voltage": 500.0, "contactor_current": 250.0, "contactor_voltage": 500.0,
    }  # fmt: skip
    assert {k: got.get(k) for k in expected} == pytest.approx(expected, rel=1e-9)
    said = words(heron)
    assert (said["name"], said["cell_format"], said["cell_chemistry"]) == (
        "Heron",
        "cylindrical 21700",
        "NCA",
    )
    assert all(f.key is not None for f in heron.pack.facts)


def test_marlin_is_read_whole_without_a_question(marlin: Imported) -> None:
    pack = marlin.pack
    assert len(pack.items) == 33 and pack.questions == () and pack.rejections == ()
    assert dry_mass(pack) == pytest.approx(453.46, rel=1.1e-5)
    assert any("Summe" in note for note in marlin.notes)


def test_marlin_commas_words_and_blanks(marlin: Imported) -> None:
    items = by_number(marlin.pack)
    assert sizes(items["1.1"]) == [1940.0, 1270.0, 2.2]
    assert items["1.5.7"].mass is None  # not weighed is not zero
    filler, nut = items["1.7"].mass, items["1.4.5"].mass
    assert (
        filler is not None
        and filler.basis is Basis.ESTIMATED
        and filler.value == pytest.approx(4.3, rel=1e-12)
    )
    assert nut is not None and nut.basis is Basis.PUBLISHED
    assert items["1.4.3"].name == "Längsträger außen"
    charger = items["1.10"].function
    assert charger is not None and charger.means == "conversion"
    assert items["1.10"].parent == items["1"].id


def test_marlin_comment_lines_are_facts(marlin: Imported) -> None:
    got = facts(marlin)
    expected = {
        "mass_weighed": 455.5, "coolant_in_weighing": 0.0, "label_voltage": 358.0,
        "cells_series": 112.0, "cells_parallel": 1.0, "cell_voltage": 3.2, "cell_capacity": 150.0 * 3600.0,
        "envelope_length": 1.96, "envelope_width": 1.29, "envelope_height": 0.148,
    }  # fmt: skip
    assert {k: got.get(k) for k in expected} == pytest.approx(expected, rel=1e-9)
    said = words(marlin)
    assert (said["name"], said["cell_format"], said["cell_chemistry"]) == ("Marlin", "prismatic", "LFP")
    weighed = next(f.reading for f in marlin.pack.facts if f.key == "mass_weighed")
    assert weighed is not None and weighed.spread.u == pytest.approx(0.5 / 12**0.5, rel=1e-9)


def test_reading_again_gives_the_same_pack() -> None:
    for name in ("heron.xlsx", "marlin.csv"):
        first, second = (read_bench(DATA / name, pack_id="p") for _ in range(2))
        assert first == second
        records = (*first.pack.items, *first.pack.joints, *first.pack.steps, *first.pack.facts)
        ids = [r.id for r in (*records, *first.pack.removals, *first.pack.questions)]
        assert len(ids) == len(set(ids))
