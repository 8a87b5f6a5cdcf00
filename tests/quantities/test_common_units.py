"""Independent check: the units kept at hand against the unit library."""

from __future__ import annotations

import pint
import pytest

from lidoff.quantities.common_units import COMMON
from lidoff.quantities.units import parse_unit
from lidoff.quantities.written import unit_word, unit_words

_LIBRARY = pint.UnitRegistry()


@pytest.mark.parametrize("unit", [u for u in COMMON if u != "part"])
def test_factor_and_dimension_are_the_librarys(unit: str) -> None:
    factor, dimension = COMMON[unit]
    base = _LIBRARY.Quantity(1.0, unit).to_base_units()
    assert factor == pytest.approx(base.magnitude, rel=1e-12)
    powers = {name.strip("[]"): float(power) for name, power in base.dimensionality.items()}
    names = {"kg": "mass", "m": "length", "s": "time", "A": "current", "K": "temperature"}
    assert {names[base]: float(power) for base, power in dimension.exponents} == powers


@pytest.mark.parametrize("word", sorted(unit_words()))
def test_every_unit_word_stands_for_a_unit(word: str) -> None:
    assert parse_unit(unit_word(word)).factor > 0.0


def test_words_that_are_no_units_are_none() -> None:
    assert [unit_word(w) for w in ("hand", "rod", "cell", "in total", "", "T")] == [""] * 6
