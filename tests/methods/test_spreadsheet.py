"""Spreadsheet text of formulas: brackets, units, guards; what it comes to is for LibreOffice to say."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

import pytest

from lidoff.methods import parse
from lidoff.methods.formula import Pick
from lidoff.methods.spreadsheet import (
    Held,
    cell_condition,
    cell_formula,
    converted,
    exact,
    overflow_condition,
    row_formula,
)
from lidoff.quantities import parse_unit

UNITS = {
    "length": "mm", "width": "mm", "long": "m", "shear": "MPa", "force": "kN", "price": "money/kg",
    "mass": "g", "warm": "degC", "cold": "degC", "step": "K", "share": "percent", "n": "", "m": "",
    "speed": "m/min",
}  # fmt: skip


@dataclass
class Sheet:
    """Every name is its own cell; the table "presses" has two columns."""

    def name(self, name: str) -> Held:
        return Held(name.upper(), parse_unit(UNITS[name]))

    def column(self, row: str, column: str) -> Held:
        return Held(f"{row}_{column}".upper(), parse_unit({"capacity": "kN", "rate": "money/h"}[column]))

    def cells(self, table: str, column: str) -> Held | None:
        units = {"capacity": "kN", "bed": "mm", "pull": "kN"}
        return Held(f"T!{column.upper()}", parse_unit(units[column])) if column in units else None


def written(formula: str, unit: str = "") -> str:
    return cell_formula(parse(formula), parse_unit(unit), Sheet())


@pytest.mark.parametrize(
    ("formula", "unit", "text"),
    [
        # Factors by hand: mm·mm·MPa = 1e-3·1e-3·1e6 N = N; kN needs /1000, MN/… and so on.
        ("length*width*shear", "N", "LENGTH*WIDTH*SHEAR"),
        ("length*width*shear", "kN", "LENGTH*WIDTH*SHEAR/1000"),
        ("length + width", "mm", "LENGTH+WIDTH"),
        ("long + length", "m", "LONG+LENGTH/1000"),
        ("length - (long - width)", "mm", "LENGTH-(LONG-WIDTH/1000)*1000"),
        ("long*width", "cm^2", "LONG*WIDTH*10"),
        ("price*mass", "money", "PRICE*MASS/1000"),
        ("length/speed", "s", "LENGTH/SPEED*0.06"),
        ("share*n", "", "SHARE*N/100"),
        ("sqrt(length*width)", "mm", "SQRT(LENGTH*WIDTH)"),
        ("number(length, \"mm\")*2", "", "LENGTH*2"),
        ("number(long, \"mm\")", "", "LONG*1000"),
        ("quantity(3, \"mm\") + long", "mm", "3+LONG*1000"),
        ("max(0, length - width)", "mm", "MAX(0,LENGTH-WIDTH)"),
        ("min(length, long)", "mm", "MIN(LENGTH,LONG*1000)"),
        ("abs(-length)", "mm", "ABS(-LENGTH)"),
        # A unary minus binds tighter than a power there, and powers join from the left.
        ("-n^2", "", "-(N^2)"),
        ("n^m^2", "", "N^(M^2)"),
        ("n^-m", "", "N^(-M)"),
        ("(n + m)^2", "", "(N+M)^2"),
        ("n - -m", "", "N-(-M)"),
        ("n - (m - 1)", "", "N-(M-1)"),
        ("n/(m*2)", "", "N/(M*2)"),
        ("length^2", "mm^2", "LENGTH^2"),
        ("length^2", "m^2", "LENGTH^2/1000000"),
        ("ln(length/long)", "", "LN(LENGTH/LONG/1000)"),
        ("pi*n", "", "PI()*N"),
        ("whole_up(n/m)", "", "-INT(-(N/M-1E-9*MAX(1,ABS(N/M))))"),
        ("whole_down(n)", "", "INT(N+1E-9*MAX(1,ABS(N)))"),
        # Temperatures on a scale: differences need no offset, kelvin does.
        ("warm - cold", "K", "WARM-COLD"),
        ("warm + step", "degC", "WARM+STEP"),
        ("number(warm, \"K\")", "", "WARM+273.15"),
        ("number(warm, \"degC\")", "", "WARM"),
        ("quantity(20, \"degC\")", "degC", "20"),
    ],
)  # fmt: skip
def test_formulas_are_written_with_their_changes_of_unit(formula: str, unit: str, text: str) -> None:
    assert written(formula, unit) == text


def test_conditions_carry_the_guard_on_their_left() -> None:
    sheet = Sheet()
    assert cell_condition(parse("n >= 2"), sheet) == "N+1E-9*ABS(N)>=2"
    assert cell_condition(parse("length <= long"), sheet) == "LENGTH-1E-9*ABS(LENGTH)<=LONG*1000"
    assert cell_condition(parse("n == m"), sheet) == "ABS(N-M)<=1E-9*ABS(N)"
    assert cell_condition(parse("n > 0 and not m < 1"), sheet) == "AND(N>0,NOT(M+1E-9*ABS(M)<1))"
    assert written("where(n > 0, length, 0)", "m") == "IF(N>0,LENGTH,0)/1000"
    # What may be an error there is no number here: the condition does not hold.
    assert cell_condition(parse("n/m >= 2"), sheet) == "IFERROR(N/M+1E-9*ABS(N/M)>=2,FALSE)"


def test_a_pick_is_the_first_row_that_satisfies_else_the_last() -> None:
    tree = parse("pick(presses, capacity >= force and bed >= long)")
    assert isinstance(tree, Pick)
    met = "(T!CAPACITY+1E-9*ABS(T!CAPACITY)>=FORCE)*(T!BED+1E-9*ABS(T!BED)>=LONG*1000)"
    assert row_formula(tree, Sheet()) == f"IFERROR(MATCH(1,{met},0),ROWS(T!BED))"
    assert overflow_condition(tree, Sheet()) == f"ISNA(MATCH(1,({met})*1,0))"


def test_over_the_rows_of_a_table_nothing_swallows_them() -> None:
    tree = parse("pick(presses, max(capacity, pull) >= force or not bed > long)")
    assert isinstance(tree, Pick)
    text = row_formula(tree, Sheet())
    assert "IF(T!CAPACITY>=T!PULL,T!CAPACITY,T!PULL)" in text and "MAX(" not in text
    assert re.search(r"\b(OR|AND|NOT)\(", text) is None


def test_a_cell_in_another_unit() -> None:
    assert converted(Held("Prices!C5", parse_unit("percent/year")), parse_unit("1/year")) == "Prices!C5/100"
    assert converted(Held("A1", parse_unit("degC")), parse_unit("K")) == "A1+273.15"
    assert converted(Held("A1", parse_unit("K")), parse_unit("degC")) == "A1-273.15"


@pytest.mark.parametrize(
    ("factor", "fraction"), [(0.001, (1, 1000)), (3600.0, (3600, 1)), (1 / 3600, (1, 3600))]
)
def test_factors_are_the_fractions_they_stand_for(factor: float, fraction: tuple[int, int]) -> None:
    assert exact(factor) == Fraction(*fraction)
