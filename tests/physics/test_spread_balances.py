"""Physics: shares add up, agree with the samples and with full indices, and what packs share cancels."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from lidoff.evaluate import Findings, evaluate
from lidoff.evaluate.spread import Shares, Spreads, between, of_pack, spreads
from lidoff.exchange import read_bench
from lidoff.quantities import Basis, Reading
from lidoff.quantities.spread import by_division, normal
from lidoff.records import Item, Pack, Study

DATA = Path(__file__).parents[1] / "data"


def weighed(value: float, u: float = 0.0, scale: str | None = None) -> Reading:
    spread = normal(u) if scale is None else by_division(1e-4, 5e-4, value, scale)
    return Reading(value=value, unit="kg", basis=Basis.WEIGHED, spread=spread, instrument=scale)


def pack(name: str, *masses: Reading) -> Pack:
    items = tuple(
        Item(id=f"{name}-{n}", number=f"{n}", name=f"part {n}", mass=m) for n, m in enumerate(masses)
    )
    return Pack(id=name, name=name, items=items)


def looked_into(*packs: Pack) -> tuple[Study, Findings, Spreads]:
    study = Study(id="s", name="s", packs=packs)
    findings = evaluate(study, topics=("mass", "energy"), samples=2000)
    targets = [of_pack(findings, p.id, "mass_rolled") for p in packs]
    if len(packs) == 2:
        targets.append(between(findings, packs[0].id, packs[1].id, "mass_rolled"))
    return study, findings, spreads(study, findings, [t for t in targets if t is not None])


def test_shares_of_a_sum_go_by_the_squares() -> None:
    """u² = Σ u_i² for independent addends (JCGM 100:2008, 5.1.2): 3, 4, 12 of 13 grams."""
    _, _, found = looked_into(pack("a", weighed(5, 0.003), weighed(5, 0.004), weighed(5, 0.012)))
    shares = found.targets[0].shares
    assert np.sqrt(shares.variance) == pytest.approx(0.013, rel=1e-9)
    expected = [144 / 169, 16 / 169, 9 / 169]
    assert [s.share for s in shares.shares] == pytest.approx(expected, rel=1e-9)
    assert shares.follows == pytest.approx(1.0, rel=1e-9)
    assert abs(shares.rest) < 1e-9


def test_one_scale_cancels_in_the_difference_of_equal_packs() -> None:
    one, other = pack("a", weighed(5, scale="bench")), pack("b", weighed(5, scale="bench"))
    _, _, found = looked_into(one, other)
    stream = "instrument:bench"
    assert found.targets[0].shares.share(stream) > 0.99
    assert found.targets[2].shares.share(stream) == 0.0


def test_without_spread_there_are_no_shares() -> None:
    _, _, found = looked_into(pack("a", weighed(5), weighed(6)))
    shares = found.targets[0].shares
    assert (shares.variance, shares.shares, shares.rest) == (0.0, (), 0.0)
    assert found.targets[0].next == ()


def test_twice_the_spread_is_four_times_the_variance() -> None:
    narrow = looked_into(pack("a", weighed(5, 0.01), weighed(7, 0.02)))[2].targets[0].shares
    wide = looked_into(pack("a", weighed(5, 0.02), weighed(7, 0.04)))[2].targets[0].shares
    assert wide.variance == pytest.approx(4.0 * narrow.variance, rel=1e-9)
    assert [s.share for s in wide.shares] == pytest.approx([s.share for s in narrow.shares], rel=1e-9)


# -- a whole study -------------------------------------------------------------------------------


@cache
def birds() -> tuple[Study, Findings, Spreads]:
    packs = (
        read_bench(DATA / "heron.xlsx", pack_id="birds/heron").pack,
        read_bench(DATA / "marlin.csv", pack_id="birds/marlin").pack,
    )
    study = Study(id="birds", name="birds", packs=packs)
    findings = evaluate(study, samples=4000)
    first, second = findings.packs
    targets = [
        of_pack(findings, first, "cost_labour"),
        of_pack(findings, second, "cost_piece"),
        between(findings, first, second, "cost_piece"),
        between(findings, first, second, "mass_rolled"),
    ]
    found = spreads(study, findings, [t for t in targets if t is not None], with_indices=True, rows=512)
    return study, findings, found


def every() -> list[Shares]:
    return [one.shares for one in birds()[2].targets]


def test_shares_and_rest_add_up() -> None:
    assert len(every()) == 4
    for shares in every():
        assert sum(s.share for s in shares.shares) + shares.rest == pytest.approx(1.0, rel=1e-9)
        assert all(s.share > 0.0 for s in shares.shares)
        assert abs(shares.rest) < 0.25  # what inputs do together stays the smaller part here


def test_variance_is_that_of_the_samples() -> None:
    for shares in every():
        taken = shares.target.take(birds()[1])
        assert taken is not None
        # The samples' own variance is noisy, more so where the distribution has a long tail: the kurtosis
        # says by how much (standard error of a variance, sqrt((k - 1)/n)).
        deviations = (taken[1] - taken[1].mean()) / taken[1].std()
        noise = np.sqrt((np.mean(deviations**4) - 1.0) / deviations.size)
        assert abs(np.var(taken[1]) / shares.variance - 1.0) < 4.0 * noise


def test_quick_shares_are_first_order_indices() -> None:
    """Both answer for the same thing: the part of the variance that an input has by itself."""
    checked = 0
    for one in birds()[2].targets:
        assert one.indices is not None
        index = one.indices.indices
        for k, stream in enumerate(one.indices.streams[:5]):
            share = one.shares.share(stream)
            if share < 0.03:
                continue
            room = 0.5 * (index.first_high[k] - index.first_low[k])
            assert abs(share - index.first[k]) < 1.5 * room
            checked += 1
    assert checked >= 8


def test_total_is_not_below_first_order() -> None:
    for one in birds()[2].targets:
        assert one.indices is not None
        index = one.indices.indices
        room = 0.5 * (index.first_high - index.first_low)
        assert np.all(index.total >= index.first - 1.5 * room)
        assert index.first.sum() < 1.0 + 3.0 * np.sqrt(np.sum(room**2))


def test_nobody_promises_a_wider_interval() -> None:
    for one in birds()[2].targets:
        for proposal in one.next:
            assert 0.0 < proposal.narrows < 1.0 and 0.0 <= proposal.factor < 1.0
            assert proposal.high - proposal.low < one.shares.high - one.shares.low
