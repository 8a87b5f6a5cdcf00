"""The functions a formula may call: each with its arity and its numpy meaning."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

#: Guard of `whole_up`, `whole_down` and of comparisons: floats and spreadsheets disagree at
#: 3.0000000000000004, so a number this near to a whole one (relative, absolute below 1) is taken to be
#: whole, and one this near to what it is compared with (relative to that) to be equal to it.
GUARD = 1e-9


def whole_up(x: Any) -> Any:
    """The next whole number up: ``ceil(x - 1e-9*max(1, |x|))``."""
    return np.ceil(x - GUARD * np.maximum(1.0, np.abs(x)))


def whole_down(x: Any) -> Any:
    """The next whole number down: ``floor(x + 1e-9*max(1, |x|))``."""
    return np.floor(x + GUARD * np.maximum(1.0, np.abs(x)))


def at_most(a: Any, b: Any) -> Any:
    """``a - 1e-9*|a| <= b``: a force of 630.0000000000001 kN still fits a press of 630 kN."""
    return a - GUARD * np.abs(a) <= b


def at_least(a: Any, b: Any) -> Any:
    """``a + 1e-9*|a| >= b``."""
    return a + GUARD * np.abs(a) >= b


def below(a: Any, b: Any) -> Any:
    """Less, and not equal within the guard."""
    return a + GUARD * np.abs(a) < b


def above(a: Any, b: Any) -> Any:
    """Greater, and not equal within the guard."""
    return a - GUARD * np.abs(a) > b


def equal(a: Any, b: Any) -> Any:
    """``|a - b| <= 1e-9*|a|``."""
    return np.abs(a - b) <= GUARD * np.abs(a)


def unequal(a: Any, b: Any) -> Any:
    """``|a - b| > 1e-9*|a|``; what is no number is unequal to nothing."""
    return np.abs(a - b) > GUARD * np.abs(a)


COMPARE: Mapping[str, Callable[[Any, Any], Any]] = {
    "<": below, "<=": at_most, ">": above, ">=": at_least, "==": equal, "!=": unequal,
}  # fmt: skip


def _smallest(*values: Any) -> Any:
    return reduce(np.minimum, values)


def _largest(*values: Any) -> Any:
    return reduce(np.maximum, values)


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """A function of the language. ``kind`` tells the dimension check how to treat it:

    ``plain`` plain numbers in and out, ``like`` all arguments and the result of one dimension,
    ``root``, ``choice`` and ``own`` are treated one by one.
    """

    fewest: int
    most: int
    kind: str
    compute: Callable[..., Any] | None = None


_MANY = 20


def _plain(compute: Callable[..., Any]) -> Function:
    return Function(fewest=1, most=1, kind="plain", compute=compute)


FUNCTIONS: dict[str, Function] = {
    "abs": Function(fewest=1, most=1, kind="like", compute=np.abs),
    "min": Function(fewest=2, most=_MANY, kind="like", compute=_smallest),
    "max": Function(fewest=2, most=_MANY, kind="like", compute=_largest),
    "sqrt": Function(fewest=1, most=1, kind="root", compute=np.sqrt),
    "exp": _plain(np.exp),
    "ln": _plain(np.log),
    "log10": _plain(np.log10),
    "sin": _plain(np.sin),
    "cos": _plain(np.cos),
    "tan": _plain(np.tan),
    "atan": _plain(np.arctan),
    "whole_up": _plain(whole_up),
    "whole_down": _plain(whole_down),
    "where": Function(fewest=3, most=3, kind="choice", compute=np.where),
    "number": Function(fewest=2, most=2, kind="own"),
    "quantity": Function(fewest=2, most=2, kind="own"),
    "pick": Function(fewest=2, most=2, kind="own"),
}

CONSTANTS = {"pi": math.pi}
