"""Samples: nominal only, seeds, blocks, kept lines, and lines that draw again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from lidoff.evaluate import CostStatus, PackFindings, evaluate
from lidoff.evaluate import blocks as blocks_module
from lidoff.evaluate import findings as findings_module
from lidoff.evaluate import pipeline as pipeline_module
from lidoff.evaluate.cost import kept as kept_module
from lidoff.evaluate.cost import workers
from lidoff.evaluate.findings import COST_ELEMENTS, CostElement
from lidoff.exchange import read_bench
from lidoff.records import Study

DATA = Path(__file__).parents[1] / "data"
TOPICS = ("mass", "energy", "cost")
NAMES = ("mass_rolled", "energy_nominal", "cost_piece", "tooling_investment", "cost_per_kwh")


@pytest.fixture(scope="module")
def study() -> Study:
    heron = read_bench(DATA / "heron.xlsx", pack_id="heron").pack
    return Study(id="s", name="s", packs=(heron,))


def forget() -> None:
    pipeline_module._kept.clear()
    kept_module._frames.clear()


@pytest.fixture
def nothing_kept() -> Iterator[None]:
    forget()
    yield
    forget()


def of(study: Study, samples: int, seed: int = 0) -> PackFindings:
    return evaluate(study, topics=TOPICS, samples=samples, seed=seed).packs["heron"]


def test_nominal_values_need_no_samples(study: Study) -> None:
    plain, sampled = of(study, 0), of(study, 50)
    assert plain.figures.keys() == sampled.figures.keys()
    for name, figure in plain.figures.items():
        assert figure.value == sampled.figures[name].value, name
        assert figure.low is None and figure.samples is None
        # Sheets are written when read, also where nothing was drawn.
        assert len(figure.working) == len(sampled.figures[name].working)
    for plain_line, line in zip(plain.cost_lines, sampled.cost_lines, strict=True):
        assert (plain_line.piece is None) == (line.piece is None)
        if plain_line.piece is not None and line.piece is not None:
            assert plain_line.piece.value == line.piece.value


def test_another_seed_draws_everything_anew(study: Study) -> None:
    first, again, other = of(study, 400), of(study, 400, seed=0), of(study, 400, seed=7)
    assert first is again
    for name in NAMES:
        a, b = first.figures[name], other.figures[name]
        assert a.value == b.value
        assert a.samples is not None and b.samples is not None
        if np.ptp(a.samples) > 0.0:
            assert not np.any(a.samples == b.samples)
            # Two runs of 400 tell one spread to about 5 % each.
            assert np.std(b.samples) == pytest.approx(np.std(a.samples), rel=0.25)


def test_blocks_average_the_ends_of_their_intervals(
    study: Study, monkeypatch: pytest.MonkeyPatch, nothing_kept: None
) -> None:
    for module in (findings_module, blocks_module, pipeline_module):
        monkeypatch.setattr(module, "BLOCK", 200)
    labels = list(blocks_module.block_labels(500, 3))
    assert labels == ["3", "3.1", "3.2"]
    found = evaluate(study, topics=TOPICS, samples=500, seed=3)
    assert (found.samples, found.drawn, found.seed) == (600, 200, 3)
    forget()
    for name in NAMES:
        figure = found.packs["heron"].figures[name]
        single = evaluate(study, topics=TOPICS, samples=200, seed=3).packs["heron"].figures[name]
        assert figure.samples is not None and figure.samples.size == 200
        np.testing.assert_array_equal(figure.samples, single.samples)
        assert figure.low is not None and single.low is not None and figure.high is not None
        if np.ptp(figure.samples) > 0.0:
            assert figure.low != single.low
            assert figure.low < figure.high


def test_a_line_draws_again_what_it_gave(study: Study) -> None:
    found = of(study, 300)
    costed = [line for line in found.cost_lines if line.status is CostStatus.COSTED]
    assert costed
    for element in COST_ELEMENTS:
        for function in {line.function for line in costed}:
            drawn = [line.samples(element) for line in costed if line.function is function]
            total = np.sum([one for one in drawn if one is not None], axis=0)
            np.testing.assert_allclose(total, found.cost_samples[function, element], rtol=1e-12)


def test_threads_give_what_one_after_another_gives(
    study: Study, monkeypatch: pytest.MonkeyPatch, nothing_kept: None
) -> None:
    element: CostElement = "piece"
    monkeypatch.setattr(workers, "WORTH_A_THREAD", 10)
    threaded = of(study, 250)
    forget()
    monkeypatch.setattr(workers, "WORTH_A_THREAD", 10**9)
    alone = of(study, 250)
    assert threaded is not alone
    for name in NAMES:
        np.testing.assert_array_equal(threaded.figures[name].samples, alone.figures[name].samples)
    for a, b in zip(threaded.cost_lines, alone.cost_lines, strict=True):
        assert (a.item, a.piece) == (b.item, b.piece)
        if a.piece is not None:
            np.testing.assert_array_equal(a.samples(element), b.samples(element))
