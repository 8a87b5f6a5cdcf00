"""Formulas grown at random over every function and many units, seeded so that they can be grown again."""

from __future__ import annotations

import random
from pathlib import Path

from lidoff.methods import read_book

from .edges import Expected, line_text, write_cases

_UNITS = {
    "n": "", "m": "", "share": "percent", "wide": "mm", "long": "m", "inches": "inch", "warm": "degC",
    "cold": "degF",
}  # fmt: skip
#: Numbers are equal in the third case; sizes and temperatures never are, for what remains of a difference of
#: equals in other units is rounding, which a root then makes large.
CASES = (
    dict(zip(_UNITS, (1.7, 3.0, 12.5, 640.0, 0.35, 2.0, 61.0, 68.0), strict=True)),
    dict(zip(_UNITS, (-2.0, 0.25, 0.3, 1.2, 2.1, 0.5, -5.0, 24.0), strict=True)),
    dict(zip(_UNITS, (3.0, 3.0, 100.0, 350.0, 0.36, 9.0, 20.0, 50.0), strict=True)),
)


class Maker:
    """Grows formulas of a wanted kind."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def number(self, depth: int) -> str:
        if depth == 0:
            plain = ("n", "m", "share", "2", "0.5", "3e-1", 'number(wide, "mm")', 'number(long, "cm")')
            return self.random.choice(plain)
        a, b = self.number(depth - 1), self.number(depth - 1)
        x, y = self.length(depth - 1), self.length(depth - 1)
        return self.random.choice([
            f"{a} + {b}", f"{a} - ({b})", f"({a})*({b})", f"({a})/(1 + abs({b}))", f"({x})/(long + abs({y}))",
            f"-({a})", f"({a})^2", f"(1 + abs({a}))^0.5", f"(1 + abs({a}))^(-n/10)", f"sqrt(abs({a}))",
            f"ln(1 + abs({a}))", f"log10(1 + abs({a}))", f"exp(-abs({a}))", f"sin({a})", f"cos({a})",
            f"atan({a})", f"whole_up({a})", f"whole_down({a})", f"-n^2*({a})", f'number({x}, "mm")',
            f"where({self.condition(depth - 1)}, {a}, {b})", f"min({a}, {b}, 1)", f"max({a}, {b})",
            f"tan(atan({a})/2)", f"pi*({a})",
        ])  # fmt: skip

    def length(self, depth: int) -> str:
        if depth == 0:
            lengths = ("wide", "long", "inches", 'quantity(3, "mm")', 'quantity(0.2, "m")')
            return self.random.choice(lengths)
        a, b = self.length(depth - 1), self.length(depth - 1)
        n = self.number(depth - 1)
        return self.random.choice([
            f"{a} + {b}", f"{a} - ({b})", f"({n})*({a})", f"({a})/(1 + abs({n}))", f"abs({a})",
            f"max(0, {a})", f"sqrt(abs(({a})*({b})))", f"({a})^3/(wide*long)", f"min({a}, {b})",
            f"where({self.condition(depth - 1)}, {a}, {b})", f'quantity({n}, "mm")',
            f'({a})*(warm - cold)/quantity(7, "K")',
        ])  # fmt: skip

    def condition(self, depth: int) -> str:
        op = self.random.choice(["<", "<=", ">", ">=", "==", "!="])
        if depth == 0:
            return self.random.choice([f"n {op} m", f"wide {op} long", f"warm {op} cold", f"0 {op} n"])
        a, b = self.condition(depth - 1), self.condition(depth - 1)
        return self.random.choice([
            f"{self.number(depth - 1)} {op} {self.number(depth - 1)}",
            f"{self.length(depth - 1)} {op} {self.length(depth - 1)}",
            f"({a} and {b})", f"({a} or {b})", f"(not {a})",
        ])  # fmt: skip


def random_formulas(path: Path, *, count: int = 300, seed: int = 5) -> Expected:
    """Write a sheet of formulas in three cases; what the engine has for them."""
    maker = Maker(seed)
    text = 'title = "Random"\ntopic = "test"\n[inputs]\n'
    text += "".join(f"{name} = {{ about = '{name}', unit = '{unit}' }}\n" for name, unit in _UNITS.items())
    for number in range(count):
        depth = 1 + number % 3
        if number % 2:
            unit = maker.random.choice(["mm", "m", "inch", "um"])
            text += line_text(f"f{number}", unit, maker.length(depth))
        else:
            text += line_text(f"f{number}", "", maker.number(depth))
    return write_cases(path, read_book(text, name="random", file="random.toml"), CASES)
