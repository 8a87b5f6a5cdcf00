"""One method with a person's own numbers."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from typing import Any

from ..methods import Book, books
from ..methods.brief import brief
from ..methods.calc import CalcError, calc
from .errors import UserError


def book_named(name: str) -> Book:
    """A shipped method book by name. Raises `UserError` with the nearest names."""
    there = books()
    if name in there:
        return there[name]
    near = difflib.get_close_matches(name, there, n=3)
    hint = f"nearest: {', '.join(near)}" if near else "`lidoff methods` lists them"
    raise UserError(f"There is no method {brief(name)} ({hint}).")


def calculate(method: str, pairs: Sequence[str]) -> dict[str, Any]:
    """Evaluate ``name=value`` pairs with units. Raises `UserError`."""
    book = book_named(method)
    given: dict[str, str] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise UserError(f"{brief(pair)} is not NAME=VALUE (for instance gauge=1.5mm).")
        if name.strip() in given:
            raise UserError(f"{brief(name.strip())} is given twice.")
        given[name.strip()] = value.strip()
    try:
        answer = calc(book, given)
    except CalcError as error:
        raise UserError(str(error)) from error
    return {
        "method": book.name,
        "outputs": {name: {"value": value, "unit": unit} for name, (value, unit) in answer.outputs.items()},
        "missing": dict(answer.missing),
        "warnings": list(answer.warnings),
        "taken": list(answer.taken),
    }
