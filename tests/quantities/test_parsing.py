"""Behaviour: quantities as benches write them. The expected values are what a person reads in the text."""

from __future__ import annotations

import math
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.quantities.numbers import decimal_mark, read_number
from lidoff.quantities.parsing import Parsed, QuantityError, parse_quantity, scan


def one(text: str, decimal: str | None = None) -> Parsed:
    found = parse_quantity(text, decimal=decimal)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("text", "values", "unit"),
    [
        ("1.2 kg", (1.2,), "kg"),
        ("~450", (450.0,), ""),
        ("ca. 4300", (4300.0,), ""),
        ("approx 60 deg, one side", (60.0,), "deg"),
        ("14.79 lb", (14.79,), "lb"),
        ("1,630.0", (1630.0,), ""),
        ("1.234,5", (1234.5,), ""),
        ("1.234.567,8", (1234567.8,), ""),
        ("1'630", (1630.0,), ""),
        ("1\u00a0630", (1630.0,), ""),
        ("41 280 km", (41280.0,), "km"),
        ("2,2", (2.2,), ""),
        (".5 mm", (0.5,), "mm"),
        ("62x", (62.0,), "part"),
        ("11 off", (11.0,), "part"),
        ("48 Stück", (48.0,), "part"),
        ("2560 x 1350 x 128 mm", (2560.0, 1350.0, 128.0), "mm"),
        ("2143x700x161", (2143.0, 700.0, 161.0), ""),
        ("1,978 × 700 × 155", (1978.0, 700.0, 155.0), ""),
        ("8.6 8.9 9.4 8.8 9.1", (8.6, 8.9, 9.4, 8.8, 9.1), ""),
        ("112 121 118", (112.0, 121.0, 118.0), ""),
        ("2.4 / 3.1 MOhm at 500 V", (2.4, 3.1), "Mohm"),
        ("−3 °C", (-3.0,), "degC"),
        ("9, in parallel", (9.0,), ""),
        ("42 mm of 70", (42.0,), "mm"),
        ("4 hand screws", (4.0,), ""),
        ('1 1/2"', (1.5,), "inch"),
        ("12 l/min", (12.0,), "l/min"),
        ("505g", (505.0,), "g"),
        ("1e3 g", (1000.0,), "g"),
    ],
)
def test_reads_what_is_written(text: str, values: tuple[float, ...], unit: str) -> None:
    found = one(text)
    assert (found.values, found.unit) == (values, unit)


@pytest.mark.parametrize(
    ("text", "value", "low", "high"),
    [
        ("0.78-0.82", 0.80, 0.78, 0.82),
        ("0,78–0,82 mm", 0.80, 0.78, 0.82),
        ("0.3 - 0.8 mm, nominal .5", 0.5, 0.3, 0.8),
        ("5 to 7 Nm", 6.0, 5.0, 7.0),
        ("zwischen 5 bis 7 Nm", 6.0, 5.0, 7.0),
    ],
)
def test_a_range_keeps_both_ends(text: str, value: float, low: float, high: float) -> None:
    found = one(text)
    assert (found.value, found.low, found.high) == pytest.approx((value, low, high), rel=1e-12)


def test_what_qualifies_a_number_is_kept() -> None:
    assert one("1.1 W/mK +/- 0.15").plus_minus == 0.15
    assert one("1.2 kg ± 5 g").plus_minus == pytest.approx(0.005, rel=1e-12)
    measured = one("4.72 Ah (n=6, sd .03)")
    assert (measured.value, measured.count, measured.deviation) == (4.72, 6, 0.03)
    assert one("< 5").bound == "<" and one("max. 5 Nm").bound == "<"
    assert one("etwa 5 g").approximate and not one("5 g").approximate


def test_compound_quantities_are_one() -> None:
    """16 oz are one pound, 12 in one foot: by definition."""
    assert one("2 lb 4 oz").value == pytest.approx(2.25, rel=1e-12)
    assert one("5 ft 3 in").value == pytest.approx(5.25, rel=1e-12)
    assert one("1 h 30 min").value == pytest.approx(1.5, rel=1e-12)


def test_sizes_may_change_their_unit_on_the_way() -> None:
    assert one("6,3 m x 14 mm x 6 mm").values == pytest.approx((6.3, 0.014, 0.006), rel=1e-12)


def test_several_quantities_of_a_label_are_apart() -> None:
    assert [(g.value, g.unit) for g in scan("391 V   74 kWh")] == [(391.0, "V"), (74.0, "kWh")]
    assert [(g.value, g.unit) for g in scan("10 off = 71 g")] == [(10.0, "part"), (71.0, "g")]


def test_a_lone_group_of_three_is_read_by_habit_and_unsure_without() -> None:
    assert one("1,630", ".").value == 1630.0 and one("1,630", ",").value == 1.63
    unsure = one("1,630")
    assert {unsure.value, *unsure.alternatives} == {1630.0, 1.63}
    assert one("0,630").value == 0.63 and not one("0,630").alternatives


@pytest.mark.parametrize("text", ["1e400", "-1e400", "nan", "inf kg", "-Infinity", "unendlich"])
def test_what_is_no_finite_number_is_refused_by_name(text: str) -> None:
    with pytest.raises(QuantityError, match="finite") as caught:
        parse_quantity(text)
    assert text.split()[0].lstrip("-") in str(caught.value)


@pytest.mark.parametrize("text", ["", "see front page", "M6x16", "IMG_2240", "A-B"])
def test_no_number_is_none(text: str) -> None:
    assert parse_quantity(text) is None


def test_the_habit_of_a_file_is_found_from_its_other_numbers() -> None:
    assert decimal_mark(["2,2", "1.630", "9900"]) == ","
    assert decimal_mark(["2.2", "1,630", "668"]) == "."
    assert decimal_mark(["1,630.0"]) == "." and decimal_mark(["1.630,0"]) == ","
    assert decimal_mark(["1,630", "2.480"]) is None


@given(
    st.floats(min_value=-1e9, max_value=1e9, allow_nan=False), st.integers(0, 2), st.sampled_from([".", ","])
)
def test_a_number_written_either_way_is_read_back(value: float, decimals: int, mark: str) -> None:
    """With and without grouped thousands, in the convention of its mark."""
    plain = f"{value:.{decimals}f}"
    grouped = f"{value:,.{decimals}f}"
    expected = float(plain)
    swap = str.maketrans({".": ",", ",": "."}) if mark == "," else {}
    for text in (plain, grouped):
        assert read_number(text.translate(swap), mark).value == expected


@given(st.text(alphabet=string.printable + "äöü×–±~µΩ\u00a0'", max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        groups = scan(text)
    except QuantityError as error:
        assert "\n" not in str(error).strip()
        return
    assert all(math.isfinite(v) for g in groups for v in g.values)
    assert all(g.low is None or (g.high is not None and g.low <= g.high) for g in groups)
