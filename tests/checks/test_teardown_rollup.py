"""Closure: the roll-up of a published teardown-cost study through the real cost stack.

EPA-420-R-09-020 (U.S. EPA, 2009), p. 132, power-split case 0502: baseline 3,435 $, and runs with
one element moved by ±20 %. The four elements used here are derived from those runs, so the page
confirms the structure (one mark-up on the sum of material, labour and burden, packaging beside) and
not the values. What is independent evidence: the derived sum against the separately printed total
manufacturing cost (2,865.06), and the printed shares (71 % material, 14 % labour).
"""

from __future__ import annotations

import pytest

from lidoff.evaluate.cost.amount import Amount
from lidoff.evaluate.cost.frame import Frame
from lidoff.evaluate.cost.inputs import Subject
from lidoff.evaluate.cost.stack import stack
from lidoff.methods import books
from lidoff.prices.reading import build
from lidoff.records import Scenario

PRINTED = {
    "baseline": 3435.0,
    "labour -20 %": 3340.0,
    "burden -20 %": 3334.0,
    "material -20 %": 2945.0,
    "material +20 %": 3925.0,
    "mark-up -20 %": 3322.0,
    "mark-up +20 %": 3548.0,
}
TOTAL_MANUFACTURING_COST = 2865.06

# Derived from the runs: an element is what moving it by a fifth moves, less the mark-up on it.
MARKUP = (3548.0 - 3322.0) / 2 / 0.2 / TOTAL_MANUFACTURING_COST
MATERIAL = (3925.0 - 2945.0) / 2 / 0.2 / (1 + MARKUP)
LABOUR = (3435.0 - 3340.0) / 0.2 / (1 + MARKUP)
BURDEN = (3435.0 - 3334.0) / 0.2 / (1 + MARKUP)
PACKAGING = 3435.0 - (MATERIAL + LABOUR + BURDEN) * (1 + MARKUP)

_HEAD = 'name="t"\ntitle="t"\nregion="t"\ncurrency="USD"\nyear=2010\n'
_ROW = '[rows."{key}"]\nvalue={value}\nunit=""\nspread=0\ndate="2010"\nsource="project_choice"\n'


def rolled_up(material: float, labour: float, burden: float, markup: float) -> float:
    """Price through the shipped stack; the mark-up's split over its parts is not printed."""
    rows = {f"markup.study.{part}": markup / 4 for part in ("scrap", "sga", "profit", "engineering")}
    rows["packaging.share"] = PACKAGING / (material + labour + burden)
    prices = build(_HEAD + "".join(_ROW.format(key=k, value=v) for k, v in rows.items()), "t.toml", None)
    frame = Frame(scenario=Scenario(), prices=prices, books=books(), count=0)
    amounts = [Amount(value=value, samples=frame.exact(0.0).samples) for value in (material, labour, burden)]
    return stack(frame, Subject(id="t", per_pack=1.0), "study", *amounts).price.value


MOVED = {
    "baseline": (1.0, 1.0, 1.0, 1.0),
    "labour -20 %": (1.0, 0.8, 1.0, 1.0),
    "burden -20 %": (1.0, 1.0, 0.8, 1.0),
    "material -20 %": (0.8, 1.0, 1.0, 1.0),
    "material +20 %": (1.2, 1.0, 1.0, 1.0),
    "mark-up -20 %": (1.0, 1.0, 1.0, 0.8),
    "mark-up +20 %": (1.0, 1.0, 1.0, 1.2),
}


@pytest.mark.parametrize("case", PRINTED)
def test_closure_of_the_printed_runs(case: str) -> None:
    """Within a dollar: print is in whole dollars and the elements come from differences of them."""
    m, w, b, k = MOVED[case]
    price = rolled_up(MATERIAL * m, LABOUR * w, BURDEN * b, MARKUP * k)
    assert price == pytest.approx(PRINTED[case], rel=1.0 / 3435.0)


def test_derived_sum_meets_the_separately_printed_total() -> None:
    """Whole-dollar rounding of the runs makes the derived sum uncertain by about 6 in 2,865."""
    assert pytest.approx(TOTAL_MANUFACTURING_COST, rel=6.0 / 2865.0) == MATERIAL + LABOUR + BURDEN


def test_derived_shares_meet_the_printed_ones() -> None:
    """Printed as whole percents: half a percent of the total either way."""
    whole = MATERIAL + LABOUR + BURDEN
    assert MATERIAL / whole == pytest.approx(0.71, rel=0.005 / 0.71)
    assert LABOUR / whole == pytest.approx(0.14, rel=0.005 / 0.14)
