"""Compose: units such as N/mm² put together from simple ones, without the unit library.

The library takes a third of a second to load, which a short command need not pay. Only names,
``*``, ``/``, whole powers and brackets are read here; what else there is is left to the library. A test
holds every unit of the shipped books against it. Factors are exact fractions until the end.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from .dimension import Dimension

_TOKEN = re.compile(r"\s*(?:(?P<name>[A-Za-z]\w*)|(?P<number>\d+)|(?P<op>\*\*|[*/()-]))", re.ASCII)
_LARGEST_POWER = 12

Simple = tuple[Fraction, Dimension]


def _unit(factor: str | int, **powers: int) -> Simple:
    return Fraction(factor), Dimension.of({base: Fraction(power) for base, power in powers.items()})


_PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2

#: SI units by definition and those kept beside it, the international pound and inch (1959) with standard
#: gravity for the pound force, what is counted, and the year of 365.25 days.
SIMPLE: dict[str, Simple] = {
    "kg": _unit(1, kg=1), "g": _unit("1e-3", kg=1), "mg": _unit("1e-6", kg=1),
    "metric_ton": _unit(1000, kg=1), "lb": _unit("0.45359237", kg=1),
    "m": _unit(1, m=1), "cm": _unit("1e-2", m=1), "mm": _unit("1e-3", m=1), "um": _unit("1e-6", m=1),
    "nm": _unit("1e-9", m=1), "km": _unit(1000, m=1), "inch": _unit("0.0254", m=1),
    "ft": _unit("0.3048", m=1),
    "l": _unit("1e-3", m=3), "ml": _unit("1e-6", m=3),
    "s": _unit(1, s=1), "min": _unit(60, s=1), "h": _unit(3600, s=1), "d": _unit(86400, s=1),
    "month": _unit(2629800, s=1), "year": _unit(31557600, s=1),
    "A": _unit(1, A=1), "kA": _unit(1000, A=1), "C": _unit(1, A=1, s=1), "K": _unit(1, K=1),
    "N": _unit(1, kg=1, m=1, s=-2), "kN": _unit(1000, kg=1, m=1, s=-2), "MN": _unit(10**6, kg=1, m=1, s=-2),
    "Pa": _unit(1, kg=1, m=-1, s=-2), "kPa": _unit(1000, kg=1, m=-1, s=-2),
    "MPa": _unit(10**6, kg=1, m=-1, s=-2), "GPa": _unit(10**9, kg=1, m=-1, s=-2),
    "psi": (_PSI, Dimension.of({"kg": Fraction(1), "m": Fraction(-1), "s": Fraction(-2)})),
    "bar": _unit(10**5, kg=1, m=-1, s=-2),
    "J": _unit(1, kg=1, m=2, s=-2), "kJ": _unit(1000, kg=1, m=2, s=-2), "MJ": _unit(10**6, kg=1, m=2, s=-2),
    "Wh": _unit(3600, kg=1, m=2, s=-2), "kWh": _unit(3600000, kg=1, m=2, s=-2),
    "W": _unit(1, kg=1, m=2, s=-3), "kW": _unit(1000, kg=1, m=2, s=-3),
    "V": _unit(1, kg=1, m=2, s=-3, A=-1), "ohm": _unit(1, kg=1, m=2, s=-3, A=-2),
    "Hz": _unit(1, s=-1), "percent": _unit("0.01"),
    "money": _unit(1, money=1), "part": _unit(1, part=1), "press_shot": _unit(1, shot=1),
    "cycle": _unit(1, cycle=1), "cell": _unit(1, cell=1),
}  # fmt: skip


def compose(text: str) -> tuple[float, Dimension] | None:
    """Factor to SI and dimension of a unit in the library's spelling, ``None`` for what is not read here."""
    try:
        factor, dimension = _Reader(text).whole()
    except _Unread:
        return None
    number = float(factor)
    return (number, dimension) if math.isfinite(number) and number > 0.0 else None


class _Unread(Exception):
    """Something that the library may know."""


class _Reader:
    def __init__(self, text: str) -> None:
        self.tokens: list[str] = []
        place, end = 0, len(text.rstrip())
        while place < end:
            found = _TOKEN.match(text, place)
            if found is None:
                raise _Unread
            self.tokens.append(found.group().strip())
            place = found.end()
        self.at = 0
        self.named = False

    @property
    def next(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self, *texts: str) -> str:
        found = self.next
        if found not in texts:
            return ""
        self.at += 1
        return found

    def whole(self) -> Simple:
        unit = self.product()
        if self.next or not self.named:
            raise _Unread
        return unit

    def product(self) -> Simple:
        factor, dimension = self.power()
        while op := self.take("*", "/"):
            more, other = self.power()
            if op == "*":
                factor, dimension = factor * more, dimension * other
            else:
                factor, dimension = factor / more, dimension / other
        return factor, dimension

    def power(self) -> Simple:
        factor, dimension = self.atom()
        if not self.take("**"):
            return factor, dimension
        sign = -1 if self.take("-") else 1
        if not self.next.isdigit() or int(self.next) > _LARGEST_POWER:
            raise _Unread
        exponent = sign * int(self.next)
        self.at += 1
        return factor**exponent, dimension**exponent

    def atom(self) -> Simple:
        if self.take("("):
            unit = self.product()
            if not self.take(")"):
                raise _Unread
            return unit
        name = self.next
        if name == "1" and self.at == 0:  # 1/K
            self.at += 1
            return Fraction(1), Dimension()
        if name not in SIMPLE:
            raise _Unread
        self.at += 1
        self.named = True
        return SIMPLE[name]
