"""Behaviour: the same indices as SALib on the same sample, and what a sample must be."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from lidoff.evaluate.spread.sobol import indices, scrambled


def test_indices_equal_those_of_salib() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # SALib's own imports
        from SALib.analyze import sobol as peer

    columns, rows = 6, 256
    rng = np.random.default_rng(3)
    weights = rng.normal(size=columns)
    matrix = rng.random((rows, 2 * columns))
    a, b = matrix[:, :columns], matrix[:, columns:]

    def formula(inputs: np.ndarray) -> np.ndarray:
        return np.exp(inputs @ weights) + inputs[:, 0] * inputs[:, 1]

    moved = []
    for k in range(columns):
        ab = a.copy()
        ab[:, k] = b[:, k]
        moved.append(formula(ab))
    ab = np.stack(moved)
    interleaved = np.concatenate([formula(a)[:, None], ab.T, formula(b)[:, None]], axis=1).ravel()
    problem = {"num_vars": columns, "names": [f"x{n}" for n in range(columns)], "bounds": [[0, 1]] * columns}
    theirs = peer.analyze(problem, interleaved, calc_second_order=False, num_resamples=10, seed=1)
    ours = indices(formula(a), formula(b), ab, resamples=10)
    # As asked; both compute the same sums, so rounding alone is between them.
    np.testing.assert_allclose(ours.first, theirs["S1"], rtol=1e-9)
    np.testing.assert_allclose(ours.total, theirs["ST"], rtol=1e-9)


def test_without_spread_all_indices_are_zero() -> None:
    flat = np.full(64, 2.5)
    found = indices(flat, flat, np.stack([flat, flat]))
    assert found.variance == 0.0
    assert not found.first.any() and not found.total.any()


def test_a_sample_is_a_power_of_two_and_keeps_off_the_edges() -> None:
    design = scrambled(64, 3)
    assert design.a.shape == design.b.shape == (64, 3) and design.rows == 64
    both = np.concatenate([design.a, design.b])
    assert both.min() > 0.0 and both.max() < 1.0
    with pytest.raises(ValueError, match="power of two of rows, not 100"):
        scrambled(100, 3)
