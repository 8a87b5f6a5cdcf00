"""Amounts: "1.5 mm" as text, to SI; and SI to text for people."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from ..quantities import Unit, UnitError, fits, parse_unit
from .brief import brief

_AMOUNT = re.compile(r"\s*([-+−]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*", re.DOTALL)
_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


class AmountError(ValueError):
    """A text that is not the amount wanted; the message is one sentence without the name."""


def read_amount(text: str | float, wanted: Unit, *, exact: bool = False) -> float:
    """Read an amount with its unit into SI.

    ``wanted`` is the unit the input is declared in: its dimension must fit, and "per part" may be
    left unsaid unless ``exact``. A bare number is taken only where a plain number is wanted.
    """
    if isinstance(text, bool):
        raise AmountError(f"{text} is not a number")
    number, unit_text = _parts(text) if isinstance(text, str) else (float(text), "")
    if not math.isfinite(number):
        raise AmountError(f"{brief(text)} is not a finite number")
    plain = wanted.dimension.is_number and not wanted.dimension.absolute
    if not unit_text and not plain:
        raise AmountError(
            f"{brief(text)} has no unit: write it in {wanted.text}, such as '{number:g} {wanted.text}'"
        )
    try:
        unit = parse_unit(unit_text)
    except UnitError as error:
        raise AmountError(str(error)) from error
    same = unit.dimension.exponents == wanted.dimension.exponents
    if not (same or (not exact and fits(unit, wanted.dimension))):
        raise AmountError(
            f"{brief(text)} is in {unit.dimension}, but {wanted.text or 'a plain number'} is wanted"
        )
    return unit.to_si(number)


def _parts(text: str) -> tuple[float, str]:
    if re.fullmatch(r"\s*[-+]?(nan|inf|infinity)\b.*", text, re.IGNORECASE):
        raise AmountError(f"{brief(text)} is not a finite number")
    found = _AMOUNT.fullmatch(text)
    if not found:
        raise AmountError(f"{brief(text)} does not begin with a number such as 1.5")
    return float(found.group(1).replace("−", "-")), found.group(2)


@lru_cache(maxsize=1024)
def plain_unit(text: str) -> str:
    """A unit as people print it: N/mm² for ``N/mm^2``, kg·m for ``kg*m``."""
    raised = re.sub(
        r"(?:\*\*|\^)(-?\d+)",
        lambda m: m.group(1).translate(_RAISED),
        text,
    )
    return raised.replace("*", "·").replace("degC", "°C").replace("delta_", "")


def short(number: float, digits: int = 4) -> str:
    """A number with so many significant digits, without a power of ten where it reads well."""
    if not math.isfinite(number):
        return "–"
    if number == 0.0:
        return "0"
    size = math.floor(math.log10(abs(number)))
    if -4 <= size < 9:
        rounded = round(number, digits - 1 - size)
        text = f"{rounded:,.{max(0, digits - 1 - size)}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    mantissa = f"{number / 10.0**size:.{digits - 1}f}".rstrip("0").rstrip(".")
    return f"{mantissa}·10" + str(size).translate(_RAISED)


def in_unit(value: float, unit: Unit, digits: int = 4) -> str:
    """An SI value said in a unit: "28.27 kN"."""
    said = plain_unit(unit.text)
    number = short(unit.from_si(value), digits)
    return f"{number} {said}" if said else number
