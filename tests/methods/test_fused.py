"""Generated functions give what the line-by-line run gives, for every shipped book."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from lidoff.methods import Book, Run, Table, books, read_book, run
from lidoff.methods.fused import Quick, quick, quick_samples, write_plan

COUNT = 50


def assert_same(fast: Quick, slow: Run) -> None:
    assert fast.values.keys() == slow.values.keys()
    for name, value in slow.values.items():
        # The two call the same arithmetic; powers and logarithms may differ by their last digit.
        np.testing.assert_allclose(fast.values[name], value, rtol=1e-12, err_msg=name)
    assert fast.defaulted == slow.defaulted
    assert dict(fast.missing) == dict(slow.missing)
    assert tuple(warning.says for warning in fast.warned) == slow.warnings
    for name, row in slow.rows.items():
        np.testing.assert_array_equal(np.broadcast_to(fast.rows[name], row.index.shape), row.index)


def cases(book: Book) -> list[dict[str, Any]]:
    """The checks' inputs, near and far from them, whole and with some left out."""
    generator = np.random.default_rng(len(book.name))
    found = []
    for check in book.checks:
        for number in range(6):
            far = {
                name: value
                if isinstance(value, Table)
                else float(value) * math.exp(generator.normal(0.0, 0.2 * number))
                for name, value in check.inputs.items()
            }
            out = set(generator.permutation(list(far))[: number // 2])
            found.append({name: value for name, value in far.items() if name not in out})
    return found


@pytest.mark.parametrize("book", books().values(), ids=books().keys())
def test_single_numbers(book: Book) -> None:
    for inputs in cases(book):
        assert_same(quick(book, inputs), run(book, inputs))
        for line in book.lines.values():
            if not line.is_row:
                assert_same(quick(book, inputs, only=line.name), run(book, inputs, only=line.name))


@pytest.mark.parametrize("book", books().values(), ids=books().keys())
def test_samples(book: Book) -> None:
    def draw(name: str, value: Any, spread: float) -> Any:
        z = np.random.default_rng(len(name)).standard_normal(COUNT)
        return np.asarray(value) * np.exp(spread * z)

    z = np.random.default_rng(1).standard_normal(COUNT)
    for inputs in cases(book):
        drawn = {n: v if isinstance(v, Table) else v * np.exp(0.3 * z) for n, v in inputs.items()}
        assert_same(quick_samples(book, drawn, draw=draw), run(book, drawn, draw=draw))


ODD = """
title = "Odd numbers"
topic = "physics"
[inputs.x]
unit = ""
about = "a number"
range = [-10, 10]
[inputs.y]
unit = ""
about = "another"
default = "1/x"
[[lines]]
name = "root"
unit = ""
formula = "sqrt(x)"
[[lines]]
name = "chosen"
unit = ""
formula = "where(x > 0, ln(x), min(x, root))"
[[lines]]
name = "inverse"
unit = ""
formula = "y + (x - 3)^(-1)"
[[lines]]
name = "large"
unit = ""
formula = "exp(100*x)"
[[limits]]
holds = "x < 5 and not x == 2"
says = "it is five or more"
"""


@pytest.mark.parametrize("x", [2.0, 4.0, 0.0, -1.0, 3.0, 9.0, 100.0, 7])
def test_what_is_no_number_is_told_likewise(x: float) -> None:
    book = read_book(ODD, name="odd", file="odd.toml")
    assert_same(quick(book, {"x": x}), run(book, {"x": x}))
    drawn: Mapping[str, Any] = {"x": np.array([x, 1.0, -2.0, 0.5, 2.0])}
    assert_same(quick_samples(book, drawn), run(book, drawn))


def test_refusals_are_those_of_the_run() -> None:
    book = read_book(ODD, name="odd", file="odd.toml")
    for wrong in ({"z": 1.0}, {"x": math.nan}, {"x": "word"}):
        with pytest.raises(ValueError) as slow:
            run(book, wrong)
        with pytest.raises(ValueError) as fast:
            quick(book, wrong)
        assert str(fast.value) == str(slow.value)


def test_no_word_of_a_book_reaches_the_generated_text() -> None:
    """Names of the book stand only as keys in quotes."""
    book = read_book(ODD, name="odd", file="odd.toml")
    text = write_plan(book, ["x"], only=None, arrays=True).text
    for name in (*book.inputs, *book.lines):
        assert name not in text.replace(f"'{name}'", "").replace("exp", "").split()
