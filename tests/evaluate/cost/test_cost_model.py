"""The model laid open comes to the costs of the lines: the same rules, written down a second time."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.app.bench import read_pack
from lidoff.demo import files
from lidoff.evaluate import CostStatus, evaluate
from lidoff.evaluate.cost.model import From, ModelLine, cost_model
from lidoff.evaluate.cost.route import ELEMENTS
from lidoff.methods import Table
from lidoff.records import Study

DATA = Path(__file__).parents[2] / "data"
BENCHES = {
    "heron": DATA / "heron.xlsx",
    "marlin": DATA / "marlin.csv",
    **{one.name: one.path for one in files()},
}


def priced(line: ModelLine) -> float:
    return line.stack.value("price") if line.stack is not None else sum(map(line.element, ELEMENTS))


@pytest.mark.parametrize("name", BENCHES)
def test_the_model_comes_to_the_costed_lines(name: str) -> None:
    pack = read_pack(BENCHES[name], pack_id=name).pack
    found = evaluate(Study(id=name, name=name, packs=(pack,)), samples=20)
    assert found.prices is not None
    lines = found.packs[pack.id].cost_lines
    model = cost_model(pack, found.scenario, found.prices, found.packs[pack.id].mass_lines)
    costed = [line for line in lines if line.status is CostStatus.COSTED]
    assert len(costed) > 20 and list(model.lines) == [line.item for line in costed]
    for line in costed:
        laid = model.lines[line.item]
        for element in ELEMENTS:
            money = getattr(line, element)
            assert laid.element(element) * laid.per_pack == pytest.approx(money.value, rel=1e-12, abs=1e-15)
        assert line.piece is not None and line.tooling_investment is not None
        assert priced(laid) * laid.per_pack == pytest.approx(line.piece.value, rel=1e-12)
        assert laid.tooling == pytest.approx(line.tooling_investment.value, rel=1e-12, abs=1e-9)


def test_every_input_says_where_it_comes_from() -> None:
    pack = read_pack(BENCHES["heron"], pack_id="heron").pack
    found = evaluate(Study(id="birds", name="Birds", packs=(pack,)), samples=20)
    assert found.prices is not None
    model = cost_model(pack, found.scenario, found.prices, found.packs[pack.id].mass_lines)
    rail = next(line for line in model.lines.values() if line.mass.number == "1.2.1")
    inputs = rail.steps[0].sheet.inputs
    assert inputs["mass"].origin.kind is From.ITEM and inputs["mass"].value == pytest.approx(9.09, rel=1e-12)
    assert (inputs["wage"].origin.kind, inputs["wage"].origin.key) == (From.PRICE, "wage.production")
    assert inputs["density"].origin.kind is From.MATERIAL
    assert (
        inputs["parts_year"].origin.kind is From.ROUTE and inputs["reject_share"].origin.kind is From.NUMBER
    )
    assert isinstance(inputs["presses"].value, Table) and inputs["presses"].origin.key in model.rates
    assert inputs["circle"].origin.kind is From.FORMULA
    for line in model.lines.values():
        for step in line.steps:
            for put in step.sheet.inputs.values():
                kind = put.origin.kind
                assert (put.origin.formula is not None) == (kind is From.FORMULA)
                assert bool(put.origin.key) == (kind not in (From.FORMULA, From.NUMBER, From.GIVEN))
    first, last = rail.steps[0], rail.steps[-1]
    assert last.handled == pytest.approx(1.0 / last.good_share, rel=1e-12)
    assert first.handled > last.handled > 1.0  # a reject takes with it what was put into it before
