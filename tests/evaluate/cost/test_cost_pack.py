"""Behaviour of costing a pack: what is costed, what is not and why, shares, streams, memory."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from by_hand import part, read

from lidoff.evaluate.cost import CostResult, cost_pack
from lidoff.evaluate.cost import lines as cost_lines_module
from lidoff.evaluate.findings import CostLine, CostStatus, Figure
from lidoff.evaluate.mass import masses
from lidoff.evaluate.tree import build
from lidoff.prices import price_book
from lidoff.quantities import Basis
from lidoff.records import Item, Joint, Pack, Scenario
from lidoff.sources import SOURCES

LINK = part(
    "1.1", "Module link", 0.171, quantity=11, function="busbars", material="Cu, Sn plated",
    process="stamped, bent", size=(172, 28, 4),
)  # fmt: skip
WALL = part(
    "1.2", "Side wall", 0.162, quantity=24, function="module", material="Al sheet", process="stamped",
    size=(470, 108, 1.2),
)  # fmt: skip
BRACKET = part("1.3", "Bracket", 0.54, quantity=8, function="mount", material="steel", size=(165, 140, 3))
COVER = part(
    "1.4", "Cover", 20.15, function="cover", material="steel", process="hydroformed", size=(2470, 1300, 0.8)
)
CELL = part("1.5", "Cell", 0.07, quantity=4320, function="cells", material="NCA", process="bought")
COOLANT = part("1.6", "Coolant", 2.4, function="coolant", material="glycol/water")
UNWEIGHED = part(
    "1.7", "Strap", None, function="module", material="steel", process="stamped", size=(900, 20, 1)
)
HELD = part("1.8", "Side wall", 0.162, function="module", material="Al sheet", process="stamped", held=True)
PARTS = (part("1", "Pack"), LINK, WALL, BRACKET, COVER, CELL, COOLANT, UNWEIGHED, HELD)
SCREWS, BOLTS = read(62, "", Basis.COUNTED), read(10, "", Basis.COUNTED)
JOINTS = (
    Joint(id="j1", first_text="1.1", second_text="1.2", kind="M6x16 flange screw", count=SCREWS),
    Joint(id="j2", first_text="1", second_text="vehicle", kind="M12x110", count=BOLTS),
    Joint(id="j3", first_text="1", second_text="2", kind="silicone bead", length=read(6.4, "m")),
    Joint(id="j4", first_text="1", second_text="2", kind="M8 nut"),
)
ENERGY = Figure(name="energy_nominal", title="", unit="kWh", value=74.0, samples=np.full(300, 74.0))


def costs(
    items: tuple[Item, ...] = PARTS,
    *,
    scenario: Scenario | None = None,
    samples: int = 300,
    energy: Figure | None = ENERGY,
    joints: tuple[Joint, ...] = JOINTS,
    identity: str = "p",
) -> CostResult:
    pack = Pack(id=identity, name=identity, items=items, joints=joints)
    mass = masses(pack, build(pack), max(samples, 1))
    return cost_pack(pack, scenario or Scenario(), price_book(), mass.lines, samples, energy=energy)


def line(result: CostResult, name: str) -> CostLine:
    return next(one for one in result.lines if one.name == name)


def test_every_leaf_is_there_costed_or_with_the_reason() -> None:
    result = costs()
    names = [one.name for one in result.lines if not one.name.startswith("Joints")]
    assert names == ["Module link", "Side wall", "Bracket", "Cover", "Cell", "Coolant", "Strap"]
    whys = {one.name: one.why for one in result.lines if one.status is CostStatus.NOT_COSTED}
    assert whys["Cover"] == "hot forming has no method book yet"
    assert whys["Cell"] == "cells have no method book yet"
    assert whys["Coolant"] == "coolant is not part of the dry pack"
    for one in result.lines:
        assert (one.piece is None) == (one.status is CostStatus.NOT_COSTED) == bool(one.why)


def test_a_line_that_lacks_an_input_says_which() -> None:
    bare = part("1.9", "Plate", 0.4, function="module", material="steel", process="stamped")
    why = line(costs((*PARTS, bare)), "Plate").why
    assert why.startswith("Progressive stamping: ")
    assert why.endswith("needs gauge (mm), length (mm), width (mm)")


def test_a_costed_line_shows_its_working_and_what_was_assumed() -> None:
    link = line(costs(), "Module link")
    (step,) = link.route
    assert step.method == "progressive_stamping"
    assert {"force", "material", "labour"} <= {worked.name for worked in step.working}
    assert any(text.endswith("estimated") for text in step.assumed)
    assert "its coating or covering (tin plated) is not in the cost" in link.warnings
    assert link.sources
    assert set(link.sources) <= SOURCES.keys()


def test_money_of_a_line_is_per_pack_and_adds_up() -> None:
    for one in costs().lines:
        if one.piece is None:
            continue
        parts = (one.material, one.labour, one.burden, one.markup, one.packaging)
        assert sum(money.value for money in parts if money) == pytest.approx(one.piece.value, rel=1e-12)
        assert one.piece.low < one.piece.value < one.piece.high
        assert one.tooling_per_piece and one.tooling_investment
        assert one.tooling_per_piece.value * 600_000 == pytest.approx(one.tooling_investment.value, rel=1e-12)


def test_twice_the_count_is_twice_the_material() -> None:
    one, two = (
        line(costs((part("1", "Pack"), replace(LINK, quantity=read(n, "", Basis.COUNTED)))), "Module link")
        for n in (11, 22)
    )
    assert one.material and two.material and one.labour and two.labour
    assert two.material.value == pytest.approx(2 * one.material.value, rel=1e-12)
    assert two.labour.value < 2 * one.labour.value  # set-ups are shared by more pieces


def test_an_unwritten_process_is_assumed_and_said() -> None:
    result = costs()
    bracket = line(result, "Bracket")
    assert bracket.assumed_route
    assert "how it is made is not written; assumed: progressive_stamping" in bracket.warnings
    assert "how it is made was assumed: 1.3 Bracket" in result.figures["cost_piece"].warnings
    assert not line(result, "Side wall").assumed_route


def test_figures_add_up_and_say_what_they_cover() -> None:
    result = costs()
    figures = result.figures
    parts = ("cost_material", "cost_labour", "cost_burden", "cost_markup", "cost_packaging")
    piece = figures["cost_piece"]
    assert sum(figures[name].value or 0.0 for name in parts) == pytest.approx(piece.value, rel=1e-12)
    assert piece.value == pytest.approx(sum(o.piece.value for o in result.lines if o.piece), rel=1e-12)
    assert piece.value == pytest.approx(sum(term.value for term in piece.terms), rel=1e-12)
    assert piece.unit == "EUR/pack"
    costed = 0.171 * 11 + 0.162 * 24 + 0.54 * 8
    dry = costed + 20.15 + 0.07 * 4320
    assert piece.covers is not None
    assert piece.covers.mass == pytest.approx(costed / dry, rel=1e-12)
    assert piece.covers.lines == pytest.approx(4 / 6, rel=1e-12)  # the strap too, from its sizes
    assert sum(piece.basis.values()) == pytest.approx(1.0, rel=1e-12)
    assert any("1.4 Cover: hot forming has no method book yet" in text for text in piece.warnings)
    assert not any("Coolant" in text for text in piece.warnings)
    per_kwh = figures["cost_per_kwh"]
    assert per_kwh.value == pytest.approx((piece.value or 0.0) / 74.0, rel=1e-12)
    assert per_kwh.unit == "EUR/kWh"


def test_nothing_costed_is_missing_and_not_zero() -> None:
    figures = costs((part("1", "Pack"), COVER, CELL), joints=()).figures
    for name, figure in figures.items():
        assert figure.value is None, name
        assert figure.warnings
    assert costs(energy=None).figures["cost_per_kwh"].value is None


def test_joints_are_costed_by_kind_or_say_why_not() -> None:
    whys = {one.item: one.why for one in costs().lines if one.item.startswith("j")}
    assert whys["j2"] == "made where the pack is built in, not by the maker of the pack"
    assert whys["j3"] == "what is laid on is costed, with its laying, in the line of its material"
    assert whys["j4"] == "how many there are was not recorded"


def test_a_group_of_screws_costs_labour_and_stations_by_the_screw() -> None:
    twice = replace(JOINTS[0], count=read(124, "", Basis.COUNTED))
    few, many = (costs(joints=(joint,)).lines[-1] for joint in (JOINTS[0], twice))
    for one in (few, many):
        assert one.status is CostStatus.COSTED
        assert one.material and one.material.value == 0.0
        assert one.labour and one.burden
    assert few.labour and many.labour
    # A share of bringing the pack in and out does not grow with the screws.
    assert few.labour.value < many.labour.value < 2 * few.labour.value


def test_adding_a_part_moves_no_other_parts_samples() -> None:
    alone = line(costs((part("1", "Pack"), LINK)), "Module link").samples("piece")
    together = line(costs(), "Module link").samples("piece")
    assert alone is not None and together is not None
    assert np.array_equal(alone, together)


def test_packs_share_their_prices_so_that_a_difference_is_tighter() -> None:
    """The same part in two packs under ids of their own: copper's price moves both alike."""
    other = replace(LINK, id="other")
    a = line(costs((part("1", "Pack"), LINK)), "Module link").samples("piece")
    b = line(costs((part("1", "Pack"), other), identity="q"), "Module link").samples("piece")
    assert a is not None and b is not None
    assert not np.array_equal(a, b)
    assert np.std(a - b) < 0.99 * np.hypot(np.std(a), np.std(b))
    assert np.corrcoef(a, b)[0, 1] > 0.1


def test_only_a_changed_part_is_computed_again(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = Scenario(volume=123_456.0)
    costs(scenario=scenario)
    routes_run: list[str] = []
    real = cost_lines_module.run_route

    def counting(frame: object, subject: object, route: object) -> object:
        routes_run.append(subject.id)  # type: ignore[attr-defined]
        return real(frame, subject, route)  # type: ignore[arg-type]

    monkeypatch.setattr(cost_lines_module, "run_route", counting)
    heavier = replace(WALL, mass=read(0.2))
    costs((*PARTS[:2], heavier, *PARTS[3:]), scenario=scenario)
    assert routes_run == ["1.2"]


def test_nominal_values_alone_agree_with_the_sampled_evaluation() -> None:
    plain, sampled = costs(samples=0), costs()
    for one, two in zip(plain.lines, sampled.lines, strict=True):
        if one.piece is not None and two.piece is not None:
            assert one.piece.value == pytest.approx(two.piece.value, rel=1e-12)
            assert (one.piece.low, one.piece.high) == (one.piece.value, one.piece.value)


@pytest.mark.parametrize(
    ("scenario", "says"),
    [
        (Scenario(volume=0.0), "a cost needs packs to be made: 0 packs a year for 6 years"),
        (Scenario(currency="USD"), "the scenario asks for currency USD, the price book 'eu-2024' has EUR"),
        (Scenario(year=2010), "the scenario asks for year 2010, the price book 'eu-2024' has 2024"),
    ],
)
def test_terms_that_the_price_book_cannot_meet_are_refused(scenario: Scenario, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        costs(scenario=scenario)
