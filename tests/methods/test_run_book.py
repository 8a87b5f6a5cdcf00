"""Behaviour of running a book: missing inputs, ranges, defaults, picks, samples."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.methods import Table, read_book, run

BOOK = read_book(
    """\
title = "Trial"
topic = "trial"
outputs = ["burden", "safe_root"]

[inputs]
gauge = { unit = "mm", about = "sheet", range = [0.5, 8] }
length = { unit = "mm", about = "length" }
width = { unit = "mm", about = "width" }
perimeter = { unit = "mm", about = "cut edge", default = ["2*(length + width)", 100], spread = 0.3 }
shear = { unit = "MPa", about = "shear strength" }
warm = { unit = "degC", about = "melt", default = 250, range = [20, 400] }
cold = { unit = "degC", about = "mould", default = "warm - quantity(200, \\"K\\")" }
presses = { about = "presses", columns = { name = "text", capacity = "kN", rate = "money/h" } }

[[lines]]
name = "force"
unit = "kN"
formula = "perimeter*gauge*shear"

[[lines]]
name = "press"
formula = "pick(presses, capacity >= 1.25*force)"

[[lines]]
name = "burden"
unit = "money/h"
formula = "press.rate"

[[lines]]
name = "drop"
unit = "K"
formula = "warm - cold"

[[lines]]
name = "safe_root"
unit = "mm"
formula = "where(length > width, sqrt((length - width)*width), 0)"

[[limits]]
holds = "length >= width"
says = "Length is the longer side."
""",
    name="trial",
    file="trial.toml",
)
PRESSES = Table(
    columns={"capacity": np.array([20e3, 50e3, 100e3]), "rate": np.array([1.0, 2.0, 3.0])},
    words={"name": ("small", "middle", "large")},
)
GIVEN: dict[str, Any] = {"gauge": 1e-3, "length": 0.04, "width": 0.01, "shear": 300e6, "presses": PRESSES}


def test_computes_every_line_in_order() -> None:
    result = run(BOOK, GIVEN)
    assert result.values["force"] == pytest.approx(30e3, rel=1e-12)
    assert result.rows["press"].label == "middle"
    assert result.values["burden"] == 2.0
    assert result.values["drop"] == pytest.approx(200.0, rel=1e-12)
    assert (result.missing, result.warnings) == ({}, ())
    assert set(result.defaulted) == {"perimeter", "warm", "cold"}


def test_lines_without_their_inputs_are_listed_and_the_rest_computed() -> None:
    result = run(BOOK, {"gauge": 1e-3, "length": 0.04, "width": 0.01, "shear": None})
    assert result.missing["force"] == "needs shear (MPa)"
    assert result.missing["press"] == "needs presses, shear (MPa)"
    assert result.missing["burden"] == "needs presses, shear (MPa)"
    assert result.values["safe_root"] == pytest.approx(math.sqrt(0.03 * 0.01), rel=1e-12)


def test_a_default_takes_the_first_formula_that_can_be_had() -> None:
    assert run(BOOK, {"length": 0.2, "width": 0.1}).inputs["perimeter"] == pytest.approx(0.6, rel=1e-12)
    assert run(BOOK, {"length": 0.2}).inputs["perimeter"] == pytest.approx(0.1, rel=1e-12)
    assert run(BOOK, {"perimeter": 0.3}).defaulted == ("warm", "cold")


def test_outside_a_range_warns_with_name_value_and_unit() -> None:
    (warning,) = run(BOOK, GIVEN | {"gauge": 10e-3, "length": 0.01}).warnings[:1]
    assert warning == "gauge = 10 mm is outside its range, 0.5 to 8 mm"
    shares = run(BOOK, GIVEN | {"gauge": np.array([1e-3, 10e-3, 1e-3, 1e-3])}).warnings
    assert "gauge is outside its range in 25 % of samples, 0.5 to 8 mm" in shares
    assert run(BOOK, GIVEN | {"gauge": 8e-3, "shear": 1e7}).warnings == ()
    assert run(BOOK, {"warm": 293.15}).warnings == ()
    assert "warm = 10 °C is outside" in run(BOOK, {"warm": 283.15}).warnings[0]


def test_limits_warn_with_the_share_of_samples() -> None:
    assert run(BOOK, GIVEN | {"width": 0.05}).warnings[-1] == "Length is the longer side."
    some = run(BOOK, GIVEN | {"width": np.array([0.05, 0.01])}).warnings
    assert "Length is the longer side. (50 % of samples)" in some


def test_pick_at_the_edge_takes_the_row_that_just_satisfies() -> None:
    edge = 50e3 / 1.25 / 300e6 / 1e-3
    for factor in (1 - 1e-8, 1 - 1e-12, 1.0, 1 + 1e-12):  # the guard: rounding decides no machine
        assert run(BOOK, GIVEN | {"perimeter": edge * factor}).rows["press"].label == "middle"
    assert run(BOOK, GIVEN | {"perimeter": edge * (1 + 1e-8)}).rows["press"].label == "large"


def test_pick_overflow_takes_the_last_row_and_warns() -> None:
    result = run(BOOK, GIVEN | {"perimeter": 1.0})
    assert result.values["burden"] == 3.0
    assert "press: no row of presses is enough; its last row is taken" in result.warnings
    some = run(BOOK, GIVEN | {"perimeter": np.array([0.1, 0.1, 0.1, 1.0])})
    assert "press: no row of presses is enough in 25 % of samples; its last row is taken" in some.warnings
    assert np.asarray(some.values["burden"]).tolist() == [2.0, 2.0, 2.0, 3.0]


def test_pick_is_per_sample_and_its_columns_may_be_samples() -> None:
    rates = np.array([[1.0, 10.0], [2.0, 20.0], [3.0, 30.0]])
    table = Table(columns={"capacity": PRESSES.columns["capacity"], "rate": rates})
    result = run(BOOK, GIVEN | {"presses": table, "perimeter": np.array([0.04, 0.2])})
    assert np.asarray(result.values["burden"]).tolist() == [1.0, 30.0]
    fixed = run(BOOK, GIVEN | {"presses": table})
    assert np.asarray(fixed.values["burden"]).tolist() == [2.0, 20.0]


def test_a_masked_branch_neither_raises_nor_leaks() -> None:
    """sqrt of a negative number stands in the branch that is not taken."""
    result = run(BOOK, {"length": np.array([0.01, 0.02]), "width": np.array([0.02, 0.02])})
    assert np.asarray(result.values["safe_root"]).tolist() == [0.0, 0.0]


def test_a_result_that_is_no_number_is_told() -> None:
    book = read_book(
        'title="t"\ntopic="t"\n[inputs]\nx={unit="",about="x"}\n[[lines]]\nname="y"\nunit=""\nformula="ln(x)"\n',
        name="t", file="t.toml",
    )  # fmt: skip
    result = run(book, {"x": -1.0})
    assert "y" not in result.values
    assert result.missing["y"] == "has no finite value for these inputs"
    assert result.warnings == ("y has no finite value",)
    some = run(book, {"x": np.array([1.0, -1.0])})
    assert some.warnings == ("y has no finite value in 50 % of samples",)


def test_defaults_are_spread_by_the_caller() -> None:
    asked: list[tuple[str, float, float]] = []

    def draw(name: str, nominal: Any, spread: float) -> Any:
        asked.append((name, float(nominal), spread))
        return nominal * np.array([0.5, 1.0, 2.0]) if name == "perimeter" else None

    result = run(BOOK, GIVEN, draw=draw)
    assert np.asarray(result.values["force"]) == pytest.approx(np.array([15e3, 30e3, 60e3]), rel=1e-12)
    assert ("perimeter", 0.1, 0.3) in asked
    assert {name for name, _, _ in asked} == {"perimeter", "warm", "cold"}


@pytest.mark.parametrize("bad", [math.nan, math.inf, np.array([1.0, math.nan]), "1 mm", [[1], [2, 3]]])
def test_a_value_that_is_no_number_is_refused(bad: Any) -> None:
    with pytest.raises(ValueError, match="gauge"):
        run(BOOK, {"gauge": bad})


def test_an_unknown_input_or_a_wrong_table_is_refused() -> None:
    with pytest.raises(ValueError, match="no input 'gage'"):
        run(BOOK, {"gage": 1.0})
    with pytest.raises(ValueError, match="presses wants a table"):
        run(BOOK, {"presses": 1.0})
    with pytest.raises(ValueError, match="no rate"):
        run(BOOK, {"presses": Table(columns={"capacity": np.array([1.0])})})


positive = st.floats(1e-4, 10.0)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(positive, positive, positive), min_size=2, max_size=5))
def test_samples_give_what_single_numbers_give(cases: list[tuple[float, float, float]]) -> None:
    gauge, length, width = (np.array(column) for column in zip(*cases, strict=True))
    together = run(BOOK, GIVEN | {"gauge": gauge, "length": length, "width": width})
    for n in range(len(cases)):
        alone = run(BOOK, GIVEN | {"gauge": gauge[n], "length": length[n], "width": width[n]})
        for name, value in together.values.items():
            one = float(np.broadcast_to(value, len(cases))[n])
            assert one == pytest.approx(float(alone.values[name]), rel=1e-13, abs=1e-300), name
