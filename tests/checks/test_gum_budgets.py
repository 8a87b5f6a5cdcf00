"""Published checks: examples of the GUM and of its first supplement as method books, through the engine.

JCGM 100:2008 (GUM) H.1 and H.2, JCGM 101:2008 (supplement 1) 9.2 to 9.4. Printed values are marked
"page" where they were seen in a published or public file and "memory" where they are recalled.
Inputs are put in as printed and not rounded further: with H.1's printed contributions and its printed
32 nm in place of the inputs the degrees of freedom come out as 17.5 instead of 16.7.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from lidoff.methods import Book, load_book
from lidoff.methods.budget import Budget, Estimate, budget, effective_dof
from lidoff.methods.fused import quick
from lidoff.quantities import Shape, Spread

BOOKS = Path(__file__).parents[1] / "data" / "books"
SAMPLES = 400_000
NM = 1e-9


def book(name: str) -> Book:
    return load_book(BOOKS / f"{name}.toml")


def normal(value: float, u: float, dof: float = math.inf) -> Estimate:
    return Estimate(value=value, spread=Spread(shape=Shape.NORMAL, u=u), dof=dof)


def flat(low: float, high: float) -> Estimate:
    return Estimate(value=(low + high) / 2.0, spread=Spread(shape=Shape.UNIFORM, low=low, high=high))


# -- JCGM 100:2008, H.1: end gauge -----------------------------------------------------------------

END_GAUGE = {
    "standard": normal(50.000623e-3, 25 * NM, 18),
    "mean": normal(215 * NM, 5.8 * NM, 24),
    "random": normal(0.0, 3.9 * NM, 5),
    "systematic": normal(0.0, 6.7 * NM, 8),
    "expansion": normal(11.5e-6, 1.2e-6),
    "theta": normal(-0.1, 0.41),
    "expansion_difference": normal(0.0, 0.58e-6, 50),
    "temperature_difference": normal(0.0, 0.029, 2),
}


@pytest.fixture(scope="module")
def gauge() -> Budget:
    return budget(book("gum_end_gauge"), END_GAUGE, "length", samples=SAMPLES)


def test_end_gauge_first_order(gauge: Budget) -> None:
    """Page: l = 50.000838 mm; contributions 25, 9.7, 2.9, 16.6 nm; u = 32 nm."""
    assert gauge.value == pytest.approx(50.000838e-3, abs=0.5e-9)  # half the last printed digit
    u = {part.name: part.u / NM for part in gauge.parts}
    assert u["standard"] == pytest.approx(25.0, abs=0.05)
    assert math.hypot(u["mean"], u["random"], u["systematic"]) == pytest.approx(9.7, abs=0.05)
    assert u["expansion_difference"] == pytest.approx(2.9, abs=0.05)
    # Printed 16.6; 50.000623 mm · 11.5e-6 · 0.029 is 16.675, so the print was cut off, not rounded.
    assert u["temperature_difference"] == pytest.approx(16.6, abs=0.1)
    assert gauge.u / NM == pytest.approx(32.0, abs=0.5)


def test_end_gauge_degrees_of_freedom(gauge: Budget) -> None:
    """Page: 16.7, taken as 16; t₉₉(16) = 2.92, U₉₉ = 93 nm. Memory: 25.6 for the difference alone."""
    # 16.645 from the printed inputs; the print carries on with rounded steps.
    assert gauge.dof == pytest.approx(16.7, rel=0.005)
    assert math.floor(gauge.dof) == 16
    assert gauge.factor(0.99) == pytest.approx(2.92, abs=0.005)
    low, high = gauge.interval(0.99)
    assert (high - low) / 2.0 / NM == pytest.approx(93.0, abs=0.5)
    difference = tuple(part for part in gauge.parts if part.name in ("mean", "random", "systematic"))
    # 25.45: the print takes 9.7² where the parts give 94.0.
    assert effective_dof(difference) == pytest.approx(25.6, rel=0.01)


def test_rounded_results_would_give_other_degrees_of_freedom(gauge: Budget) -> None:
    """The trap: 32⁴ / Σ uᵢ⁴/νᵢ over the printed 25, 9.7, 2.9 and 16.6 nm is 17.5, by hand from G.4.1."""
    lost = sum(u**4 / dof for u, dof in ((25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)))
    assert 32.0**4 / lost == pytest.approx(17.47, abs=0.005)
    assert gauge.dof != pytest.approx(32.0**4 / lost, rel=0.02)


def test_end_gauge_second_order(gauge: Budget) -> None:
    """Memory: 11.7 and 1.7 nm, u = 34 nm with them."""
    # l·u(δα)·u(θ) is 11.89 nm from the printed inputs; 11.7 follows only from inputs rounded further.
    assert gauge.pairs["theta", "expansion_difference"] / NM == pytest.approx(11.7, rel=0.02)
    assert gauge.pairs["expansion", "temperature_difference"] / NM == pytest.approx(1.7, abs=0.05)
    assert set(gauge.pairs) == {
        ("theta", "expansion_difference"),
        ("expansion", "temperature_difference"),
    }
    assert gauge.second / NM == pytest.approx(34.0, abs=0.5)


def test_end_gauge_first_order_is_told_to_miss_theta(gauge: Budget) -> None:
    """With δα = 0 the slope in θ is nothing, so first order gives θ no weight; the samples have 34 nm."""
    assert gauge.sampled is not None
    assert gauge.sampled.u == pytest.approx(gauge.second, rel=0.005)  # 4e5 samples: 0.1 %
    theta = next(part for part in gauge.parts if part.name == "theta")
    assert theta.u == 0.0
    # (11.89/33.91)² = 12.3 % of the variance goes with θ.
    assert any(text.startswith("theta: the slope") and "12 %" in text for text in gauge.warnings)
    assert any(text.startswith("length: first order gives") for text in gauge.warnings)


# -- JCGM 100:2008, H.2: correlated readings -------------------------------------------------------

VOLTAGE = (5.007, 4.994, 5.005, 4.990, 4.999)
CURRENT = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
PHASE = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)
READ = {"voltage": VOLTAGE, "current": CURRENT, "phase": PHASE}


def impedance(name: str, *, ignored: bool = False, samples: int = 0) -> Budget:
    """From the five observations (memory; they give the page's means, uncertainties and correlations)."""
    observed = np.array(list(READ.values()))
    u = observed.std(axis=1, ddof=1) / math.sqrt(5.0)
    r = np.corrcoef(observed)
    names = list(READ)
    pairs = {(names[i], names[j]): float(r[i, j]) for i in range(3) for j in range(i)}
    estimates = {n: normal(float(observed[k].mean()), float(u[k]), 4) for k, n in enumerate(names)}
    return budget(
        book("impedance"), estimates, name, correlations=None if ignored else pairs, samples=samples
    )


def test_the_observations_are_those_of_the_page() -> None:
    """Page: means 4.999, 19.661 mA, 1.04446; u 0.0032, 0.0095 mA, 0.00075; r −0.36, 0.86, −0.65."""
    observed = np.array(list(READ.values()))
    assert observed.mean(axis=1) == pytest.approx([4.9990, 19.6610e-3, 1.04446], rel=1e-9)
    u = observed.std(axis=1, ddof=1) / math.sqrt(5.0)
    assert u == pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.01)  # two printed digits
    r = np.corrcoef(observed)
    assert (r[0, 1], r[0, 2], r[1, 2]) == pytest.approx((-0.36, 0.86, -0.65), abs=0.005)


@pytest.mark.parametrize(
    ("line", "value", "u", "alone"),
    [("resistance", 127.732, 0.071, 0.195), ("reactance", 219.847, 0.295, 0.201),
     ("impedance", 254.260, 0.236, 0.204)],
)  # fmt: skip
def test_correlated_impedance(line: str, value: float, u: float, alone: float) -> None:
    """Memory: values and u; ``alone``, u with the correlations ignored, is worked out (5.1.2)."""
    found = impedance(line, samples=SAMPLES)
    assert found.value == pytest.approx(value, abs=0.0005)
    # Reactance is 0.29558 from the observations: printed as 0.295, a digit cut off.
    assert found.u == pytest.approx(u, abs=0.0007)
    assert impedance(line, ignored=True).u == pytest.approx(alone, abs=0.0006)
    assert found.sampled is not None and found.warnings == ()
    assert found.sampled.u == pytest.approx(found.u, rel=0.005)  # 4e5 samples: 0.1 %
    assert math.isnan(found.dof)


def test_correlations_of_the_results() -> None:
    """Memory: r(R,X) = −0.588, r(R,Z) = −0.485, r(X,Z) = 0.993, by the slopes of the three budgets."""
    observed = np.array(list(READ.values()))
    covariance = np.cov(observed) / 5.0
    slopes = np.array(
        [[p.slope for p in impedance(n).parts] for n in ("resistance", "reactance", "impedance")]
    )
    joint = slopes @ covariance @ slopes.T
    u = np.sqrt(np.diag(joint))
    r = joint / np.outer(u, u)
    assert (r[0, 1], r[0, 2], r[1, 2]) == pytest.approx((-0.588, -0.485, 0.993), abs=0.0006)


# -- JCGM 101:2008, 9.2: sums ----------------------------------------------------------------------

ROOT3 = math.sqrt(3.0)


@pytest.mark.parametrize(
    ("spreads", "u", "first", "sampled", "told"),
    [
        ([normal(0.0, 1.0)] * 4, 2.0, 3.92, 3.92, False),
        ([flat(-ROOT3, ROOT3)] * 4, 2.0, 3.92, 3.88, False),
        ([flat(-ROOT3, ROOT3)] * 3 + [flat(-10 * ROOT3, 10 * ROOT3)], 10.1, 19.9, 17.0, True),
    ],
    ids=["9.2.2 normal", "9.2.3 rectangular", "9.2.4 one wide"],
)
def test_sums(spreads: list[Estimate], u: float, first: float, sampled: float, told: bool) -> None:
    """Page: u 2.0, 2.0, 10.1 and ±3.88; memory: ±3.92, ±17.0, ±19.9."""
    found = budget(
        book("sum_of_four"), {f"x{n}": x for n, x in enumerate(spreads, start=1)}, "y", samples=SAMPLES
    )
    assert found.u == pytest.approx(u, abs=0.05)
    assert found.second == pytest.approx(found.u, rel=1e-6)  # a sum has no terms of the next order
    assert found.interval()[1] == pytest.approx(first, abs=0.05)
    assert found.sampled is not None
    # 4e5 samples leave about 0.3 % on the end of an interval.
    for low, high in (found.sampled.symmetric, found.sampled.shortest):
        assert (high, -low) == pytest.approx((sampled, sampled), rel=0.015)
    assert bool(found.warnings) is told


def test_exact_interval_of_four_rectangles() -> None:
    """±2√3·(2 − (3/5)^¼) = ±3.8794, exact (page, 9.2.3.2)."""
    estimates = {f"x{n}": flat(-ROOT3, ROOT3) for n in range(1, 5)}
    found = budget(book("sum_of_four"), estimates, "y", samples=4 * SAMPLES)
    assert found.sampled is not None
    exact = 2.0 * ROOT3 * (2.0 - (3.0 / 5.0) ** 0.25)
    assert found.sampled.symmetric[1] == pytest.approx(exact, rel=0.004)  # 1.6e6 samples: 0.1 %


# -- JCGM 101:2008, 9.3: mass calibration ----------------------------------------------------------

MG = 1e-6
WEIGHT = {
    "reference": normal(100_000 * MG, 0.050 * MG),
    "added": normal(1.234 * MG, 0.020 * MG),
    "air": flat(1.10, 1.30),
    "weight_density": flat(7000.0, 9000.0),
    "reference_density": flat(7950.0, 8050.0),
}


def test_mass_calibration() -> None:
    """First order 1.2340, u 0.0539 (page), [1.1285, 1.3395] (memory); with the next terms u 0.0750 (page);
    by sampling 1.2341, u 0.0754, shortest [1.0834, 1.3825] (memory).
    """
    found = budget(book("mass_calibration"), WEIGHT, "deviation", samples=4 * SAMPLES)
    assert found.value / MG == pytest.approx(1.2340, abs=0.00005)
    assert found.u / MG == pytest.approx(0.0539, abs=0.00006)
    assert [end / MG for end in found.interval()] == pytest.approx([1.1285, 1.3395], abs=0.0001)
    assert found.second / MG == pytest.approx(0.0750, abs=0.0001)
    assert found.sampled is not None
    assert found.sampled.mean / MG == pytest.approx(1.2341, abs=0.0003)  # u/√1.6e6 is 0.00006
    assert found.sampled.u / MG == pytest.approx(0.0754, rel=0.003)
    # Many intervals are nearly as short, so its ends stray together: by one per cent of its width.
    low, high = (end / MG for end in found.sampled.shortest)
    assert (low, high) == pytest.approx((1.0834, 1.3825), abs=0.003)
    assert high - low == pytest.approx(0.2991, rel=0.005)
    assert any(text.startswith("air: the slope") for text in found.warnings)
    assert any(text.startswith("deviation: first order") for text in found.warnings)


# -- JCGM 101:2008, 9.4: sum of squares ------------------------------------------------------------


@pytest.mark.parametrize(
    ("x1", "r", "first", "mean", "sd", "ends"),
    [
        (0.0, 0.0, (0.0, 0.0), 50.0, 50.0, (0.0, 150.0)),
        (0.050, 0.0, (2500.0, 500.0), 2551.0, 502.0, (1590.0, 3543.0)),
        (0.0, 0.9, (0.0, 0.0), 50.0, 67.0, (0.0, 185.0)),
    ],
)
def test_sum_of_squares(
    x1: float, r: float, first: tuple[float, float], mean: float, sd: float, ends: tuple[float, float]
) -> None:
    """Memory: values in 1e-6. Exact: mean x₁² + 2u², variance 4x₁²u² + 4u⁴(1 + r²)."""
    u = 0.005
    estimates = {"x1": normal(x1, u), "x2": normal(0.0, u)}
    found = budget(
        book("squares"),
        estimates,
        "loss",
        correlations={("x1", "x2"): r} if r else None,
        samples=4 * SAMPLES,
    )
    assert (found.value * 1e6, found.u * 1e6) == pytest.approx(first, abs=0.01)
    assert found.sampled is not None
    exact = x1**2 + 2 * u**2, math.sqrt(4 * x1**2 * u**2 + 4 * u**4 * (1 + r**2))
    assert (exact[0] * 1e6, exact[1] * 1e6) == pytest.approx((mean, sd), rel=0.006)  # printed whole
    # 1.6e6 samples of a distribution with a long tail: 0.1 % on the mean, 0.2 % on the deviation.
    assert (found.sampled.mean, found.sampled.u) == pytest.approx(exact, rel=0.006)
    # The shortest interval's ends stray: 10 of the last printed digits.
    assert [end * 1e6 for end in found.sampled.shortest] == pytest.approx(ends, abs=10.0)
    assert found.warnings
    if not r:
        second = math.sqrt(max(0.0, 4 * x1**2 * u**2) + 4 * u**4)
        assert found.second == pytest.approx(second, rel=1e-6)


def test_a_student_factor() -> None:
    """t₉₅(4) = 2.776 (any table of Student's t, from memory)."""
    found = budget(book("sum_of_four"), {"x1": normal(0.0, 1.0, 4)}, "y",
                   fixed={"x2": 0.0, "x3": 0.0, "x4": 0.0})  # fmt: skip
    assert found.factor() == pytest.approx(2.776, abs=0.0005)
    assert found.factor() == pytest.approx(float(stats.t.ppf(0.975, 4)), rel=1e-9)


def test_the_books_give_what_is_written_out_by_hand() -> None:
    inputs = {name: e.value for name, e in WEIGHT.items()}
    got = quick(book("mass_calibration"), inputs).values["deviation"]
    assert got == pytest.approx(1.234 * MG, rel=1e-6)
