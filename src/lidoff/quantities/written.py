"""Unit words as people write them behind a number, and the unit text each stands for.

Only words listed in ``unit_words.toml``, or built of them ("W/mK", "l/min"), are taken for units: a
unit library knows hands, rods and barns, and "4 hand screws" has none of them.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache, lru_cache
from importlib.resources import files

from .units import UnitError, parse_unit

_COMPOSED = re.compile(r"[A-Za-zµμΩ°%²³]{1,6}(?:[/*·](?:\(?[A-Za-zµμ²³0-9]{1,5}\)?)){1,3}")


@cache
def unit_words() -> dict[str, str]:
    """Spelled word → unit text, count words apart (see `count_words`)."""
    table = _table()
    spelled = {unit: unit for unit in table if unit != "part"}
    return spelled | {word: unit for unit, words in table.items() if unit != "part" for word in words}


@cache
def count_words() -> frozenset[str]:
    """Words that count pieces ("off", "Stk", "x"), in lower case."""
    return frozenset(_table()["part"])


@cache
def _table() -> dict[str, list[str]]:
    text = files(__package__).joinpath("unit_words.toml").read_text(encoding="utf-8")
    return {str(unit): [str(w) for w in words] for unit, words in tomllib.loads(text).items()}


@lru_cache(maxsize=16384)
def unit_word(word: str) -> str:
    """The unit text a word stands for, "part" for count words, "" where it is no unit."""
    bare = word.strip("[]")
    if not bare:
        return ""
    known = unit_words()
    for spelled in (bare, bare.rstrip(".")):
        if spelled in known:
            return known[spelled]
        low = spelled.lower()
        if low in count_words():
            return "part"
        if len(spelled) > 2 and low in known:
            return known[low]
    if _COMPOSED.fullmatch(bare) and all(p.strip("()") in known for p in re.split(r"[/*·]", bare)):
        try:
            return parse_unit(bare).text
        except UnitError:
            return ""
    return ""
