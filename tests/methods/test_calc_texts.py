"""Behaviour of calculating one method from texts."""

from __future__ import annotations

import pytest

from lidoff.methods import books, read_book
from lidoff.methods.calc import CalcError, calc

BOOK = read_book(
    """\
title = "Cut"
topic = "trial"
outputs = ["force", "cost"]
[inputs]
gauge = { unit = "mm", about = "sheet", range = [0.5, 8] }
perimeter = { unit = "mm", about = "edge", default = 100, spread = 0 }
shear = { unit = "MPa", about = "shear strength", from = "material.shear_strength" }
wage = { unit = "money/h", about = "wage", from = "price.wage.production" }
time = { unit = "s/part", about = "time a part" }
share = { unit = "", about = "share", default = 1 }
parts_year = { unit = "part/year", about = "parts", from = "route.parts_year" }
[inputs.presses]
about = "presses"
from = "table:machines.press_progressive"
columns = { capacity = "kN", rate = "money/h" }
[[lines]]
name = "force"
unit = "kN"
formula = "perimeter*gauge*shear*share"
[[lines]]
name = "cost"
unit = "money/part"
formula = "wage*time"
[[lines]]
name = "press"
formula = "pick(presses, capacity >= force)"
[[lines]]
name = "rate"
unit = "money/h"
formula = "press.rate"
""",
    name="cut",
    file="cut.toml",
)


def test_values_with_units_and_a_material() -> None:
    answer = calc(BOOK, {"gauge": "1.5mm", "perimeter": "10 cm", "material": "steel", "time": "2 s"})
    assert answer.outputs["force"] == (pytest.approx(100 * 1.5 * 276 / 1000, rel=1e-9), "kN")
    value, unit = answer.outputs["cost"]
    assert unit == "EUR/part"
    assert value == pytest.approx(33.9 * 2 / 3600, rel=0.01)
    assert answer.missing == {}
    assert any("shear = 276 MPa" in text for text in answer.taken)
    assert any("wage = 33.9 money/h (price:wage.production)" in text for text in answer.taken)
    assert any(text.startswith("share = 1 (estimated)") for text in answer.taken)
    assert any(text.startswith("parts_year = 100,000 part/year (scenario)") for text in answer.taken)


def test_what_is_not_given_is_listed_and_the_rest_is_computed() -> None:
    answer = calc(BOOK, {"time": "2 s/part"})
    assert set(answer.outputs) == {"cost"}
    assert answer.missing["force"] == "needs gauge (mm), shear (MPa)"


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"gage": "1 mm"}, "cut has no input 'gage'; did you mean gauge?"),
        ({"xyzzy": "1"}, "cut has no input 'xyzzy'; it takes gauge"),
        ({"gauge": "1.5"}, "gauge: '1.5' has no unit: write it in mm, such as '1.5 mm'"),
        ({"gauge": "1.5 kg"}, "gauge: '1.5 kg' is in kg, but mm is wanted"),
        ({"gauge": "1.5 flurb"}, "gauge: unknown unit 'flurb'"),
        ({"gauge": "thick"}, "gauge: 'thick' does not begin with a number"),
        ({"gauge": "nan mm"}, "gauge: 'nan mm' is not a finite number"),
        ({"gauge": "1e999 mm"}, "gauge: '1e999 mm' is not a finite number"),
        ({"share": "5 mm"}, "share: '5 mm' is in m, but a plain number is wanted"),
        ({"presses": "3"}, "presses is a table of the price book"),
        ({"material": "unobtainium"}, "material 'unobtainium' is not known"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_sentence(given: dict[str, str], says: str) -> None:
    with pytest.raises(CalcError) as told:
        calc(BOOK, given)
    assert says in str(told.value)
    assert "\n" not in str(told.value)


def test_outside_a_range_warns() -> None:
    answer = calc(BOOK, {"gauge": "-1 mm", "material": "steel"})
    assert answer.warnings[0] == "gauge = -1 mm is outside its range, 0.5 to 8 mm"


def test_a_share_may_be_given_in_percent() -> None:
    one = calc(BOOK, {"gauge": "1 mm", "material": "steel", "share": "50 %"})
    assert one.outputs["force"][0] == pytest.approx(100 * 276 / 2000, rel=1e-9)


def test_every_shipped_book_answers_to_nothing_given() -> None:
    for book in books().values():
        answer = calc(book, {})
        assert set(answer.outputs) | set(answer.missing) >= set(book.outputs)
