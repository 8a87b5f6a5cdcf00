"""Name spaces: what the functions of a generated text mean for single numbers and for arrays.

The single-number versions raise `Odd` (or an arithmetic error of Python's) wherever numpy would go
on with something that is no finite number; whoever runs them then takes the long way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from ..functions import COMPARE, FUNCTIONS, GUARD
from .source import COMPARISONS


class Odd(ArithmeticError):
    """Something that single numbers cannot follow."""


def _whole_up(x: float) -> float:
    return float(math.ceil(x - GUARD * max(1.0, abs(x))))


def _whole_down(x: float) -> float:
    return float(math.floor(x + GUARD * max(1.0, abs(x))))


def _smallest(*values: float) -> float:
    if any(value != value for value in values):
        raise Odd
    return min(values)


def _largest(*values: float) -> float:
    if any(value != value for value in values):
        raise Odd
    return max(values)


_NUMBERS: Mapping[str, Callable[..., Any]] = {
    "power": math.pow,
    "below": lambda a, b: a + GUARD * abs(a) < b,
    "at_most": lambda a, b: a - GUARD * abs(a) <= b,
    "above": lambda a, b: a - GUARD * abs(a) > b,
    "at_least": lambda a, b: a + GUARD * abs(a) >= b,
    "equal": lambda a, b: abs(a - b) <= GUARD * abs(a),
    "unequal": lambda a, b: abs(a - b) > GUARD * abs(a),
    "f_abs": abs,
    "f_min": _smallest,
    "f_max": _largest,
    "f_sqrt": math.sqrt,
    "f_exp": math.exp,
    "f_ln": math.log,
    "f_log10": math.log10,
    "f_sin": math.sin,
    "f_cos": math.cos,
    "f_tan": math.tan,
    "f_atan": math.atan,
    "f_whole_up": _whole_up,
    "f_whole_down": _whole_down,
}

_ARRAYS: Mapping[str, Callable[..., Any]] = {
    "power": np.power,
    "both": np.logical_and,
    "either": np.logical_or,
    "negation": np.logical_not,
    **{COMPARISONS[op]: act for op, act in COMPARE.items()},
    **{f"f_{name}": f.compute for name, f in FUNCTIONS.items() if f.compute is not None},
}


def numbers() -> dict[str, Any]:
    """For single numbers (Python floats)."""
    return dict(_NUMBERS)


def arrays() -> dict[str, Any]:
    """For sample arrays and numpy's own numbers, as the formulas' functions are defined."""
    return dict(_ARRAYS)
