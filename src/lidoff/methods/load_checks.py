"""Loading of a book's checks: inputs and expected results with their units."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from ..quantities import Unit
from .book import Check, CheckKind, Expected, Input, Line, Seen
from .brief import brief
from .calculate import Table
from .page import Page, is_number


class CheckReader:
    """Reads checks against the inputs and lines of their book."""

    def __init__(self, page: Page, inputs: Mapping[str, Input], lines: Mapping[str, Line]) -> None:
        self.page, self.inputs, self.lines = page, inputs, lines

    def check(self, n: int, raw: Any) -> Check:
        at = ("checks", n)
        what = f"check {n + 1}"
        allowed = "kind source where seen inputs expect rel reason differs refuted warns"
        self.page.keys(raw, allowed, what, *at)
        try:
            kind = CheckKind(raw.get("kind", ""))
            seen = Seen(raw.get("seen", Seen.COMPUTED))
        except ValueError as error:
            raise self.page.refuse(f"{what}: {error}", *at) from error
        rel = raw.get("rel")
        if not is_number(rel) or not 0.0 < float(rel) <= 0.05:
            raise self.page.refuse(f"{what} needs a tolerance rel above 0 and at most 0.05", *at, "rel")
        refuted = bool(raw.get("refuted", False))
        if refuted and not raw.get("differs"):
            raise self.page.refuse(f"{what} is refuted, so differs must say why print is wrong", *at)
        return Check(
            kind=kind,
            source=self.page.word(raw, "source", f"source of {what}", *at),
            where=self.page.word(raw, "where", f"where of {what}", *at, needed=False),
            seen=seen,
            inputs=self.inputs_of(raw, what, *at),
            given={key: _said(value) for key, value in raw.get("inputs", {}).items()},
            expect=self.expected(raw.get("expect"), what, *at),
            rel=float(rel),
            reason=self.page.word(raw, "reason", f"reason for the tolerance of {what}", *at),
            differs=raw.get("differs", ""),
            refuted=refuted,
            warns=self.warns(raw, what, *at),
        )

    def warns(self, raw: Mapping[str, Any], what: str, *path: str | int) -> tuple[str, ...]:
        value = raw.get("warns", [])
        words = [value] if isinstance(value, str) else value
        if not isinstance(words, list) or not all(isinstance(word, str) and word.strip() for word in words):
            raise self.page.refuse(f"warns of {what} is some words of each warning", *path, "warns")
        return tuple(words)

    def inputs_of(self, raw: Mapping[str, Any], what: str, *path: str | int) -> dict[str, float | Table]:
        given = raw.get("inputs", {})
        if not isinstance(given, dict):
            raise self.page.refuse(f"inputs of {what} are given as {{name = value}}", *path)
        return {key: self.given(key, value, *path, "inputs") for key, value in given.items()}

    def given(self, name: str, value: Any, *path: str | int) -> float | Table:
        entry = self.inputs.get(name)
        if entry is None:
            raise self.page.refuse(f"a check gives {brief(name)}, which is no input", *path)
        if entry.columns is None:
            return self.page.amount(value, entry.unit, name, *path, name)
        units = {key: unit for key, unit in entry.columns.items() if unit is not None}
        rows = value if isinstance(value, list) else [value]
        if not all(isinstance(row, dict) and units.keys() <= row.keys() for row in rows):
            raise self.page.refuse(f"rows of {name} are a list of {{{', '.join(units)}}}", *path)
        columns = {
            key: np.array([self.page.amount(row[key], unit, f"{name}.{key}", *path) for row in rows])
            for key, unit in units.items()
        }
        words = {
            key: tuple(str(row.get(key, "")) for row in rows)
            for key, unit in entry.columns.items()
            if unit is None
        }
        return Table(columns=columns, words=words)

    def expected(self, raw: Any, what: str, *path: str | int) -> tuple[Expected, ...]:
        if not isinstance(raw, dict) or not raw:
            raise self.page.refuse(f"{what} expects nothing: expect = {{line = value}}", *path)
        result = []
        for name, text in raw.items():
            unit = self.result_unit(name)
            if unit is None:
                raise self.page.refuse(f"{what} expects {brief(name)}, which is no line", *path, "expect")
            value = self.page.amount(text, unit, name, *path, "expect", name)
            result.append(Expected(name=name, value=value, text=str(text), unit=unit))
        return tuple(result)

    def result_unit(self, name: str) -> Unit | None:
        row, _, column = name.partition(".")
        line = self.lines.get(row)
        if line is None:
            return None
        if line.columns is None:
            return None if column else line.unit
        return line.columns.get(column)


def _said(value: Any) -> str:
    """An input of a check as a reader wants it."""
    if isinstance(value, list):
        return "; ".join(_said(row) for row in value)
    if isinstance(value, dict):
        return ", ".join(f"{key} {cell}" for key, cell in value.items())
    return str(value)
