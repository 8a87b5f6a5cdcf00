"""Voltages of a cell by chemistry: rows of data used where the bench wrote none."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class Chemistry:
    """Nominal, highest and lowest voltage of one cell [V], and the source id of the row."""

    key: str
    title: str
    words: tuple[str, ...]
    nominal: float
    max: float
    min: float
    source: str


@cache
def chemistries() -> Mapping[str, Chemistry]:
    text = (files(__package__) / "data" / "chemistries.toml").read_text("utf-8")
    return {
        key: Chemistry(key=key, **{**row, "words": tuple(row["words"])})
        for key, row in tomllib.loads(text).items()
    }


def recognise_chemistry(*texts: str | None) -> Chemistry | None:
    """The chemistry named in the first text that names one.

    >>> recognise_chemistry("NCA? / graphite").key
    'nca'
    """
    for text in texts:
        words = set(re.findall(r"[a-z0-9]+", (text or "").lower()))
        for chemistry in chemistries().values():
            if words & set(chemistry.words):
                return chemistry
    return None
