"""Units at the edge: text as people write it in, SI floats inside, text out again.

Conversion is pint's; this file adds what a teardown bench writes ("Nm", "Stk", "€/kg", "degC"),
money with currency and year, and countable things as dimensions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from .common_units import COMMON
from .compose import compose
from .dimension import TEMPERATURE, Dimension


class UnitError(ValueError):
    """A unit that is not known, or does not fit what it is used for."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A parsed unit: ``si = value * factor + offset``.

    ``money`` is the currency with its year where stated ("EUR2024", "EUR"), else ``None``.
    """

    text: str
    factor: float
    offset: float
    dimension: Dimension
    money: str | None = None

    def to_si(self, value: float) -> float:
        return value * self.factor + self.offset

    def from_si(self, value: float) -> float:
        return (value - self.offset) / self.factor


_PINT_BASE = {
    "[mass]": "kg", "[length]": "m", "[time]": "s", "[current]": "A", "[temperature]": "K",
    "[substance]": "mol", "[luminosity]": "cd", "[money]": "money", "[part]": "part",
    "[shot]": "shot", "[cycle_count]": "cycle", "[cell_count]": "cell",
}  # fmt: skip

_CURRENCY = re.compile(r"(€|\$|£|¥|\b(?:EUR|USD|GBP|CNY|JPY|CHF|KRW|money))(?:_?(\d{4}))?(?![A-Za-z\d])")
_SIGN = {"€": "EUR", "$": "USD", "£": "GBP", "¥": "CNY"}

#: What benches write, in the words pint knows. Keys are matched as whole words, case kept.
_WORDS = {
    "Nm": "N*m", "kNm": "kN*m", "mNm": "mN*m", "Stk": "part", "St": "part", "Stck": "part",
    "Stück": "part", "stk": "part", "pcs": "part", "pc": "part", "off": "part", "ea": "part",
    "parts": "part", "shot": "press_shot", "shots": "press_shot", "cycles": "cycle",
    "cells": "cell", "Zellen": "cell",
    "Hub": "press_shot", "Teil": "part", "Teile": "part", "lbs": "lb", "Lb": "lb", "LB": "lb",
    "Kg": "kg", "KG": "kg", "gr": "g", "grams": "g", "gramm": "g", "Gramm": "g", "gms": "g",
    "MM": "mm", "Mm": "mm", "min.": "min", "mins": "min", "Min": "min", "sec": "s", "hr": "h",
    "hrs": "h", "Std": "h", "°C": "degC", "C°": "degC", "degrC": "degC", "grdC": "degC",
    "Ω": "ohm", "mΩ": "mohm", "kΩ": "kohm", "MΩ": "Mohm", "µΩ": "uohm", "Ohm": "ohm",
    "mOhm": "mohm", "kOhm": "kohm", "MOhm": "Mohm", "uOhm": "uohm", "µm": "um", "μm": "um",
    "MPA": "MPa", "qmm": "mm**2", "sqmm": "mm**2", "W/mK": "W/(m*K)", "Liter": "l", "ltr": "l",
    "lit": "l", "Ltr": "l", "inch": "inch", "zoll": "inch", "Zoll": "inch", "people": "dimensionless",
    "'": "ft", '"': "inch", "''": "inch", "°": "deg", "t": "metric_ton", "to": "metric_ton",
}  # fmt: skip

_CELSIUS_ZERO = 273.15  # K, by definition

_SUPERSCRIPT = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")


@cache
def _registry() -> Any:
    # Imported late: pint's registry costs a quarter of a second that `lidoff --help` need not pay.
    import pint

    registry: Any = pint.UnitRegistry(case_sensitive=True)
    for line in (
        "money = [money]",
        "part = [part]",
        "press_shot = [shot]",  # pint's own "shot" is a measure of spirits
        "cycle = [cycle_count]",
        "cell = [cell_count]",
        "mil_length = 0.0254 * millimeter = mil",
    ):
        registry.define(line)
    return registry


def _tidy(text: str) -> tuple[str, str | None]:
    """Rewrite a unit as pint reads it; return it with the currency it names."""
    work = (
        re.sub(r"^(?:\[(.*)\]|\(([^()]*)\))$", r"\1\2", text.strip())
        .strip()
        .replace("·", "*")
        .replace("×", "*")
        .replace("−", "-")
    )
    work = re.sub(r"[⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+", lambda m: "**" + m.group().translate(_SUPERSCRIPT), work)
    money = None
    found = _CURRENCY.search(work)
    if found:
        sign = found.group(1)
        name = _SIGN.get(sign, sign)
        money = None if name == "money" else name + (found.group(2) or "")
        work = _CURRENCY.sub("money", work)
    for word in ("W/mK", "W/(mK)", "W/m K"):
        work = work.replace(word, "W/(m*K)")
    if work in _WORDS:
        return _WORDS[work], money
    work = re.sub(
        r"(?<![\w°µμΩ])([A-Za-zäöüß°µμΩ]+\.?)(?![\w°])", lambda m: _WORDS.get(m.group(1), m.group(1)), work
    )
    work = re.sub(r"(?<=[A-Za-z])([23])(?!\d)", r"**\1", work)  # mm2, m3
    return work.replace("^", "**").replace("%", "percent"), money


#: A number raised to a power, a power of a power, or one of three digits: the library would work it out,
#: however long that takes.
_TOWER = re.compile(r"(?<![\w°])[\d.]+[\s)]*\*\*|\*\*[\s(+-]*[\w.]+[\s)]*\*\*|\*\*[\s(+-]*\d{3,}")


@lru_cache(maxsize=4096)
def parse_unit(text: str) -> Unit:
    """Read a unit as written. Empty text is the plain number. Raises `UnitError`."""
    if not text.strip():
        return Unit("", 1.0, 0.0, Dimension())
    if text in COMMON:
        factor, dimension = COMMON[text]
        return Unit(text, factor, 0.0, dimension)
    if len(text) > 60:
        raise UnitError(f"unit {text[:40]!r}… is too long to be a unit")
    tidy, money = _tidy(text)
    if tidy == "degC":
        return Unit(text.strip(), 1.0, _CELSIUS_ZERO, TEMPERATURE)
    composed = compose(tidy)
    if composed is not None:
        return Unit(text.strip(), composed[0], 0.0, composed[1], money)
    return _by_library(text, tidy, money)


def _by_library(text: str, tidy: str, money: str | None) -> Unit:
    """A unit as the unit library knows it. Raises `UnitError`."""
    registry = _registry()
    # Only names, powers and operators reach pint: nothing else is a unit.
    if not re.fullmatch(r"[\w\s*/().°µμΩ+-]+", tidy) or re.fullmatch(r"[\d\s.*/()+-]+", tidy):
        raise UnitError(f"unknown unit {text!r}")
    if _TOWER.search(tidy) or len(re.findall(r"\)\s*\*\*", tidy)) > 1:
        raise UnitError(f"unit {text!r} raises to powers as no unit does")
    try:
        parsed = registry.parse_units(tidy) if tidy else registry.dimensionless
        absolute = str(parsed) in ("degree_Celsius", "degree_Fahrenheit")
        zero = registry.Quantity(0.0, parsed).to_base_units().magnitude
        one = registry.Quantity(1.0, parsed).to_base_units()
        raw = one.dimensionality
        factor, offset = float(one.magnitude) - float(zero), float(zero)
        # pint's base for mass is already the kilogram and every base below is SI.
        exponents = {_PINT_BASE[name]: Fraction(power).limit_denominator(12) for name, power in raw.items()}
    except Exception as error:  # pint raises many kinds for one mistake: the unit is not known
        raise UnitError(f"unknown unit {text!r}") from error
    return Unit(text.strip(), factor, offset, Dimension.of(exponents, absolute), money)


def convert(value: float, unit: str, wanted: str) -> float:
    """Convert a number between two units of one dimension. Raises `UnitError`."""
    source, target = parse_unit(unit), parse_unit(wanted)
    if source.dimension.exponents != target.dimension.exponents:
        raise UnitError(f"{unit!r} ({source.dimension}) cannot be given in {wanted!r} ({target.dimension})")
    return target.from_si(source.to_si(value))


def fits(unit: Unit, wanted: Dimension) -> bool:
    """Whether a unit may stand where a dimension is wanted; "per part" may be left unsaid."""
    if unit.dimension.exponents == wanted.exponents:
        return True
    return unit.dimension.without_counts().exponents == wanted.without_counts().exponents
