"""Physics of cost: balances, limits and monotony that hold whatever the books say.

Two small books of this file make the expected values plain: one shapes a part from material with a
tool of a stated life, one finishes it; both reject a share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from by_hand import part

from lidoff.evaluate.cost import cost_pack
from lidoff.evaluate.cost.amount import Amount
from lidoff.evaluate.cost.frame import Frame
from lidoff.evaluate.cost.inputs import Subject
from lidoff.evaluate.cost.route import RouteCost, run_route
from lidoff.evaluate.cost.stack import stack
from lidoff.evaluate.mass import masses
from lidoff.evaluate.tree import build
from lidoff.methods import books, read_book
from lidoff.prices import price_book
from lidoff.quantities import Basis, Reading, Spread
from lidoff.records import Pack, Route, RouteStep, Scenario

_BOOK = """\
title = "{name}"
topic = "trial"
[inputs]
good = {{ unit = "", about = "good share", default = 0.8, spread = 0 }}
worth = {{ unit = "money/part", about = "material put in", default = {worth}, spread = 0 }}
work = {{ unit = "money/part", about = "work put in", default = {work}, spread = 0 }}
setup = {{ unit = "money", about = "one set-up a year", default = {setup}, spread = 0 }}
tool_price = {{ unit = "money", about = "a tool", default = {tool}, spread = 0 }}
tool_life = {{ unit = "part", about = "its life", default = 100000, spread = 0 }}
parts_year = {{ unit = "part/year", about = "parts", from = "route.parts_year" }}
parts_life = {{ unit = "part", about = "parts", from = "route.parts_life" }}
[[lines]]
name = "good_share"
unit = ""
formula = "good"
[[lines]]
name = "material"
unit = "money/part"
formula = "worth"
[[lines]]
name = "labour"
unit = "money/part"
formula = "work + setup/(parts_year*quantity(1, \\"year\\"))"
[[lines]]
name = "tooling"
unit = "money"
formula = "tool_price*max(1, whole_up(parts_life/tool_life))"
"""
SHAPE = read_book(
    _BOOK.format(name="shape", worth=5, work=2, setup=1000, tool=60000), name="shape", file="shape.toml"
)
FINISH = read_book(
    _BOOK.format(name="finish", worth=0, work=3, setup=0, tool=0), name="finish", file="finish.toml"
)
BOOKS = {"shape": SHAPE, "finish": FINISH, "cost_stack": books()["cost_stack"]}
PART = Subject(id="part", per_pack=2.0)


def given(value: float) -> Reading:
    return Reading(value=value, unit="", basis=Basis.ESTIMATED, spread=Spread(stated=True))


def cost(
    methods: Sequence[str],
    *,
    volume: float = 100_000.0,
    life: float = 6.0,
    good: float | None = None,
    tool_life: float | None = None,
    count: int = 0,
) -> tuple[Frame, RouteCost]:
    frame = Frame(scenario=Scenario(volume=volume, life=life), prices=price_book(), books=BOOKS, count=count)
    inputs = [("good", good), ("tool_life", tool_life)]
    step_inputs = tuple((name, given(value)) for name, value in inputs if value is not None)
    route = Route(steps=tuple(RouteStep(method=method, inputs=step_inputs) for method in methods))
    return frame, run_route(frame, PART, route)


def test_upstream_value_is_lost_with_a_reject() -> None:
    """Hand derivation: each good piece takes 1/0.8² shaped and 1/0.8 finished pieces."""
    _, made = cost(["shape", "finish"])
    handled = 100_000 * 2 / 0.8**2
    assert made.material.value == pytest.approx(5 / 0.8**2, rel=1e-12)
    assert made.labour.value == pytest.approx((2 + 1000 / handled) / 0.8**2 + 3 / 0.8, rel=1e-12)
    # Steps told one by one add up to the route.
    assert sum(step.labour for step in made.steps) == pytest.approx(made.labour.value, rel=1e-12)
    assert sum(step.material for step in made.steps) == pytest.approx(made.material.value, rel=1e-12)


def test_tools_wear_on_all_pieces_they_handle() -> None:
    """600,000 packs × 2 pieces / 0.8² = 1,875,000 shaped pieces: 19 tools of 100,000 each."""
    _, made = cost(["shape", "finish"])
    assert made.tooling.value == pytest.approx(19 * 60_000, rel=1e-12)
    assert made.steps[0].tooling_investment == pytest.approx(19 * 60_000, rel=1e-12)


@pytest.mark.parametrize("good", [0.9, 0.99, 0.999, 0.999999])
def test_as_rejects_vanish_a_route_costs_the_sum_of_its_steps(good: float) -> None:
    _, made = cost(["shape", "finish"], good=good)
    assert made.material.value == pytest.approx(5.0, rel=2.5 * (1 - good))
    assert made.labour.value == pytest.approx(2 + 3 + 0.005, rel=2.5 * (1 - good))


def test_fewer_rejects_never_cost_more() -> None:
    totals = []
    for good in (0.5, 0.6, 0.8, 0.9, 0.95, 1.0):
        _, made = cost(["shape", "finish"], good=good)
        totals.append(made.material.value + made.labour.value)
    assert totals == sorted(totals, reverse=True)


def test_more_volume_never_raises_tooling_a_piece_while_one_tool_lasts() -> None:
    each = []
    for volume in (100.0, 1e3, 1e4, 1e5, 1e6):
        frame, made = cost(["shape"], volume=volume, tool_life=1e12)
        each.append(made.tooling.value / frame.packs_of_life)
    assert each == sorted(each, reverse=True)
    assert each[0] == pytest.approx(1e4 * each[-1], rel=1e-12)


def test_with_many_tools_their_cost_a_piece_tends_to_price_over_life() -> None:
    """A saw-tooth in volume that never falls below its limit and approaches it from above."""
    limit = 2 / 0.8 * 60_000 / 100_000
    for volume in (1e3, 4e4, 4.2e4, 1e5, 3e6, 1e9):
        frame, made = cost(["shape"], volume=volume)
        each = made.tooling.value / frame.packs_of_life
        pieces = volume * 6 * 2 / 0.8
        assert limit * (1 - 1e-9) <= each <= limit * (1 + 100_000 / pieces) * (1 + 1e-9)
    assert each == pytest.approx(limit, rel=1e-4)


def test_with_volume_set_ups_vanish() -> None:
    labours = []
    for volume in (1e2, 1e3, 1e4, 1e6, 1e9):
        labours.append(cost(["shape"], volume=volume)[1].labour.value)
    assert labours == sorted(labours, reverse=True)
    assert labours[-1] == pytest.approx(2 / 0.8, rel=1e-6)


def test_elements_balance_to_the_price_for_every_sample() -> None:
    frame, made = cost(["shape", "finish"], count=200)
    burden = Amount(value=1.5, samples=made.material.samples * 0.3)
    top = stack(frame, PART, "medium", made.material, made.labour, burden)
    whole = made.material + made.labour + burden + top.markup + top.packaging
    assert whole.value == pytest.approx(top.price.value, rel=1e-12)
    assert whole.samples == pytest.approx(top.price.samples, rel=1e-12)
    assert top.price.samples.std() > 0.0


def test_prices_are_homogeneous_in_their_elements() -> None:
    """Twice the material, labour and burden is twice the price: the stack has no fixed part."""
    frame, _ = cost(["shape"])
    one = [frame.exact(value) for value in (3.0, 2.0, 1.0)]
    two = [amount.times(2.0) for amount in one]
    single, double = (stack(frame, PART, "large", *amounts).price.value for amounts in (one, two))
    assert double == pytest.approx(2.0 * single, rel=1e-12)


def test_a_bought_part_carries_no_second_mark_up() -> None:
    frame, _ = cost(["shape"])
    price = frame.exact(7.0)
    nothing = frame.exact(0.0)
    top = stack(frame, PART, "none", price, nothing, nothing)
    assert (top.price.value, top.markup.value, top.packaging.value) == (7.0, 0.0, 0.0)


def test_nominal_and_sampled_evaluation_agree_on_the_nominal_value() -> None:
    _, alone = cost(["shape", "finish"], count=0)
    _, sampled = cost(["shape", "finish"], count=50)
    for element in ("material", "labour", "burden", "tooling"):
        a, b = getattr(alone, element).value, getattr(sampled, element).value
        assert math.isclose(a, b, rel_tol=1e-12)


MADE = {
    "stamped": part("1", "Link", 0.171, quantity=11, material="Cu", process="stamped", size=(172, 28, 4)),
    "extruded": part("1", "Rail", 9.09, material="Al extr.", process="extruded, CNC", size=(2560, 75, 98)),
    "die cast": part("1", "Node", 0.668, material="AlSi10MnMg", process="HPDC", size=(160, 120, 90)),
    "moulded": part("1", "Box", 0.54, material="PC/ABS", process="injection moulded", size=(462, 386, 14)),
}


@pytest.mark.parametrize("made", MADE)
def test_shipped_books_get_cheaper_with_volume(made: str) -> None:
    """Up to where a second set of tools is needed, neither tooling nor piece rises with volume."""
    pack = Pack(id="p", name="p", items=(MADE[made],))
    mass = masses(pack, build(pack), 1)
    tools, pieces = [], []
    for volume in (20.0, 200.0, 2000.0):
        (one,) = cost_pack(pack, Scenario(volume=volume), price_book(), mass.lines, 0).lines
        assert one.piece and one.tooling_per_piece, one.why
        tools.append(one.tooling_per_piece.value)
        pieces.append(one.piece.value)
    assert tools == sorted(tools, reverse=True)
    assert pieces == sorted(pieces, reverse=True)
    assert tools[0] > 5 * tools[-1]
