"""Behaviour: what is rolled up, what only closes, what is told."""

from dataclasses import replace

import pytest
from by_hand import fact, pack, part, read

from lidoff.evaluate.mass import masses
from lidoff.evaluate.tree import build
from lidoff.quantities import Basis


def figures(record):
    return masses(record, build(record), 400).figures


def small():
    return pack(
        part("1", "pack"),
        part("1.1", "module", quantity=2, function="module", weighings=(10.4, 10.6, 10.5)),
        part("1.1.1", "cell", 1.0, quantity=10, function="cells"),
        part("1.1.2", "foam", 0.05, quantity=10, basis=Basis.ESTIMATED),
        part("1.2", "tray", 30.0, function="tray"),
        part("1.3", "coolant", 2.0, function="coolant"),
        facts=(fact("mass_weighed", 54.0, "kg"), fact("coolant_in_weighing", 1.0)),
    )


def test_leaves_add_up_and_weighings_of_assemblies_do_not() -> None:
    assert figures(small())["mass_rolled"].value == pytest.approx(2 * (10 + 0.5) + 30, rel=1e-12)


def test_coolant_is_listed_apart_and_closes_only_when_the_weighing_held_it() -> None:
    wet = figures(small())
    assert wet["mass_coolant"].value == pytest.approx(2.0, rel=1e-12)
    assert wet["mass_closure"].value == pytest.approx(100 * 53 / 54, rel=1e-12)
    drained = replace(small(), facts=(fact("mass_weighed", 54.0, "kg"), fact("coolant_in_weighing", 0.0)))
    assert figures(drained)["mass_closure"].value == pytest.approx(100 * 51 / 54, rel=1e-12)


def test_not_knowing_whether_coolant_was_in_the_weighing_is_said() -> None:
    unknown = replace(small(), facts=(fact("mass_weighed", 54.0, "kg"),))
    closure = figures(unknown)["mass_closure"]
    assert any("not recorded" in w for w in closure.warnings)


def test_a_leaf_without_a_mass_is_named_and_not_taken_as_zero() -> None:
    lacking = replace(small(), items=(*small().items, part("1.4", "glue", function="module")))
    found = figures(lacking)
    assert found["mass_rolled"].value == figures(small())["mass_rolled"].value
    assert any("1.4 glue" in w for w in found["mass_rolled"].warnings)
    only = figures(pack(part("1", "glue", function="seal")))
    assert only["mass_seal"].value is None and only["mass_rolled"].value is None


def test_estimates_are_summed_apart() -> None:
    assert figures(small())["mass_estimated"].value == pytest.approx(2 * 10 * 0.05, rel=1e-12)


def test_an_unweighed_pack_has_no_closure_and_says_why() -> None:
    found = figures(replace(small(), facts=()))["mass_closure"]
    assert found.value is None and found.warnings == ("the whole pack was not weighed",)


def test_the_working_of_the_closure_says_how_whole_modules_agree_with_their_parts() -> None:
    line = figures(small())["mass_closure"].working[1]
    assert line.value == pytest.approx(100.0, rel=1e-12)  # 10 × 1 + 10 × 0.05 against a mean of 10.5
    assert "mean of 3 weighings" in line.about and "agree within their interval" in line.about


def test_every_leaf_is_a_term_and_a_worked_line() -> None:
    rolled = figures(small())["mass_rolled"]
    assert {term.item for term in rolled.terms} == {"1.1.1", "1.1.2", "1.2"}
    foam = next(w for w in rolled.working if w.name == "1.1.2 foam")
    assert foam.put_in == "2 × 10 × 0.05 kg" and foam.value == pytest.approx(1.0, rel=1e-12)


def test_a_mass_by_difference_moves_with_its_weighing_and_is_not_drawn() -> None:
    record = pack(
        part("1", "box", weighings=(5.0,), parent=None),
        part("1.1", "base", 3.0, u=0.05),
        part("1.2", "potting", 2.0, basis=Basis.BY_DIFFERENCE),
    )
    found = masses(record, build(record), 4000)
    # The parts together are as good as the weighing (0.2 % of 5 kg), not as bad as the base.
    assert found.rolled is not None
    assert found.rolled.u == pytest.approx(0.01, rel=0.05)  # 4,000 samples give u to about 1.1 %
    weighed_base = replace(
        record, items=(record.items[0], record.items[1], replace(record.items[2], mass=read(2.0)))
    )
    drawn = masses(weighed_base, build(weighed_base), 4000).rolled
    assert drawn is not None and drawn.u > 4 * found.rolled.u
