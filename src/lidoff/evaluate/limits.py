"""Limits of the evaluation and its check: rows of data, this project's own choice."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def limits() -> Mapping[str, float]:
    """Every limit by name, a share unless its comment says otherwise."""
    text = (files(__package__) / "data" / "limits.toml").read_text("utf-8")
    return {name: float(value) for name, value in tomllib.loads(text).items()}


def limit(name: str) -> float:
    return limits()[name]
