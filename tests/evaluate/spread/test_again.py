"""Behaviour: evaluating again where a stream moved gives what evaluating everything gives."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from measuring import birds

from lidoff.evaluate import Findings, evaluate
from lidoff.evaluate.spread.again import Again
from lidoff.evaluate.spread.drawn import Narrowed
from lidoff.quantities.draws import drawing
from lidoff.records import Correlation

COUNT = 64
FIGURES = (
    "mass_rolled",
    "mass_closure",
    "specific_energy",
    "cost_piece",
    "tooling_investment",
    "cost_per_kwh",
)


@pytest.fixture(scope="module")
def again() -> Again:
    made = Again.of(birds())
    made.first(Narrowed(), COUNT)
    return made


def samples(findings: Findings) -> dict[tuple[str, str], np.ndarray]:
    return {
        (pack.pack, name): figure.samples
        for pack in findings.packs.values()
        for name in FIGURES
        if (figure := pack.figures.get(name)) is not None and figure.samples is not None
    }


def whole(draws: Narrowed) -> Findings:
    with drawing(draws):
        return evaluate(birds(), samples=COUNT, topics=("mass", "energy", "cost"))


def streams_to_move(again: Again) -> dict[str, str]:
    """One of each kind: a mass, a size, a default, a scale, a price and what several prices are made of."""

    def one(*ends: str, starts: str = "") -> str:
        return next(s for s in again.streams if s.endswith(ends) and s.startswith(starts))

    return {
        "mass": one(".mass", starts="i-"),
        "size": one(".width", ".length", starts="i-"),
        "default": one(":tool_life", starts="i-"),
        "scale": one("", starts="instrument:"),
        "wage": "price:wage.production",
        "metal": "price:metal.aluminium",
        "interest": "price:rate.interest",
        "weighed pack": one("mass_weighed"),
        "capacity": one("cell_capacity"),
    }


@pytest.mark.parametrize(
    "kind", ["mass", "size", "default", "scale", "wage", "metal", "interest", "weighed pack", "capacity"]
)
def test_a_moved_stream_reaches_everything_that_draws_from_it(again: Again, kind: str) -> None:
    stream = streams_to_move(again)[kind]
    draws = Narrowed({stream: 3.0})  # wider, so that it shows
    moved, expected = samples(again.changed(draws, {stream})), samples(whole(draws))
    before = samples(whole(Narrowed()))
    assert moved.keys() == expected.keys() and moved
    for key in moved:
        np.testing.assert_allclose(moved[key], expected[key], rtol=1e-12)
    assert any(not np.array_equal(moved[key], before[key]) for key in moved)


def test_what_goes_together_moves_together() -> None:
    """With a correlation declared, moving the one moves the other, here as in a whole evaluation."""
    first, second = (next(f"{i.id}.mass" for i in p.items if i.mass is not None) for p in birds().packs)
    study = replace(birds(), correlations=(Correlation(id="c", first=first, second=second, rank=0.8),))
    again = Again.of(study, costs=False)
    before = samples(again.first(Narrowed(), COUNT))
    reached = []
    for stream in (first, second):
        draws = Narrowed({stream: 3.0})
        moved = samples(again.changed(draws, {stream}))
        with drawing(draws):
            expected = samples(evaluate(study, samples=COUNT, topics=("mass", "energy")))
        for key in moved:
            np.testing.assert_allclose(moved[key], expected[key], rtol=1e-12)
        rolled = [(pack.id, "mass_rolled") for pack in study.packs]
        reached.append(sum(not np.array_equal(moved[key], before[key]) for key in rolled))
    # One of the two is drawn by itself and the other follows it in part.
    assert sorted(reached) == [1, 2]


def test_every_stream_of_an_evaluation_is_known(again: Again) -> None:
    from lidoff.evaluate.spread.drawn import Listening

    listening = Listening()
    with drawing(listening):
        evaluate(birds(), samples=2, topics=("mass", "energy", "cost"))
    assert set(again.streams) == set(listening.heard)


def test_a_part_of_its_own_leaves_the_other_lines_alone(again: Again) -> None:
    stream = streams_to_move(again)["default"]
    moved = again.changed(Narrowed({stream: 3.0}), {stream})
    before = again.changed(Narrowed(), ())
    same = [
        a is b
        for pack in moved.packs
        for a, b in zip(moved.packs[pack].cost_lines, before.packs[pack].cost_lines, strict=True)
    ]
    assert same.count(False) == 1


def test_nothing_evaluated_is_said() -> None:
    with pytest.raises(ValueError, match="nothing was evaluated"):
        Again.of(birds()).changed(Narrowed(), ())
