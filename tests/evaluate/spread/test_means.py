"""Behaviour: what stands behind a stream is told, and what its instrument would make of it."""

from __future__ import annotations

import math

import pytest
from measuring import birds, demo

from lidoff.evaluate import CostStatus, evaluate
from lidoff.evaluate.spread import InputKind, Named
from lidoff.evaluate.spread.drawn import Listening
from lidoff.evaluate.spread.means import all_means, narrowing
from lidoff.evaluate.spread.named import Names
from lidoff.prices import price_book
from lidoff.quantities.draws import drawing
from lidoff.records import Study


def named(kind: InputKind, value: float, u: float, *, key: str = "", unit: str = "") -> Named:
    return Named(stream="s", kind=kind, title="it", value=value, u=u, key=key, unit=unit)


@pytest.mark.parametrize(
    ("value", "scale", "after"),
    [
        # Half a division either way is division/√12, and a scale is good to 0.05 % of the load.
        (0.2, "6 kg / 0.1 g", math.hypot(1e-4 / math.sqrt(12.0), 5e-4 * 0.2)),
        (20.0, "60 kg / 5 g", math.hypot(5e-3 / math.sqrt(12.0), 5e-4 * 20.0)),
        (300.0, "platform scale", math.hypot(0.1 / math.sqrt(12.0), 5e-4 * 300.0)),
    ],
)
def test_weighing(value: float, scale: str, after: float) -> None:
    found = narrowing(named(InputKind.MASS, value, 0.15 * value, unit="g"))
    assert found is not None and scale in found.says
    assert found.factor == pytest.approx(after / (0.15 * value), rel=1e-12)


def test_a_wall_is_measured_to_a_twentieth_of_a_millimetre() -> None:
    for kind in (InputKind.SIZE, InputKind.INPUT):
        found = narrowing(named(kind, 3e-3, 0.9e-3, unit="mm"))
        assert found is not None and found.factor == pytest.approx(0.05e-3 / 0.9e-3, rel=1e-12)


def test_a_quote_is_good_to_five_percent() -> None:
    found = narrowing(named(InputKind.PRICE, 27.0, 10.0, key="bought.charger", unit="EUR/kg"))
    assert found is not None and found.says == "ask for a quote"
    assert found.factor == pytest.approx(0.05 * 27.0 / 10.0, rel=1e-12)


def test_what_is_known_well_enough_is_left_alone() -> None:
    assert narrowing(named(InputKind.MASS, 0.2, 1e-5, unit="g")) is None
    assert narrowing(named(InputKind.PRICE, 27.0, 0.1, key="bought.charger")) is None
    assert narrowing(named(InputKind.MASS, 5000.0, 800.0, unit="kg")) is None  # no scale takes it
    assert narrowing(named(InputKind.OTHER, 1.0, 1.0)) is None


def test_every_row_names_what_to_do() -> None:
    assert {means.kind for means in all_means()} <= set(InputKind)
    for means in all_means():
        assert means.says and (means.scales or means.u is not None or means.relative is not None)


@pytest.mark.parametrize("study", [birds(), demo()], ids=["birds", "demo"])
def test_every_stream_of_a_study_is_told(study: Study) -> None:
    listening = Listening()
    with drawing(listening):
        evaluate(study, samples=2, topics=("mass", "energy", "cost"))
    findings = evaluate(study, samples=2)
    names = Names.of(study, findings, findings.prices or price_book())
    told = [names[stream] for stream in listening.heard]
    # What an assembly's pieces differ by is no reading; it enters no figure but the check of the closing.
    dumb = [n.stream for n in told if n.kind is InputKind.OTHER and not n.stream.endswith(".unit")]
    assert not dumb
    # A line that lacks an input is given up half way: what it drew until then is told without a value.
    lines = (line for pack in findings.packs.values() for line in pack.cost_lines)
    given_up = {line.item for line in lines if line.status is CostStatus.NOT_COSTED}
    known = [n for n in told if n.kind is not InputKind.OTHER and n.item not in given_up]
    assert all(n.title and n.u is not None and n.u >= 0.0 for n in known)
    assert len({n.kind for n in told}) >= 8
