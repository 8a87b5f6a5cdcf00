"""Behaviour: somebody may draw instead of the streams, and nothing moves where nobody does."""

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.special import ndtr

from lidoff.quantities import Shape, Spread
from lidoff.quantities.draws import Kind, Samples, drawing, draws_key
from lidoff.quantities.sampling import normals, sample_spread

ONE = Spread(shape=Shape.NORMAL, u=1.0)


@dataclass(frozen=True)
class Fixed:
    """Draws the same standard number for one stream, in the form that is asked for."""

    stream: str
    z: float
    key: Hashable = "fixed"

    def standard(self, identity: str, kind: Kind, count: int, seed: int) -> Samples | None:
        if identity != self.stream:
            return None
        return np.full(count, self.z if kind is Kind.NORMAL else float(ndtr(self.z)))


@pytest.mark.parametrize(
    ("spread", "expected"),
    [
        (Spread(shape=Shape.NORMAL, u=0.5), 10.0 + 0.5),
        (Spread(shape=Shape.LOGNORMAL, u=0.5), 10.0 * np.exp(0.5)),
        # Bounds far out leave a truncated bell as it is.
        (Spread(shape=Shape.NORMAL, u=0.5, low=0.0, high=20.0), 10.0 + 0.5),
        (Spread(shape=Shape.UNIFORM, low=0.0, high=20.0), 20.0 * float(ndtr(1.0))),
        (Spread(shape=Shape.DISCRETE, choices=((1.0, 0.8), (2.0, 0.2))), 2.0),
        (Spread(shape=Shape.EXACT, shared=(("other", 1.0),)), 10.0),
    ],
    ids=["normal", "log-normal", "truncated", "uniform", "discrete", "shared"],
)
def test_one_standard_deviation_up(spread: Spread, expected: float) -> None:
    with drawing(Fixed("other" if spread.shared else "a", 0.0 if spread.shared else 1.0)):
        drawn = sample_spread(10.0, spread, "a", 3)
    # The truncated bell folds through two normal integrals; 1e-9 is their accuracy.
    assert drawn == pytest.approx(np.full(3, expected), rel=1e-9)


def test_other_streams_draw_for_themselves() -> None:
    alone = normals("b", 50)
    with drawing(Fixed("a", 1.0)):
        assert np.array_equal(normals("b", 50), alone)
        assert draws_key() == "fixed"
    assert draws_key() is None


def test_it_ends_where_the_block_ends_even_in_failure() -> None:
    before = sample_spread(0.0, ONE, "a", 5)
    with pytest.raises(ZeroDivisionError), drawing(Fixed("a", 1.0)):
        raise ZeroDivisionError
    assert np.array_equal(sample_spread(0.0, ONE, "a", 5), before)


def test_a_discrete_spread_draws_as_the_library_does() -> None:
    """The inverse of the summed probability is what numpy's weighted choice takes."""
    from lidoff.quantities.draws import stream

    choices = ((1.0, 0.25), (5.0, 0.5), (9.0, 0.25))
    drawn = sample_spread(5.0, Spread(shape=Shape.DISCRETE, choices=choices), "d", 300)
    theirs = stream("d").choice(np.array([1.0, 5.0, 9.0]), size=300, p=[0.25, 0.5, 0.25])
    assert np.array_equal(drawn, theirs)
