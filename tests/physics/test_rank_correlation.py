"""Physics: readings declared to go together do so, each still spread as it was, and nothing else moves."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from by_hand import pack, part
from scipy import stats

from lidoff.evaluate import PackFindings, evaluate
from lidoff.prices import price_book
from lidoff.quantities import Basis, Shape, Spread
from lidoff.quantities.copula import CorrelationError, copula_of
from lidoff.quantities.draws import related
from lidoff.quantities.sampling import Samples, normals, sample_spread
from lidoff.records import Correlation, Study

COUNT = 40_000
#: A rank correlation from 40,000 pairs strays by about 1/√40,000 = 0.005 (less near ±1).
STRAY = 0.02
SPREADS: Mapping[str, tuple[float, Spread]] = {
    "normal": (5.0, Spread(shape=Shape.NORMAL, u=0.2)),
    "log-normal": (5.0, Spread(shape=Shape.LOGNORMAL, u=0.4)),
    "triangular": (2.0, Spread(shape=Shape.TRIANGULAR, low=1.0, high=4.0)),
    "uniform": (2.0, Spread(shape=Shape.UNIFORM, low=1.0, high=4.0)),
    "truncated": (1.0, Spread(shape=Shape.NORMAL, u=0.5, low=0.8, high=3.0)),
}


def drawn(name: str, stream: str, count: int = COUNT) -> Samples:
    value, spread = SPREADS[name]
    return sample_spread(value, spread, stream, count)


@pytest.mark.parametrize("rank", [-0.9, -0.3, 0.5, 0.95])
@pytest.mark.parametrize(("one", "other"), [("normal", "log-normal"), ("triangular", "truncated"),
                                            ("uniform", "normal"), ("truncated", "log-normal")])  # fmt: skip
def test_the_rank_correlation_is_reached(one: str, other: str, rank: float) -> None:
    with related(copula_of([("a", "b", rank)])):
        a, b = drawn(one, "a"), drawn(other, "b")
    assert stats.spearmanr(a, b).statistic == pytest.approx(rank, abs=STRAY)


@pytest.mark.parametrize("name", SPREADS)
def test_each_is_spread_as_before(name: str) -> None:
    """The first stream keeps its very samples where it draws normals, the other its distribution."""
    alone = drawn(name, "b")
    with related(copula_of([("a", "b", 0.7)])):
        together = drawn(name, "b")
    assert not np.array_equal(alone, together)
    # Two samples of one distribution: a difference this large would come up once in a thousand times.
    assert stats.ks_2samp(alone, together).pvalue > 0.001
    alone_a = normals("a", 50)
    with related(copula_of([("a", "b", 0.7)])):
        np.testing.assert_array_equal(normals("a", 50), alone_a)
        np.testing.assert_array_equal(normals("b", 50), normals("b", 500)[:50])


def test_three_go_together_as_declared_and_no_fourth_moves() -> None:
    ranks = {("a", "b"): 0.6, ("b", "c"): -0.4, ("a", "c"): 0.2}
    apart = normals("d", COUNT)
    with related(copula_of([(*pair, rank) for pair, rank in ranks.items()])):
        found = {name: normals(name, COUNT) for name in "abc"}
        np.testing.assert_array_equal(normals("d", COUNT), apart)
    for (one, other), rank in ranks.items():
        assert stats.spearmanr(found[one], found[other]).statistic == pytest.approx(rank, abs=STRAY)


@pytest.mark.parametrize(
    ("pairs", "says"),
    [
        ([("a", "b", 0.9), ("b", "c", 0.9), ("a", "c", -0.9)], "a, b, c contradict"),
        ([("a", "b", 1.0)], "rank correlation of a and b is 1"),
        ([("a", "b", float("nan"))], "rank correlation of a and b is nan"),
        ([("a", "a", 0.5)], "itself"),
        ([("a", "b", 0.5), ("b", "a", 0.4)], "declared twice"),
    ],
)
def test_what_cannot_be_is_refused(pairs: list[tuple[str, str, float]], says: str) -> None:
    with pytest.raises(CorrelationError, match=says):
        copula_of(pairs)


def plates(*more: str) -> Study:
    items = [part("1", "Pack"), part("1.1", "Plate", 4.0, u=0.4), part("1.2", "Rail", 6.0, u=0.6)]
    items += [part(f"1.{n + 3}", name, 1.0, u=0.1) for n, name in enumerate(more)]
    return Study(id="s", name="s", packs=(pack(*items),))


def masses(study: Study, rank: float | None = None) -> PackFindings:
    if rank is not None:
        pair = Correlation(id="c", first="1.1.mass", second="1.2.mass", rank=rank, why="one gauge")
        study = Study(id="s", name="s", packs=study.packs, correlations=(pair,))
    (found,) = evaluate(study, topics=("mass",), samples=10_000).packs.values()
    return found


def test_a_declared_correlation_reaches_the_figures() -> None:
    """Var(a + b) = 0.4² + 0.6² + 2·r·0.4·0.6, r being 2·sin(π·ρ/6)."""
    for rank in (-0.8, 0.0, 0.8):
        samples = masses(plates(), rank).figures["mass_rolled"].samples
        assert samples is not None
        r = 2.0 * np.sin(np.pi * rank / 6.0)
        # 10,000 samples tell a variance to 1.4 %.
        assert float(np.var(samples)) == pytest.approx(0.16 + 0.36 + 0.48 * r, rel=0.05)
    assert masses(plates()).figures["mass_rolled"] != masses(plates(), 0.8).figures["mass_rolled"]


def test_adding_a_part_moves_no_other_part_s_samples() -> None:
    before, after = masses(plates(), 0.8), masses(plates("Bracket"), 0.8)
    lines = {line.item: line for line in after.mass_lines}
    for line in before.mass_lines:
        np.testing.assert_array_equal(line.samples, lines[line.item].samples)


@pytest.mark.parametrize(
    ("second", "says"),
    [
        ("1.9.mass", "no record has a reading '1.9.mass'"),
        ("1.3.mass", "found by difference"),
        ("price:no.such", "no price row 'no.such'"),
    ],
)
def test_a_correlation_of_what_is_not_drawn_is_refused(second: str, says: str) -> None:
    rest = part("1.3", "Rest", 1.0, basis=Basis.BY_DIFFERENCE)
    pair = Correlation(id="c1", first="1.1.mass", second=second, rank=0.5)
    study = Study(id="s", name="s", packs=(pack(*plates().packs[0].items, rest),), correlations=(pair,))
    with pytest.raises(CorrelationError, match=f"c1.*{says}"):
        evaluate(study, topics=("mass",), samples=10, prices=price_book())
