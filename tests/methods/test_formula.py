"""Behaviour of the formula language: what it reads, and everything else refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.methods import FormulaError, parse
from lidoff.methods.calculate import compiled
from lidoff.methods.dimensions import kind_of
from lidoff.methods.formula import Arithmetic, Name, Negative, Number


def value(text: str, **env: float) -> float:
    return float(compiled(parse(text))({name: np.float64(x) for name, x in env.items()}))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1 + 2*3", 7.0),
        ("-2^2", -4.0),
        ("2^-1", 0.5),
        ("2**3**2", 512.0),
        ("2^3^2", 512.0),
        ("8/4/2", 1.0),
        ("7-2-1", 4.0),
        ("-(1+2)*--3", -9.0),
        (".5e1 + 1.", 6.0),
        ("whole_up(7/2) - whole_down(7/2)", 1.0),
        ("max(1, 2, min(3, 9))", 3.0),
        ("where(1 < 2 and not 2 < 1 or 3 == 4, 10, 20)", 10.0),
        ("where(1 <= 2 <= 1.5, 10, 20)", 20.0),
        ('number(quantity(25, "degC"), "K")', 298.15),
        ('number(quantity(1, "inch"), "mm")', 25.4),
        ("ln(exp(2)) + log10(100) + sqrt(9) + abs(-1)", 8.0),
        ("sin(pi/2) + cos(0) + 4*atan(1)/pi + tan(0)", 3.0),
    ],
)
def test_reads_the_arithmetic_people_write(text: str, expected: float) -> None:
    assert value(text) == pytest.approx(expected, rel=1e-12)


def test_tree_keeps_the_order_of_operations() -> None:
    assert parse("a - b^2") == Arithmetic("-", Name("a"), Arithmetic("^", Name("b"), Number(2.0, "2")))
    assert parse("-a") == Negative(Name("a"))


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("open(x)", "not one of the functions"),
        ("__import__(x)", "underscore"),
        ("a.b.c", "attribute access"),
        ("a.real()", "attribute access"),
        ("a.__class__", "underscore"),
        ("a__b + 1", "underscore"),
        ("a[0]", "no meaning"),
        ("lambda: 1", "no meaning"),
        ("(a := 3)", "no meaning"),
        ("f'{a}'", "not expected"),
        ("'text'", "may only be the unit"),
        ("a if b else c", "not expected"),
        ("[1, 2]", "no meaning"),
        ("{1}", "no meaning"),
        ("a; b", "no meaning"),
        ("a @ b", "no meaning"),
        ("a // b", "a value is wanted"),
        ("a % b", "no meaning"),
        ("a & b", "no meaning"),
        ("1_000", "neither a number nor a name"),
        ("0x10", "neither a number nor a name"),
        ("3j", "neither a number nor a name"),
        ("1e400", "too large"),
        ("a +", "ends too early"),
        ("", "ends too early"),
        ("(a", "')' is wanted"),
        ("min(a)", "2 or more"),
        ("sqrt(a, b)", "takes 1 argument"),
        ("where(a < b, a)", "takes 3 arguments"),
        ("sqrt", "needs its brackets"),
        ("number(a, mm)", "unit in quotes"),
        ("number(a)", "',' is wanted"),
        ("pick(1 + 2, a > 1)", "name of a table"),
        ("abs(*a)", "a value is wanted"),
        ("a = b", "no meaning"),
        ("µ + 1", "no meaning"),
        ("x" * 2000, "longer than"),
        ("(" * 60 + "a" + ")" * 60, "nested deeper"),
        ("2^" * 60 + "2", "nested deeper"),
    ],
)
def test_refuses_everything_else(text: str, reason: str) -> None:
    with pytest.raises(FormulaError) as told:
        parse(text)
    assert reason in str(told.value)


@pytest.mark.parametrize("text", ["2^21", "2^(30-4)", "2^-100"])
def test_refuses_huge_powers(text: str) -> None:
    with pytest.raises(FormulaError, match="larger than 20"):
        kind_of(parse(text), {})


def test_towers_of_powers_do_not_hang_or_raise() -> None:
    with np.errstate(all="ignore"):
        assert math.isinf(value("9^9^9^9"))


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="ab12.+-*/^()<>=, \"'_[]{}@:;é∞mnumbeqpick", max_size=40))
def test_any_text_is_read_or_refused_in_one_sentence(text: str) -> None:
    try:
        parse(text)
    except FormulaError as error:
        assert str(error) and "\n" not in str(error).replace(repr("\n"), "")


_numbers = st.floats(0.1, 9.0).map(lambda x: f"{x:.3f}")


@st.composite
def _formulas(draw: st.DrawFn, depth: int = 3) -> str:
    if depth == 0:
        return draw(_numbers)
    kind = draw(st.sampled_from(["number", "sum", "product", "sign", "function"]))
    if kind == "number":
        return draw(_numbers)
    one = draw(_formulas(depth - 1))
    if kind == "sign":
        return f"-{one}" if not one.startswith("-") else one
    if kind == "function":
        return f"{draw(st.sampled_from(['abs', 'exp', 'sin', 'cos']))}({one})"
    two = draw(_formulas(depth - 1))
    return f"({one} {draw(st.sampled_from('+-' if kind == 'sum' else '*/'))} {two})"


@settings(max_examples=150, deadline=None)
@given(_formulas())
def test_agrees_with_python_on_plain_arithmetic(text: str) -> None:
    """Independent: Python's own evaluation of what the strategy (not a user) wrote."""
    known = {"abs": abs, "exp": math.exp, "sin": math.sin, "cos": math.cos, "__builtins__": {}}
    try:
        expected = eval(text, known)
    except (ZeroDivisionError, OverflowError):
        return
    with np.errstate(all="ignore"):
        assert value(text) == pytest.approx(expected, rel=1e-9, abs=1e-12)
