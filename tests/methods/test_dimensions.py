"""Behaviour of the dimension check."""

from __future__ import annotations

import pytest

from lidoff.methods import FormulaError, parse
from lidoff.methods.dimensions import (
    Kind,
    RowKind,
    TableKind,
    Truth,
    Zero,
    check_condition,
    check_value,
    kind_of,
)
from lidoff.quantities import parse_unit

_UNITS = {
    "a": "mm", "b": "m", "area": "mm^2", "f": "kN", "n": "", "warm": "degC", "cold": "degC",
    "step": "K", "price": "money/kg", "w": "kg/part", "count": "part", "shots": "shot",
}  # fmt: skip
_COLUMNS = {"name": None, "capacity": parse_unit("kN"), "rate": parse_unit("money/h")}
SCOPE: dict[str, Kind] = {
    **{name: parse_unit(unit).dimension for name, unit in _UNITS.items()},
    "presses": TableKind(_COLUMNS),
    "press": RowKind(_COLUMNS),
}


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("a + b", "m"),
        ("a*b - area", "m^2"),
        ("sqrt(area)", "m"),
        ("a^3/area", "m"),
        ("area^(1/2)", "m"),
        ("area^0.5 + 0", "m"),
        ("where(a > 0, a, 0)", "m"),
        ("max(0, a, b)", "m"),
        ("f/area", "MPa"),
        ("n^n", ""),
        ("price*w", "money/part"),
        ("warm - cold", "K"),
        ("warm + step", "degC"),
        ("step + warm", "degC"),
        ("warm - step/2", "degC"),
        ("max(warm, cold)", "degC"),
        ("where(warm > cold, warm, cold)", "degC"),
        ('quantity(25, "degC")', "degC"),
        ('number(warm, "degC") + number(warm, "K") + number(step, "K")', ""),
        ('number(f, "kN")*n', ""),
        ("press.rate", "money/s"),
        ("0", "kN"),
        ("2*pi", ""),
    ],
)
def test_accepts(text: str, unit: str) -> None:
    check_value(parse(text), SCOPE, parse_unit(unit))


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("a + area", "two sides of + disagree"),
        ("a + 1", "two sides of + disagree"),
        ("a - f", "two sides of - disagree"),
        ("count + shots", "two sides of + disagree"),
        ("exp(a)", "must be a plain number"),
        ("whole_up(count)", "must be a plain number"),
        ("a^n", "must be a constant"),
        ("n^a", "must be a plain number"),
        ("max(a, n)", "disagree"),
        ("where(a > 0, a, 1)", "branches of where() disagree"),
        ("where(a, a, b)", "a condition"),
        ("where(a > f, a, b)", "two sides of > disagree"),
        ("a < b", "a value is wanted"),
        ("(a < b) + 1", "a value is wanted"),
        ("a/0", "divides by the literal 0"),
        ("warm + cold", "cannot be added"),
        ("warm + 0", "literal 0"),
        ("warm*2", "multiplied or divided"),
        ("-warm", "negated"),
        ("abs(warm)", "made absolute"),
        ("sqrt(warm)", "under a root"),
        ("warm^2", "raised to a power"),
        ("step - warm", "taken from a difference"),
        ("where(warm > 0, 1, 2)", "literal 0"),
        ("where(warm > step, 1, 2)", "disagree"),
        ('number(step, "degC")', "cannot give"),
        ('number(a, "kN")', "cannot give"),
        ('number(a, "furlongs2x")', "unknown unit"),
        ('quantity(a, "mm")', "must be a plain number"),
        ("unheard + 1", "unknown name 'unheard'"),
        ("press.weight", "no column 'weight'"),
        ("press.name", "holds words"),
        ("a.real", "attribute access"),
        ("press + 1", "a row of a table"),
        ("presses*2", "a table"),
        ("pick(presses, capacity >= a)", "disagree"),
        ("pick(presses, a >= b)", "names no column"),
        ("pick(a, capacity >= f)", "looks in a table"),
        ("pick(presses, name == n)", "holds words"),
        ("a > 0 and b", "joins conditions"),
        ("where(not a, a, b)", "joins conditions"),
    ],
)
def test_refuses(text: str, reason: str) -> None:
    with pytest.raises(FormulaError) as told:
        check_value(parse(text), SCOPE, parse_unit("m"))
    assert reason in str(told.value)


def test_declared_unit_must_be_what_the_formula_gives() -> None:
    with pytest.raises(FormulaError, match=r"gives m\^2, but its unit is declared as 'kN'"):
        check_value(parse("a*b"), SCOPE, parse_unit("kN"))
    with pytest.raises(FormulaError, match="temperature on a scale"):
        check_value(parse("warm - cold"), SCOPE, parse_unit("degC"))


def test_a_pick_gives_a_row_and_a_comparison_a_truth() -> None:
    assert isinstance(kind_of(parse("pick(presses, capacity >= 1.25*f)"), SCOPE), RowKind)
    assert isinstance(kind_of(parse("a <= 2*b"), SCOPE), Truth)
    assert isinstance(kind_of(parse("0"), SCOPE), Zero)
    check_condition(parse("0 < a <= b"), SCOPE)
    with pytest.raises(FormulaError, match="a condition"):
        check_condition(parse("a"), SCOPE)


def test_a_name_that_is_both_column_and_line_is_refused() -> None:
    with pytest.raises(FormulaError, match="rename one"):
        kind_of(parse("pick(presses, capacity >= 1.25*f)"), {**SCOPE, "capacity": SCOPE["f"]})
