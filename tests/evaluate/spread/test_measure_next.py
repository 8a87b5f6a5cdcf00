"""Behaviour: going and measuring what is named narrows the interval as promised.

The simulation knows nothing of how the promise is made: the records (or the price book) get the new reading
with its new spread, and the whole study is evaluated again on samples drawn afresh.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from measuring import birds, demo, measured

from lidoff.evaluate import Findings, evaluate
from lidoff.evaluate.spread import InputKind, Proposal, SpreadOf, Spreads, Target, between, of_pack, spreads
from lidoff.prices import PriceBook
from lidoff.quantities.sampling import interval
from lidoff.records import Study

STUDIES = {"birds": birds, "demo": demo}
#: Samples of a simulation without and with costs; their intervals' width is then good to about 2 and 3 %.
SAMPLES, SAMPLES_OF_COST = 10_000, 5_000
#: As asked: an interval shrinks as promised within 10 %.
AS_PROMISED = 0.10


@cache
def known(study: str) -> tuple[Study, Findings, Spreads]:
    record = STUDIES[study]()
    findings = evaluate(record, samples=2000)
    first, second = findings.packs
    targets = [
        target
        for name in ("mass_rolled", "specific_energy", "cost_piece")
        for target in (
            of_pack(findings, first, name),
            of_pack(findings, second, name),
            between(findings, first, second, name),
        )
        if target is not None
    ]
    return record, findings, spreads(record, findings, targets, most=2)


def width(record: Study, target: Target, seed: int, prices: PriceBook | None = None) -> float:
    topics = ("mass", "energy", "cost") if target.is_cost else ("mass", "energy")
    samples = SAMPLES_OF_COST if target.is_cost else SAMPLES
    found = target.take(evaluate(record, samples=samples, seed=seed, prices=prices, topics=topics))
    assert found is not None
    low, high = interval(found[1])
    return high - low


def simulated(study: str, one: SpreadOf, proposal: Proposal, value: float, seed: int) -> float:
    """Width of the interval after somebody measured ``value``."""
    record, findings, _ = known(study)
    named = proposal.named
    assert findings.prices is not None and named.u is not None
    after, prices = measured(record, findings.prices, named, value, named.u * proposal.factor)
    return width(after, one.target, seed, prices if one.target.is_cost else None)


def cases() -> list[tuple[str, str, int, int]]:
    """Study, figure, which target of it (two packs, their difference), and place of the proposal."""
    figures = {
        "birds": ("mass_rolled", "cost_piece", "specific_energy"),
        "demo": ("mass_rolled", "cost_piece"),
    }
    return [(s, f, t, p) for s, names in figures.items() for f in names for t in (0, 1, 2) for p in (0, 1)]


@pytest.mark.parametrize(("study", "figure", "which", "place"), cases())
def test_the_interval_shrinks_as_promised(study: str, figure: str, which: int, place: int) -> None:
    record, findings, found = known(study)
    one = [s for s in found.targets if s.target.name == figure][which]
    if place >= len(one.next):
        assert place > 0 or figure == "specific_energy", "nothing at all was proposed"
        pytest.skip("no further reading would narrow it by more than a little")
    proposal = one.next[place]
    assert proposal.named.value is not None
    before = width(record, one.target, 11, findings.prices if one.target.is_cost else None)
    after = simulated(study, one, proposal, proposal.named.value, 12)
    assert after / before == pytest.approx(1.0 - proposal.narrows, rel=AS_PROMISED)
    assert after == pytest.approx(proposal.high - proposal.low, rel=AS_PROMISED)
    if proposal.narrows > AS_PROMISED:  # less cannot be told from the noise of two samples
        assert after < before


@pytest.mark.parametrize(("figure", "which"), [("mass_rolled", 2), ("cost_piece", 1), ("cost_piece", 2)])
def test_whatever_the_measurement_shows(figure: str, which: int) -> None:
    """The value found is not the one assumed: on the mean of what it may be, the promise holds."""
    _, _, found = known("birds")
    one = [s for s in found.targets if s.target.name == figure][which]
    proposal = one.next[0]
    named = proposal.named
    assert named.value is not None and named.relative is not None
    at = np.array([-1.28, -0.52, 0.0, 0.52, 1.28])  # the middles of five equally likely parts
    truths = named.value * np.exp(np.log1p(named.relative) * at)
    widths = [simulated("birds", one, proposal, float(truth), 20 + n) for n, truth in enumerate(truths)]
    assert np.mean(widths) == pytest.approx(proposal.high - proposal.low, rel=AS_PROMISED)


def test_several_kinds_of_input_are_among_them() -> None:
    """The cases above are weighings, a scale's own error, what a cell gives, and quotes."""
    kinds = {p.named.kind for study in STUDIES for s in known(study)[2].targets for p in s.next}
    assert {InputKind.MASS, InputKind.PRICE, InputKind.FACT, InputKind.INSTRUMENT} <= kinds


@pytest.mark.parametrize("figure", ["mass_rolled", "cost_piece"])
def test_the_first_is_the_one_that_narrows_most(figure: str) -> None:
    _, _, found = known("birds")
    for one in found.targets:
        if one.target.name == figure and len(one.next) > 1:
            first, second = (simulated("birds", one, p, p.named.value or 0.0, 31) for p in one.next[:2])
            # Where two would do about the same, which is first is no matter.
            if one.next[0].narrows > one.next[1].narrows + 0.02:
                assert first < second
