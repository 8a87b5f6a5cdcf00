"""What is fuzzed, and what must hold: a result, or a refusal of one sentence; nothing else happens."""

from __future__ import annotations

import faulthandler
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from random import Random
from typing import Any

import numpy as np

from lidoff.app.calculate import calculate
from lidoff.app.errors import UserError
from lidoff.methods import Book, BookError, FormulaError, Table, parse, read_book, run, run_checks
from lidoff.methods.calculate import compiled
from lidoff.methods.dimensions import Kind, RowKind, TableKind, kind_of
from lidoff.methods.formula import Node, children
from lidoff.methods.typeset import to_mathml, to_typst
from lidoff.quantities import parse_unit

from .texts import any_book, any_formula, any_pairs

LONGEST = 400  # letters of a refusal
SLOWEST = 2.0  # seconds of one input
HANGS, WATCHED = 60.0, 100  # seconds for so many inputs, after which one of them hangs
#: What a text must never bring about.
ESCAPES = (
    "exec",
    "compile",
    "open",
    "import",
    "os.",
    "subprocess.",
    "socket.",
    "ctypes.",
    "shutil.",
    "pickle.",
)

_COLUMNS = {"size": parse_unit("mm"), "rate": parse_unit("money/h"), "label": None}
SCOPE: dict[str, Kind] = {
    "x": parse_unit("mm").dimension,
    "y": parse_unit("").dimension,
    "force": parse_unit("kN").dimension,
    "a1": parse_unit("degC").dimension,
    "table": TableKind(_COLUMNS),
    "row": RowKind(_COLUMNS),
}
_TABLE = Table(
    columns={"size": np.array([1.0, 2.0]), "rate": np.array([3.0, 4.0])}, words={"label": ("a", "b")}
)


class _Row:
    columns = {"size": np.float64(1.0), "rate": np.float64(2.0)}  # noqa: RUF012 (a constant)


class Found(Exception):
    """A fault, told with what was put in."""


_watching: list[str] = []
_watched = False


def _hook(event: str, arguments: Any) -> None:
    if _watched and event.startswith(ESCAPES):
        _watching.append(f"{event} {arguments!r}"[:200])


sys.addaudithook(_hook)


@contextmanager
def _closed() -> Iterator[None]:
    """Nothing is opened, compiled, imported or started in here."""
    global _watched
    _watching.clear()
    _watched = True
    try:
        yield
    finally:
        _watched = False
    if _watching:
        raise Found(f"escaped: {_watching[0]}")


def refusal(error: Exception) -> None:
    """A refusal is one sentence on one line, of a length one can read."""
    text = str(error)
    if not text.strip() or len(text) > LONGEST or any(ord(letter) < 32 for letter in text):
        raise Found(f"the refusal is not one sentence: {text!r}")


def try_formula(text: str) -> None:
    try:
        tree = parse(text)
        _only_ours(tree)
        kind_of(tree, SCOPE)
    except FormulaError as error:
        refusal(error)
        return
    with np.errstate(all="ignore"):
        env = {
            "x": np.array([0.0, -1.0, 1e300]),
            "y": 2.0,
            "force": 5.0,
            "a1": 290.0,
            "table": _TABLE,
            "row": _Row(),
        }
        compiled(tree)(env)
    to_typst(tree)
    to_mathml(tree)


def _only_ours(node: Node) -> None:
    if type(node).__module__ != "lidoff.methods.formula":
        raise Found(f"a {type(node).__name__} is in the tree")
    for child in children(node):
        _only_ours(child)


def try_book(text: str) -> None:
    try:
        book = read_book(text, name="book", file="book.toml")
    except BookError as error:
        refusal(error)
        return
    run_checks(book)
    _run(book)


def _run(book: Book) -> None:
    given: dict[str, Any] = {}
    for n, entry in enumerate(book.inputs.values()):
        if entry.columns is not None:
            columns = {key: np.array([1.0, 3.0]) for key, unit in entry.columns.items() if unit is not None}
            given[entry.name] = Table(columns=columns) if columns else None
        else:
            given[entry.name] = np.array([0.0, 1.0, -1.0, 1e30]) if n % 2 else 1.0
    run(book, {name: value for name, value in given.items() if value is not None})


def try_pairs(words: list[str]) -> None:
    try:
        calculate(words[0], words[1:])
    except UserError as error:
        refusal(error)


TARGETS: tuple[tuple[str, Callable[[Random], Any], Callable[[Any], None], float], ...] = (
    ("formula", any_formula, try_formula, 0.6),
    ("book", any_book, try_book, 0.2),
    ("calc", any_pairs, try_pairs, 0.2),
)


def fuzz(seconds: float, seed: int) -> tuple[dict[str, int], list[str]]:
    """Fuzz all targets for a time; how many inputs each saw, and what was found.

    An input that never ends ends the whole run with the place where it hangs, even inside one long
    calculation of the interpreter's own.
    """
    chance = Random(seed)
    counts = dict.fromkeys((name for name, *_ in TARGETS), 0)
    found: list[str] = []
    for _, make, attempt, _share in TARGETS:  # tables and price books load once, before anything is watched
        attempt(make(Random(0)))
    try_pairs(["blanking", "gauge=1mm", "material=steel"])
    parse_unit("furlong/fortnight")  # a unit that is none of the everyday ones loads the table of all units
    ends = time.monotonic() + seconds
    while time.monotonic() < ends and len(found) < 20:
        if sum(counts.values()) % WATCHED == 0:
            faulthandler.dump_traceback_later(HANGS, exit=True)
        drawn, sum_of = chance.random(), 0.0
        for name, make, attempt, share in TARGETS:
            sum_of += share
            if drawn < sum_of:
                fault = _one(attempt, made := make(chance))
                counts[name] += 1
                if fault:
                    found.append(f"{name}: {fault}: {made!r}")
                break
    faulthandler.cancel_dump_traceback_later()
    return counts, found


def _one(attempt: Callable[[Any], None], made: Any) -> str:
    began = time.monotonic()
    try:
        with _closed():
            attempt(made)
    except Found as fault:
        return str(fault)
    except Exception as error:
        return f"crashed with {type(error).__name__}: {error}"
    took = time.monotonic() - began
    return f"took {took:.1f} s" if took > SLOWEST else ""
