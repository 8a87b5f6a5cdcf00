"""Behaviour: units as benches write them."""

import subprocess
import sys
import time

import pytest

from lidoff.methods import books
from lidoff.prices import price_book, price_books
from lidoff.quantities import UnitError, convert, fits, parse_unit
from lidoff.quantities.compose import SIMPLE, compose
from lidoff.quantities.dimension import LENGTH, MASS, NUMBER
from lidoff.quantities.units import _by_library, _tidy


@pytest.mark.parametrize(
    ("value", "unit", "si"),
    [
        (1.0, "lb", 0.45359237),  # international avoirdupois pound, exact by definition (1959)
        (1.0, "in", 0.0254),  # exact by definition
        (1.0, "oz", 0.028349523125),  # 1/16 lb
        (1.0, "kWh", 3.6e6),
        (1.0, "Ah", 3600.0),
        (25.0, "°C", 298.15),
        (25.0, "degC", 298.15),
        (1.0, "l/min", 1e-3 / 60),
        (1.0, "N/mm²", 1e6),
        (1.0, "W/mK", 1.0),
        (2.4, "MOhm", 2.4e6),
        (23.5, "mOhm", 0.0235),
        (1.0, "Stk", 1.0),
        (5.0, "%", 0.05),
        (1.0, "g/pc", 1e-3),
        (1.0, "[mm]", 1e-3),
    ],
)
def test_unit_as_written(value: float, unit: str, si: float) -> None:
    assert parse_unit(unit).to_si(value) == pytest.approx(si, rel=1e-12)
    assert parse_unit(unit).from_si(si) == pytest.approx(value, rel=1e-12)


def test_milli_and_mega_are_not_confused() -> None:
    assert parse_unit("mOhm").factor == pytest.approx(1e-3, rel=1e-12)
    assert parse_unit("MOhm").factor == pytest.approx(1e6, rel=1e-12)


@pytest.mark.parametrize("text", ["furlongs/jiffy", "import os", "9**9**9", "1", "kg;rm", "", "x" * 100])
def test_nonsense_is_refused_or_a_plain_number(text: str) -> None:
    if not text:
        assert parse_unit(text).dimension == NUMBER
        return
    with pytest.raises(UnitError, match=r"unit"):
        parse_unit(text)


def test_conversion_between_dimensions_is_refused() -> None:
    with pytest.raises(UnitError, match="mm"):
        convert(1.0, "kg", "mm")


def test_money_keeps_currency_and_year() -> None:
    assert parse_unit("€/kg").money == "EUR"
    assert parse_unit("USD2024/h").money == "USD2024"
    assert parse_unit("money/part").money is None
    assert parse_unit("EUR/kg").dimension == parse_unit("money/kg").dimension


def test_counts_are_dimensions_that_may_be_left_unsaid() -> None:
    assert parse_unit("s/shot").dimension != parse_unit("s/part").dimension
    assert fits(parse_unit("kg"), parse_unit("kg/part").dimension)
    assert not fits(parse_unit("mm"), MASS)
    assert fits(parse_unit("inch"), LENGTH)


def test_temperature_and_difference_are_different_types() -> None:
    assert parse_unit("degC").dimension != parse_unit("K").dimension


def test_a_shot_is_a_count_alone_and_in_a_quotient() -> None:
    alone, per = parse_unit("shot").dimension, parse_unit("part/shot").dimension
    assert str(alone) == "shot"
    assert alone * per == parse_unit("part").dimension


def shipped_units() -> list[str]:
    """Every unit that the shipped books, price books and materials are written in."""
    found = set(SIMPLE)
    for book in books().values():
        lines = [*book.inputs.values(), *book.lines.values()]
        found |= {entry.unit.text for entry in lines}
        found |= {u.text for entry in lines for u in (entry.columns or {}).values() if u is not None}
    for name in price_books():
        prices = price_book(name)
        found |= {row.unit for row in prices.rows.values()}
        found |= {u for table in prices.tables.values() for u in table.columns.values() if u != "text"}
    return sorted(text for text in found if text)


@pytest.mark.parametrize("text", shipped_units())
def test_what_is_put_together_is_what_the_library_knows(text: str) -> None:
    own, known = parse_unit(text), _by_library(text, *_tidy(text))
    # Exact fractions against the library's floats: a few units of the last digit.
    assert own.factor == pytest.approx(known.factor, rel=1e-12)
    assert own.offset == pytest.approx(known.offset, rel=1e-12)
    assert (own.dimension, own.money) == (known.dimension, known.money)


@pytest.mark.parametrize(
    "text", ["1", "kg**99", "(kg", "kg)", "kg kg", "1*1", "m**x", "m//s", "", "kg**", "2*m"]
)
def test_what_is_no_simple_unit_is_left_to_the_library(text: str) -> None:
    assert compose(text) is None


def test_shipped_books_load_without_the_library() -> None:
    script = (
        "import sys; from lidoff.methods import books; from lidoff.prices import price_book; "
        "books(), price_book(); assert 'pint' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize(
    "text",
    [
        "m*9**9**9**9", "9^999999999 mm", "(9*9)^99999999 m", "m^9^9^9", "m^999999999", "m*(9)**99999999",
        "((((9*m)**99)**99)**99)**99", "mm*99999999 ** 99999999", "m^(9^99999999)", "m**-99999999",
    ],
)  # fmt: skip
def test_towers_of_powers_are_refused_at_once(text: str) -> None:
    began = time.monotonic()
    with pytest.raises(UnitError):
        parse_unit(text)
    assert time.monotonic() - began < 1.0


@pytest.mark.parametrize("text", ["(m/s)^2", "kg*m^2/s^2", "W/(m^2*K^4)", "V^0.5"])
def test_powers_that_units_have_are_read(text: str) -> None:
    assert parse_unit(text).factor > 0.0
