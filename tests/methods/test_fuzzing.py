"""Odd formulas, books and values give a result or one sentence (`make fuzz` goes on for ten minutes)."""

from __future__ import annotations

import os
from datetime import UTC, datetime

import pytest
from fuzzing.targets import Found, fuzz, refusal, try_formula

SEED = int(os.environ.get("LIDOFF_SEED") or datetime.now(tz=UTC).strftime("%Y%m%d"))


def test_odd_texts_do_no_harm() -> None:
    counts, found = fuzz(5.0, SEED)
    assert found == [], f"seed {SEED}"
    assert min(counts.values()) > 20


@pytest.mark.parametrize(
    "text",
    [
        "x.__class__.__mro__", "().__subclasses__()", "__import__('os')", "eval('1')", "open('x')", "x[0]",
        "lambda: x", "(x := 1)", "f'{x}'", "x if x else x", "[y for y in x]", "9**9**9**9",
        "not " * 400 + "x < 1", "(" * 400, "-" * 900 + "x", "x\x00", "1e999",
        '"' + "m" * 500 + '"', "a" * 900, "number(x, \"a\nb\")",
    ],
)  # fmt: skip
def test_known_tricks_are_refused_or_harmless(text: str) -> None:
    try_formula(text)


@pytest.mark.parametrize("text", ["", "a\nb", "a" * 401, "Traceback\n  File"])
def test_a_refusal_that_is_no_sentence_is_found(text: str) -> None:
    with pytest.raises(Found):
        refusal(ValueError(text))


def test_an_escape_is_found() -> None:
    """The watch sees what a text must never bring about."""
    from fuzzing.targets import _closed

    with pytest.raises(Found, match="escaped"), _closed():
        compile("1", "text", "eval")
