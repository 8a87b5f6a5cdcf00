"""What to measure next: shares of the variance."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.compare import compare
from lidoff.report.content.next import next_readings, shares_of_variance
from lidoff.report.content.story import Story

from .study_by_hand import ISSUED, findings, study


def test_shares_add_to_one_and_follow_the_variances() -> None:
    """For independent addends the share is u² over the sum of u² (JCGM 100:2008, 5.1.2)."""
    rng = np.random.default_rng(7)
    lines = {name: u * rng.standard_normal(200_000) for name, u in (("a", 3.0), ("b", 4.0))}
    shares = shares_of_variance(lines.items())
    assert sum(shares.values()) == pytest.approx(1.0, rel=1e-12)
    # 200,000 draws give the share of a variance to about half a percent.
    assert shares["a"] == pytest.approx(9.0 / 25.0, rel=0.02)


def test_lines_without_spread_have_no_share() -> None:
    assert shares_of_variance([("a", None)]) == {}
    assert shares_of_variance([("a", np.full(10, 2.0))]) == {}


def test_unweighed_lines_come_first() -> None:
    story = Story(study=study(), findings=findings(), comparison=compare(findings(), study()), issued=ISSUED)
    found = next_readings(story)
    assert found[0].missing and found[0].name == "Glue"
    rest = [n.share for n in found if not n.missing]
    assert rest == sorted(rest, reverse=True) and rest
