"""Whether a mutant is noticed: it does not load, a check of the book fails, or a rule for all books."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from lidoff.methods import Book, BookError, books, run_checks
from lidoff.methods.load import book_of
from lidoff.methods.shelf import BOOKS

from .mutants import Mutant
from .rules import faults


def shelf_data() -> dict[str, dict[str, Any]]:
    """The shipped books' TOML data by name."""
    return {path.stem: tomllib.loads(path.read_text("utf-8")) for path in sorted(BOOKS.rglob("*.toml"))}


def noticed(mutant: Mutant, shelf: Mapping[str, Book] | None = None) -> str:
    """By what a mutant is noticed, in a few words; empty where nothing turns red."""
    try:
        book = book_of(mutant.data, name=mutant.book, file=f"{mutant.book}.toml")
    except BookError as error:
        return f"refused: {error}"
    for result in run_checks(book):
        if not result.passed:
            return f"check {result.number} ({result.kind}): {result.name}"
    return next(iter(faults(book, shelf if shelf is not None else books())), "")
