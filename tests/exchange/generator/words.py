"""How workshops head their columns and what they write in them, by language: see words.toml.

``LIDOFF_WORDS`` names another file of the same form, to try words that no reader has met.
"""

from __future__ import annotations

import os
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

LANGUAGES = ("en", "de", "fr")

#: Words that name no function in any language: a bench's private shorthand.
UNKNOWN_FUNCTIONS = ("bay 7", "zz-3", "crate B", "Kiste 4", "green tag", "Los 12", "QX")


@cache
def _all() -> dict[str, dict[str, dict[str, Any]]]:
    path = Path(os.environ.get("LIDOFF_WORDS") or Path(__file__).with_name("words.toml"))
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def words(language: str, topic: str) -> dict[str, Any]:
    """The words of one language on one topic (headings, functions, basis, processes, phrases, labels, …)."""
    return _all()[language][topic]
