"""How workshops head their columns and what they write in them, by language: see words.toml."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

LANGUAGES = ("en", "de", "fr")

#: Words that name no function in any language: a bench's private shorthand.
UNKNOWN_FUNCTIONS = ("bay 7", "zz-3", "crate B", "Kiste 4", "green tag", "Los 12", "QX")


@cache
def words(language: str, topic: str) -> dict[str, Any]:
    """The words of one language on one topic (headings, functions, basis, processes, phrases, labels, …)."""
    with Path(__file__).with_name("words.toml").open("rb") as file:
        table: dict[str, dict[str, dict[str, Any]]] = tomllib.load(file)
    return table[language][topic]
