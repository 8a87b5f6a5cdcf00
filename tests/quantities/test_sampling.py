"""Behaviour: one stream a reading; spreads within their bounds."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.quantities import Basis, Reading, Shape, Spread
from lidoff.quantities.defaults import default_spread
from lidoff.quantities.sampling import normals, sample, sample_spread


def reading(value: float, spread: Spread) -> Reading:
    return Reading(value=value, unit="kg", basis=Basis.WEIGHED, spread=spread)


def test_a_stream_belongs_to_its_id() -> None:
    spread = Spread(shape=Shape.NORMAL, u=1.0)
    first = sample(reading(5.0, spread), "a.mass", 500)
    assert np.array_equal(first, sample(reading(5.0, spread), "a.mass", 500))
    assert abs(np.corrcoef(first, sample(reading(5.0, spread), "b.mass", 500))[0, 1]) < 0.2


def test_more_samples_extend_the_same_stream() -> None:
    assert np.array_equal(normals("a", 100), normals("a", 1000)[:100])


def test_a_shared_stream_moves_two_readings_together() -> None:
    spread = Spread(shape=Shape.NORMAL, u=0.0, shared=(("instrument:big scale", 1.0),))
    a, b = (sample(reading(10.0, spread), name, 2000) for name in ("a", "b"))
    assert np.array_equal(a, b)
    assert np.std(a - b) == 0.0


def test_an_exact_reading_does_not_spread() -> None:
    assert set(sample(reading(3.0, Spread()), "n", 10)) == {3.0}


@settings(max_examples=60, deadline=None)
@given(
    value=st.floats(0.1, 100.0),
    u=st.floats(0.001, 200.0),
    shape=st.sampled_from([Shape.NORMAL, Shape.LOGNORMAL]),
)
def test_truncated_spread_stays_inside(value: float, u: float, shape: Shape) -> None:
    spread = Spread(shape=shape, u=u, low=value * 0.5, high=value * 1.5)
    drawn = sample_spread(value, spread, "t", 400)
    assert np.all(np.isfinite(drawn))
    assert drawn.min() >= value * 0.5 * (1 - 1e-9) and drawn.max() <= value * 1.5 * (1 + 1e-9)


def test_discrete_spread_takes_its_choices() -> None:
    spread = Spread(shape=Shape.DISCRETE, choices=((1.0, 0.25), (2.0, 0.75)))
    drawn = sample_spread(2.0, spread, "d", 4000)
    assert set(drawn) == {1.0, 2.0}
    assert np.mean(drawn == 2.0) == pytest.approx(0.75, rel=0.05)  # 4000 draws: 3 sigma is 2.7 %


def test_bounds_missing_is_said() -> None:
    with pytest.raises(ValueError, match="both bounds"):
        sample_spread(1.0, Spread(shape=Shape.UNIFORM), "x", 5)


def test_counted_is_exact_and_estimated_never_negative() -> None:
    assert default_spread(12.0, Basis.COUNTED).shape is Shape.EXACT
    drawn = sample_spread(0.1, default_spread(0.1, Basis.ASSUMED), "e", 5000)
    assert drawn.min() > 0.0
