"""One method with a person's own numbers."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Any

from ..methods import Book, books
from ..methods.brief import brief
from ..methods.calc import CalcError, calc
from ..prices import PriceBook
from .errors import UserError


def book_named(name: str, shelf: Mapping[str, Book] | None = None) -> Book:
    """A method book by name, shipped where no shelf is given. Raises `UserError` with the nearest names."""
    there = books() if shelf is None else shelf
    if name in there:
        return there[name]
    near = difflib.get_close_matches(name, there, n=3)
    hint = f"nearest: {', '.join(near)}" if near else "`lidoff methods` lists them"
    raise UserError(f"There is no method {brief(name)} ({hint}).")


def calculate(
    method: str,
    pairs: Sequence[str],
    *,
    shelf: Mapping[str, Book] | None = None,
    prices: PriceBook | None = None,
) -> dict[str, Any]:
    """Evaluate ``name=value`` pairs with units. Raises `UserError`."""
    book = book_named(method, shelf)
    given: dict[str, str] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise UserError(f"{brief(pair)} is not NAME=VALUE (for instance gauge=1.5mm).")
        if name.strip() in given:
            raise UserError(f"{brief(name.strip())} is given twice.")
        given[name.strip()] = value.strip()
    try:
        answer = calc(book, given, prices=prices, shelf=shelf)
    except CalcError as error:
        raise UserError(str(error)) from error
    return {
        "method": book.name,
        "checked": book.checked,
        "outputs": {name: {"value": value, "unit": unit} for name, (value, unit) in answer.outputs.items()},
        "missing": dict(answer.missing),
        "warnings": list(answer.warnings),
        "taken": list(answer.taken),
    }
