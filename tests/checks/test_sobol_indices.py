"""Published check: indices of the Ishigami and G functions, through method books and the study's own path.

Ishigami & Homma 1990 (Proc. ISUMA '90, IEEE, 398-403), with a = 7 and b = 0.1: the indices follow in
closed form, V = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2. The G function with a = (0, 1, 4.5, 9, 99, 99, 99, 99) as
in Saltelli et al. 2010 (DOI 10.1016/j.cpc.2009.09.018): V_i = 1/(3 (1 + a_i)²), V = Π(1 + V_i) − 1.
The closed forms were worked out again here from the definitions.
"""

import math
from pathlib import Path

import numpy as np
import pytest

from lidoff.evaluate.spread.indices import BookModel, Sobol, sobol
from lidoff.evaluate.spread.sobol import scrambled
from lidoff.methods import load_book
from lidoff.quantities.spread import between

BOOKS = Path(__file__).parents[1] / "data" / "books"
ROWS = 2**16


def through_the_engine(name: str, low: float, high: float, inputs: int) -> Sobol:
    flat = {f"x{n}": ((low + high) / 2.0, between(low, high)) for n in range(1, inputs + 1)}
    model = BookModel(load_book(BOOKS / f"{name}.toml"), flat, ["y"])
    return sobol(model, model.streams, scrambled(ROWS, inputs), resamples=100)[0]


@pytest.fixture(scope="module")
def ishigami() -> Sobol:
    return through_the_engine("ishigami", -math.pi, math.pi, 3)


@pytest.fixture(scope="module")
def g_function() -> Sobol:
    return through_the_engine("sobol_g", 0.0, 1.0, 8)


def test_ishigami_variance(ishigami: Sobol) -> None:
    a, b = 7.0, 0.1
    exact = a**2 / 8 + b * math.pi**4 / 5 + b**2 * math.pi**8 / 18 + 0.5
    assert exact == pytest.approx(13.844587940719254, rel=1e-12)  # as tabulated
    # 65,536 rows of a scrambled sequence give the variance to a few parts in ten thousand.
    assert ishigami.indices.variance == pytest.approx(exact, rel=2e-3)


def test_ishigami_indices(ishigami: Sobol) -> None:
    found = ishigami.indices
    # The estimators were seen to err by about 1e-5 at this many rows; 2e-3 leaves room for the seed.
    assert found.first[:2] == pytest.approx([0.31390519114781146, 0.4424111447900409], rel=2e-3)
    assert found.total == pytest.approx([0.5575888552, 0.4424111448, 0.2436836641], rel=2e-3)
    # Zero has no relative tolerance: the third input does nothing by itself.
    assert abs(found.first[2]) < 1e-3


def test_g_function_indices(g_function: Sobol) -> None:
    a = np.array([0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0])
    parts = 1.0 / (3.0 * (1.0 + a) ** 2)
    variance = float(np.prod(1.0 + parts) - 1.0)
    assert variance == pytest.approx(0.4654244319, rel=1e-9)  # as tabulated
    first, total = parts / variance, parts * np.prod(1.0 + parts) / (1.0 + parts) / variance
    assert first[:4] == pytest.approx([0.716192, 0.179048, 0.023676, 0.007162], rel=1e-4)
    found = g_function.indices
    assert found.variance == pytest.approx(variance, rel=5e-3)
    assert found.first[:3] == pytest.approx(first[:3], rel=0.01)
    assert found.total[:4] == pytest.approx(total[:4], rel=0.01)
    # The last four carry a ten thousandth each.
    assert np.all(np.abs(found.first[4:]) < 1e-3) and np.all(found.total[4:] < 1e-3)


@pytest.mark.parametrize("name", ["ishigami", "g_function"])
def test_intervals_hold_the_exact_index(name: str, request: pytest.FixtureRequest) -> None:
    """The bootstrap's intervals are not narrower than the error there is: first and largest input."""
    found = request.getfixturevalue(name).indices
    exact = {"ishigami": 0.31390519, "g_function": 0.716192}[name]
    assert found.first_low[0] < exact < found.first_high[0]
    assert found.total_low[0] < found.total[0] < found.total_high[0]
