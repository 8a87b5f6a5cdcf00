"""How numbers are printed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.pictures.numbers import (
    MINUS,
    THIN,
    by_interval,
    decimals_for,
    number,
    percent,
    reading_scale,
    shown_money,
    span,
    unit_text,
)


@pytest.mark.parametrize(
    ("value", "error", "printed"),
    [
        # Particle Data Group, Review of Particle Physics, introduction, rounding rule (from memory):
        # 0.827 ± 0.119 is printed 0.83 ± 0.12, and 0.827 ± 0.367 is printed 0.8 ± 0.4.
        (0.827, 0.119, ("0.83", "0.12")),
        (0.827, 0.367, ("0.8", "0.4")),
        # The same rule's edges: 354 keeps two digits, 355 one, 950 rounds up to two digits.
        (10.0, 0.354, ("10.00", "0.35")),
        (10.0, 0.355, ("10.0", "0.4")),
        (10.0, 0.0955, ("10.00", "0.10")),
        (1234.0, 20.0, ("1234", "20")),
        (1234.0, 50.0, ("1230", "50")),
    ],
)
def test_published_rounding_rule(value: float, error: float, printed: tuple[str, str]) -> None:
    decimals = decimals_for(error)
    assert (number(value, decimals), number(error, decimals)) == printed


@given(st.floats(1e-6, 1e9), st.floats(1e-6, 1e6))
def test_no_digit_finer_than_a_tenth_of_the_interval(value: float, half: float) -> None:
    step = 10.0 ** -decimals_for(half)
    assert half / 36.0 <= step <= half * 3.0


def test_minus_thin_space_and_sign() -> None:
    assert number(-1234567.4) == f"{MINUS}1{THIN}234{THIN}567"
    assert number(1234.0) == "1234"
    assert number(100000.0) == f"100{THIN}000"
    assert number(2.0, 1, signed=True) == "+2.0"
    assert number(-0.04, 1) == "0.0"
    assert number(0.0, signed=True) == "0"


def test_missing_is_a_word_and_never_a_number() -> None:
    assert number(None) == "missing"
    assert by_interval(None, None, None) == "missing"
    assert percent(None) == "missing"


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_a_number_that_is_not_finite_is_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="not finite"):
        number(bad)


def test_an_interval_without_width_is_exact() -> None:
    assert span(4.0, 4.0) == "exact"
    assert span(None, None) == "no interval"
    assert by_interval(4320.0, 4320.0, 4320.0) == "4320"


def test_a_share_is_not_rounded_to_all_or_nothing() -> None:
    assert percent(0.999).startswith("over 99")
    assert percent(0.004).startswith("under 1")
    assert percent(1.0) == f"100{THIN}%"
    assert percent(0.0) == f"0{THIN}%"


def test_money_carries_currency_and_year() -> None:
    assert unit_text("EUR2024/kWh") == "€/kWh (2024)"
    assert unit_text("EUR") == "€"
    assert unit_text("W/(m*K)") == "W/(m·K)"
    scaled = reading_scale(2.1e6, "EUR2024")
    assert (scaled.factor, scaled.unit) == (1e6, "M€ (2024)")
    assert reading_scale(99.0, "EUR2024").factor == 1.0
    assert reading_scale(5e6, "kg").factor == 1.0


def test_money_keeps_sense_at_every_size() -> None:
    assert shown_money(1234.5) == "1234"
    assert shown_money(12.3) == "12.30"
    assert shown_money(0.0123) == "0.012"
