"""Behaviour: the main job on two bench files, as a user's script sees it.

The expected numbers are sums and products of what the files say, worked out by hand beside them.
"""

import pytest
from conftest import DATA, Lidoff


def figure(answer: dict, pack: str, name: str) -> dict:
    return answer["packs"][pack]["figures"][name]


def test_heron_is_read_whole_and_asked_about(lidoff: Lidoff) -> None:
    answer = lidoff.json("import", str(DATA / "heron.xlsx"), "--study", "birds", "--pack", "heron")
    assert answer["accepted"]["items"] == 64
    assert answer["accepted"]["joints"] == 18
    assert answer["accepted"]["removals"] == 4
    asked = {q["where"]: q for q in answer["questions"]}
    assert set(asked) == {"Parts!E44", "Parts!B46", "Parts!C40", "Strip log!B13", "Strip log!C13"}
    assert "0.025 kg" in asked["Parts!E44"]["proposed"] or "25 g" in asked["Parts!E44"]["proposed"]
    text = " ".join(q["what"] + q["taken"] + q["proposed"] for q in answer["questions"])
    assert "28.238" in text and "28.255" in text  # mean of the twelve weighings; sum of the parts
    assert answer["rejected"] == []


def test_ids_are_the_same_at_the_next_run(lidoff: Lidoff) -> None:
    command = ("import", str(DATA / "heron.xlsx"), "--study", "birds", "--pack", "heron")
    first, second = lidoff.json(*command), lidoff.json(*command)
    assert [q["id"] for q in first["questions"]] == [q["id"] for q in second["questions"]]
    assert first["accepted"] == second["accepted"]
    assert lidoff.json("studies")[0]["items"] == 64


def test_masses_as_entered_and_corrected(birds: Lidoff) -> None:
    entered = birds.json("figures", "birds")
    assert figure(entered, "heron", "mass_rolled")["value"] == pytest.approx(447.59, abs=0.005)
    assert figure(entered, "marlin", "mass_rolled")["value"] == pytest.approx(453.46, abs=0.005)
    assert figure(entered, "heron", "mass_weighed")["value"] == 454.0
    assert figure(entered, "marlin", "mass_weighed")["value"] == 455.5
    birds.json("accept", "birds", "all", "--pack", "heron")
    corrected = birds.json("figures", "birds", "--pack", "heron")
    assert figure(corrected, "heron", "mass_rolled")["value"] == pytest.approx(447.89, abs=0.005)
    closure = figure(corrected, "heron", "mass_closure")
    # (447.89 kg dry + 2.41 kg coolant) / 454.0 kg = 99.19 %
    assert closure["value"] == pytest.approx(99.19, abs=0.01) and closure["unit"] == "%"
    assert closure["low"] < closure["value"] < closure["high"]
    assert figure(corrected, "heron", "mass_estimated")["value"] == pytest.approx(3.6, abs=0.06)


def test_layout_and_energy(birds: Lidoff) -> None:
    answer = birds.json("figures", "birds")
    # 108 × 40 cells of 3.62 V and 4.72 Ah; 112 × 1 of 3.2 V and 150 Ah.
    for pack, cells, volts, kwh in (
        ("heron", 4320, 108 * 3.62, 4320 * 3.62 * 4.72 / 1000),
        ("marlin", 112, 112 * 3.2, 112 * 3.2 * 150 / 1000),
    ):
        assert figure(answer, pack, "cell_count")["value"] == cells
        assert figure(answer, pack, "voltage_nominal")["value"] == pytest.approx(volts, rel=1e-9)
        assert figure(answer, pack, "energy_nominal")["value"] == pytest.approx(kwh, rel=1e-9)


def test_every_figure_has_unit_and_no_silent_zero(birds: Lidoff) -> None:
    answer = birds.json("figures", "birds")
    for pack in answer["packs"].values():
        for name, entry in pack["figures"].items():
            assert entry["unit"] is not None, name
            assert entry["value"] is not None or entry["warnings"], name
            if name.startswith("cost_"):
                assert 0.0 <= entry["covers"]["lines"] < 1.0, name  # the cells have no method yet


def test_cells_are_listed_as_not_costed(birds: Lidoff) -> None:
    for pack, number in (("heron", "1.3.1"), ("marlin", "1.5.1")):
        line = birds.json("cost", "birds", "--pack", pack, "--item", number)
        assert line["status"] == "not costed" and line["why"] and line["piece"] is None


def test_a_costed_line_adds_up(birds: Lidoff) -> None:
    lines = birds.json("cost", "birds", "--pack", "heron")
    costed = [line for line in lines if line["status"] == "costed"]
    assert len(costed) > 20
    for line in costed:
        whole = sum(line[e]["value"] for e in ("material", "labour", "burden", "markup"))
        # packaging may stand beside the mark-up, never below nothing
        assert line["piece"]["value"] >= whole - 1e-9
        assert line["piece"]["low"] <= line["piece"]["value"] * 1.2


def test_like_for_like_leaves_the_charger_out(birds: Lidoff) -> None:
    answer = birds.json("compare", "birds", "--like-for-like")
    assert "conversion" not in answer["scope"] and "coolant" not in answer["scope"]
    left = [e for e in answer["left_out"] if e["function"] == "conversion"]
    assert left and left[0]["pack"] == "marlin" and left[0]["why"]
    mass = next(r for r in answer["rows"] if r["name"] == "mass_rolled")
    # the charger's 11.85 kg are out of Marlin's side
    assert mass["values"]["marlin"]["value"] == pytest.approx(453.46 - 11.85, abs=0.01)
    assert mass["difference"]["low"] < mass["difference"]["value"] < mass["difference"]["high"]


def test_check_names_what_is_missing(birds: Lidoff) -> None:
    doubts = birds.json("check", "birds")
    text = {
        pack: " ".join(d["says"] + " " + d["proposed"] for d in doubts if d["pack"] == pack)
        for pack in ("heron", "marlin")
    }
    assert "1.5.7" in text["marlin"] and "0.23" in text["marlin"] and "unexplained" in text["marlin"]
    assert "1.4.3" in text["heron"]
    assert len(doubts) <= 16


def test_volume_moves_cost(birds: Lidoff) -> None:
    few = birds.json("figures", "birds", "--volume", "2000")
    many = birds.json("figures", "birds", "--volume", "400000")
    for pack in ("heron", "marlin"):
        name = "cost_tooling_per_piece"
        assert figure(few, pack, name)["value"] > 5 * figure(many, pack, name)["value"]
