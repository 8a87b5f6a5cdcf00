"""Numbers as they are printed: no more digits than their interval, thin spaces, a true minus."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

THIN = "\u202f"
FIXED = "\u00a0"  # a space at which no line breaks
MINUS = "−"
MISSING = "missing"

_SIGNS = {"EUR": "€", "USD": "US$", "GBP": "£", "CNY": "CN¥", "JPY": "¥"}
_CURRENCY = re.compile(r"\b(EUR|USD|GBP|CNY|JPY|CHF|KRW)_?(\d{4})?\b")

#: Digits shown where a number has no interval to go by: this project's choice.
DIGITS_WITHOUT_INTERVAL = 4


def decimals_for(half_width: float) -> int:
    """Decimals that an uncertainty supports; negative means round to tens, hundreds, ….

    Rounds the uncertainty to two digits where its leading three digits are 100 to 354, to one
    where 355 to 949, and up to 1000 with two digits above: Particle Data Group, Review of
    Particle Physics, introduction, section on rounding. Here the half width of the 95 % interval
    stands for the uncertainty, which keeps one digit fewer than the standard uncertainty would.
    """
    if not (half_width > 0.0 and math.isfinite(half_width)):
        raise ValueError(f"an interval's half width must be positive and finite, not {half_width}")
    exponent = math.floor(math.log10(half_width) + 1e-12)
    leading = round(half_width / 10.0**exponent * 100.0)
    # From 950 on the one digit kept rounds up to 10, which is two digits of the next decade.
    return 1 - exponent if leading <= 354 else -exponent


def decimals_of(value: float, low: float | None = None, high: float | None = None) -> int:
    """Decimals for a value with its interval, or by significant digits where it has none."""
    if low is not None and high is not None and high > low:
        return decimals_for((high - low) / 2.0)
    if value == 0.0:
        return 0
    if abs(value - round(value)) < 1e-9 * max(abs(value), 1.0):
        return 0
    return max(0, DIGITS_WITHOUT_INTERVAL - 1 - math.floor(math.log10(abs(value))))


def number(value: float | None, decimals: int = 0, *, signed: bool = False) -> str:
    """A number with a true minus and thin spaces between thousands from five digits on.

    A missing value is the word "missing"; one that is not finite raises `ValueError`.
    """
    if value is None:
        return MISSING
    if not math.isfinite(value):
        raise ValueError(f"a number that is not finite ({value}) cannot be printed")
    rounded = round(value, decimals)
    text = f"{abs(rounded):.{max(decimals, 0)}f}"
    whole, dot, part = text.partition(".")
    if len(whole) > 4:
        whole = re.sub(r"(?<=\d)(?=(?:\d{3})+$)", THIN, whole)
    negative = rounded < 0.0
    sign = MINUS if negative else "+" if signed and rounded > 0.0 else ""
    return sign + whole + dot + part


def by_interval(value: float | None, low: float | None, high: float | None, *, signed: bool = False) -> str:
    """A value with the digits its interval supports."""
    return MISSING if value is None else number(value, decimals_of(value, low, high), signed=signed)


def span(low: float | None, high: float | None, *, signed: bool = False) -> str:
    """An interval "low … high" with the digits it supports, or "no interval"."""
    if low is None or high is None:
        return "no interval"
    if not high > low:
        return "exact"
    decimals = decimals_for((high - low) / 2.0)
    return f"{number(low, decimals, signed=signed)}{FIXED}…{FIXED}{number(high, decimals, signed=signed)}"


def percent(share: float | None) -> str:
    """A share as whole percent; what is not quite all or nothing is not rounded to it."""
    if share is None:
        return MISSING
    hundred = 100.0 * share
    if 0.0 < hundred < 1.0:
        return f"under 1{THIN}%"
    if 99.0 < hundred < 100.0 - 1e-9:
        return f"over 99{THIN}%"
    return f"{number(hundred)}{THIN}%"


def unit_text(unit: str) -> str:
    """A unit as it is read: "EUR2024/kWh" as "€/kWh (2024)", "W/(m*K)" as "W/(m·K)"."""
    money = _CURRENCY.search(unit)
    text = _CURRENCY.sub(lambda found: _SIGNS.get(found.group(1), found.group(1)), unit)
    if money is not None and money.group(2):
        text = f"{text} ({money.group(2)})"
    text = text.replace("**2", "²").replace("^2", "²").replace("**3", "³").replace("^3", "³")
    text = text.replace("*", "·").replace("degC", "°C").replace("mohm", "mΩ").replace("Mohm", "MΩ")
    return text.replace("percent", "%").replace("ohm", "Ω")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scaled:
    """A unit chosen for reading: divide by ``factor`` and print ``unit``."""

    factor: float
    unit: str


def reading_scale(largest: float, unit: str) -> Scaled:
    """Millions for money from a million on; every other unit as it is.

    ``largest`` is the largest magnitude that shares the row, so that a row keeps one unit.
    """
    if _CURRENCY.search(unit) and abs(largest) >= 1e6:
        shown = unit_text(unit)
        sign = next(s for s in (*_SIGNS.values(), "CHF", "KRW") if s in shown)
        return Scaled(factor=1e6, unit=shown.replace(sign, f"M{sign}", 1))
    return Scaled(factor=1.0, unit=unit_text(unit))


def shown(value: float, low: float | None = None, high: float | None = None) -> str:
    """A value with the digits its interval supports; the short name for running text."""
    return by_interval(value, low, high)


def shown_money(value: float) -> str:
    """An amount of money: whole units from a hundred on, cents below, a digit more below ten cents."""
    if value != 0.0 and abs(round(value, 2)) < 0.1:
        return number(value, 3)
    return number(value, 2 if abs(value) < 100.0 else 0)
