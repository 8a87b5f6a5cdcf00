"""Whole numbers: the guard at 3.0000000000000004, and its limits."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.methods.functions import COMPARE, whole_down, whole_up


@pytest.mark.parametrize(
    ("x", "up", "down"),
    [
        (3.0, 3, 3),
        (3.0000000000000004, 3, 3),
        (2.9999999999999996, 3, 3),
        (0.1 * 3 / 0.1, 3, 3),
        (3.000001, 4, 3),
        (2.999999, 3, 2),
        (0.0, 0, 0),
        (1e-12, 0, 0),
        (0.4, 1, 0),
        (-0.5, 0, -1),
        (1234567.0000001, 1234567, 1234567),
        (1234567.5, 1234568, 1234567),
    ],
)
def test_guard(x: float, up: int, down: int) -> None:
    assert float(whole_up(x)) == up
    assert float(whole_down(x)) == down


def test_arrays_round_as_numbers_do() -> None:
    x = np.array([3.0000000000000004, 3.2, -1.7, 0.0])
    assert whole_up(x).tolist() == [float(whole_up(float(one))) for one in x]
    assert whole_down(x).tolist() == [float(whole_down(float(one))) for one in x]


def test_comparisons_take_what_lies_within_the_guard_for_equal() -> None:
    near, over = 630.0 * (1 + 1e-12), 630.0 * (1 + 1e-8)
    assert COMPARE[">="](630.0, near) and not COMPARE[">="](630.0, over)
    assert COMPARE["<="](near, 630.0) and not COMPARE["<="](over, 630.0)
    assert not COMPARE["<"](630.0, near) and COMPARE["<"](630.0, over)
    assert not COMPARE[">"](near, 630.0) and COMPARE[">"](over, 630.0)
    assert COMPARE["=="](near, 630.0) and not COMPARE["!="](near, 630.0)
    assert not COMPARE["=="](over, 630.0) and COMPARE["!="](over, 630.0)
    assert COMPARE["<"](1.0, np.inf) and not COMPARE[">="](1.0, np.inf)
    assert not any(compare(np.nan, 1.0) for compare in COMPARE.values())
