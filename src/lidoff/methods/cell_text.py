"""Pieces of cell text with what they are worth: ``value in SI = text × scale + offset``.

Scales are exact fractions, so that factors of units join without rounding and vanish where they cancel.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import isclose, isqrt

from ..quantities import Unit

#: Binding strength of what is written, weakest first.
COMPARE, SUM, PRODUCT, POWER, SIGN, ATOM = range(6)


@dataclass(frozen=True, slots=True)
class Held:
    """Where a value stands: the text that refers to it, and the unit it is held in there."""

    text: str
    unit: Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """A written piece. ``many`` where it runs over the rows of a table, ``frail`` where a spreadsheet
    may give an error in place of a number, ``zero`` for the literal 0, which fits any unit."""

    text: str
    strength: int = ATOM
    scale: Fraction = Fraction(1)
    offset: Fraction = Fraction(0)
    many: bool = False
    frail: bool = False
    zero: bool = False

    def at(self, strength: int) -> str:
        return self.text if self.strength >= strength else f"({self.text})"


@lru_cache(maxsize=4096)
def exact(factor: float) -> Fraction:
    """The fraction that a unit's factor stands for: 1/3600, 0.001, 25.4; else the float's own digits."""
    # A factor made of others (percent/year) may be a last digit beside its fraction.
    near = Fraction(factor).limit_denominator(1_000_000)
    if isclose(near, factor, rel_tol=1e-15):
        return near
    under = Fraction(1.0 / factor).limit_denominator(1_000_000)
    if under and isclose(1 / under, factor, rel_tol=1e-15):
        return 1 / under
    return Fraction(repr(factor))


def of_cell(held: Held, *, many: bool = False) -> Term:
    scale, offset = exact(held.unit.factor), Fraction(repr(held.unit.offset))
    return Term(text=held.text, scale=scale, offset=offset, many=many)


def in_unit(term: Term, unit: Unit) -> Term:
    scale, offset = exact(unit.factor), Fraction(repr(unit.offset))
    return scaled(term, scale, offset)


def scaled(term: Term, scale: Fraction, offset: Fraction = Fraction(0)) -> Term:
    """The same value written for another scale and offset."""
    if term.zero or (term.scale == scale and term.offset == offset):
        return replace(term, scale=scale, offset=offset)
    text, strength = term.text, term.strength
    factor, shift = term.scale / scale, (term.offset - offset) / scale
    if factor != 1:
        text, strength = f"{term.at(PRODUCT)}{_factor(factor)}", PRODUCT
    if shift:
        sign, size = ("-", -shift) if shift < 0 else ("+", shift)
        text, strength = f"{text if strength >= SUM else f'({text})'}{sign}{_plain(size)}", SUM
    return replace(term, text=text, strength=strength, scale=scale, offset=offset)


def _factor(factor: Fraction) -> str:
    """``*1000``, ``/3600``, ``*0.0254``: the shortest that is exact."""
    over, under = factor.numerator, factor.denominator
    if under == 1:
        return f"*{_plain(factor)}"
    if over == 1:
        return f"/{_plain(Fraction(under))}"
    short = repr(float(factor))
    if len(short) <= 8 and Fraction(short) == factor:
        return f"*{_plain(factor)}"
    if max(over, under) < 10**15:
        return f"*{over}/{under}"
    return f"*{_plain(factor)}"


def _plain(number: Fraction) -> str:
    if number.denominator == 1 and number.numerator < 10**15:
        return str(number.numerator)
    return repr(float(number)).upper()


def root_of(scale: Fraction) -> Fraction | None:
    """The root of a scale where it is a fraction too."""
    over, under = isqrt(scale.numerator), isqrt(scale.denominator)
    return Fraction(over, under) if over**2 == scale.numerator and under**2 == scale.denominator else None


def alike(terms: list[Term]) -> list[Term]:
    """All in the scale of the first that has one; a literal 0 takes any."""
    first = next((term for term in terms if not term.zero), terms[0])
    return [scaled(term, first.scale, first.offset) for term in terms]
