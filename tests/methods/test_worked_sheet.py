"""Behaviour of the worked sheet and of typeset formulas."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import typst

from lidoff.methods import Table, books, read_book, run
from lidoff.methods.amounts import in_unit, plain_unit, short
from lidoff.methods.typeset import to_mathml, to_typst
from lidoff.methods.worked import worked
from lidoff.quantities import parse_unit

BOOK = read_book(
    """\
title = "Trial"
topic = "trial"
[inputs]
d = { unit = "mm", about = "diameter" }
gauge = { unit = "mm", about = "sheet" }
shear = { unit = "N/mm^2", about = "shear strength" }
ratio = { unit = "", about = "share" }
warm = { unit = "degC", about = "melt" }
presses = { about = "presses", columns = { name = "text", capacity = "kN", rate = "money/h" } }
[[lines]]
name = "force"
unit = "kN"
formula = "shear*(pi*d)*gauge"
source = "somebody, p. 3"
about = "cutting force"
[[lines]]
name = "odd"
unit = "mm"
formula = "d - (gauge - d)^1 + gauge*-ratio + d/(ratio*2)"
[[lines]]
name = "press"
formula = "pick(presses, capacity >= 1.25*force)"
[[lines]]
name = "cost"
unit = "money"
formula = "press.rate*quantity(2, \\"h\\")*(1 - ratio)^2"
[[lines]]
name = "plain"
unit = ""
formula = "number(gauge, \\"mm\\")^2 + where(warm > quantity(20, \\"degC\\") and ratio <= 1, 1, 0)"
""",
    name="trial",
    file="trial.toml",
)
PRESSES = Table(
    columns={"capacity": np.array([20e3, 50e3]), "rate": np.array([30.0, 60.0]) / 3600.0},
    words={"name": ("small", "middle")},
)
GIVEN = {"d": 0.02, "gauge": 1.5e-3, "shear": 300e6, "ratio": 0.5, "warm": 298.15, "presses": PRESSES}


def test_numbers_are_put_in_with_their_units() -> None:
    sheet = {line.name: line for line in worked(BOOK, run(BOOK, GIVEN))}
    force = sheet["force"]
    assert force.put_in == "300 N/mm² · 3.1416 · 20 mm · 1.5 mm"
    assert force.value == pytest.approx(28.274, rel=1e-4)
    assert (force.unit, force.source, force.about) == ("kN", "somebody, p. 3", "cutting force")
    assert sheet["odd"].put_in == "20 mm - (1.5 mm - 20 mm)^1 + 1.5 mm · (-0.5) + 20 mm / (0.5 · 2)"
    assert sheet["press"].put_in == "pick(presses, capacity ≥ 1.25 · 28.27 kN) → middle"
    assert (sheet["press"].value, sheet["press"].unit) == (2.0, "row of presses")
    assert sheet["cost"].put_in == "60 money/h · 2 h · (1 - 0.5)^2"
    assert sheet["plain"].put_in == "number(1.5 mm in mm)^2 + where(25 °C > 20 °C and 0.5 ≤ 1, 1, 0)"


def test_the_sheet_leaves_out_what_could_not_be_computed() -> None:
    names = [line.name for line in worked(BOOK, run(BOOK, {"d": 0.02, "gauge": 1e-3, "ratio": 1.0}))]
    assert names == ["odd"]


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (0.0, "0"), (28273.9, "28,270"), (0.0012346, "0.001235"), (1.5, "1.5"), (-2.0, "-2"),
        (1.23456e12, "1.235·10¹²"), (4.2e-9, "4.2·10⁻⁹"), (999999.0, "1,000,000"), (float("nan"), "–"),
    ],
)  # fmt: skip
def test_numbers_read_as_people_write_them(number: float, said: str) -> None:
    assert short(number) == said


def test_units_read_as_people_print_them() -> None:
    assert plain_unit("N/mm^2") == "N/mm²"
    assert plain_unit("W/(m*K)") == "W/(m·K)"
    assert in_unit(298.15, parse_unit("degC")) == "25 °C"


CASES = [
    ("a/b", "frac(a, b)", "<mfrac><mrow><mi>a</mi></mrow><mrow><mi>b</mi></mrow></mfrac>"),
    ("sqrt(a)", "sqrt(a)", "<msqrt><mi>a</mi></msqrt>"),
    ("a^2", "attach(a, t: 2)", "<msup><mrow><mi>a</mi></mrow><mrow><mn>2</mn></mrow></msup>"),
    (
        "draw_ratio",
        'attach(upright("draw"), b: upright("ratio"))',
        '<msub><mrow><mi mathvariant="normal">draw</mi></mrow>'
        '<mrow><mi mathvariant="normal">ratio</mi></mrow></msub>',
    ),
    ("whole_up(a)", "lr(ceil.l a ceil.r)", "<mrow><mo>⌈</mo><mi>a</mi><mo>⌉</mo></mrow>"),
    ("pi*alpha", "pi dot α", "<mrow><mi>π</mi><mo>·</mo><mi>α</mi></mrow>"),
    ("a - (b - c)", "a - lr(paren.l b - c paren.r)", None),
    ("(a/b)^2", "attach(lr(paren.l frac(a, b) paren.r), t: 2)", None),
    ("a*(b + c)", "a dot lr(paren.l b + c paren.r)", None),
    ("1.5e-3*a", "1.5 dot 10^(-3) dot a", None),
]


@pytest.mark.parametrize(("formula", "in_typst", "in_mathml"), CASES)
def test_typeset(formula: str, in_typst: str, in_mathml: str | None) -> None:
    assert to_typst(formula) == in_typst
    if in_mathml:
        assert to_mathml(formula) == f"<math>{in_mathml}</math>"


def test_every_shipped_formula_typesets(tmp_path: Path) -> None:
    formulas = [line.formula.tree for book in (*books().values(), BOOK) for line in book.lines.values()]
    for tree in formulas:
        ElementTree.fromstring(to_mathml(tree))
    page = tmp_path / "formulas.typ"
    page.write_text("\n\n".join(f"$ {to_typst(tree)} $" for tree in formulas), encoding="utf-8")
    assert typst.compile(page, format="pdf").startswith(b"%PDF")
