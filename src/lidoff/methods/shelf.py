"""The shelf: all shipped method books, loaded once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from .book import Book, BookError
from .load import load_book

BOOKS = Path(__file__).parent / "books"


def read_shelf(folder: Path) -> dict[str, Book]:
    """All books of a folder and its topics by name. Raises `BookError`."""
    found: dict[str, Book] = {}
    for file in sorted(folder.rglob("*.toml")):
        book = load_book(file)
        if book.name in found:
            raise BookError(f"{file}:1: a book named {book.name!r} is there already")
        found[book.name] = book
    return found


@cache
def books() -> Mapping[str, Book]:
    """The shipped books by name."""
    return MappingProxyType(read_shelf(BOOKS))
