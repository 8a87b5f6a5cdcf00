"""Quick: a book run by its generated function; the same answers as `run`, without its worked state."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..book import Book
from ..run import Draw, Run, Warned, run, said_not_finite
from .plan import Plan, write_plan
from .watch import Watch

_Key = tuple[frozenset[str], str | None, bool]

#: Generated functions by book; as many books are kept as a shelf may well hold.
_BOOKS_KEPT = 512
_plans: OrderedDict[int, tuple[Book, dict[_Key, Plan]]] = OrderedDict()


@dataclass(frozen=True, slots=True, kw_only=True)
class Quick:
    """What a book gave. ``values`` in SI, single floats or arrays of shape (samples,); ``rows`` the
    index of every picked row, one number or one a sample; the rest as in `Run`.
    """

    values: Mapping[str, Any]
    rows: Mapping[str, int | NDArray[np.intp]]
    defaulted: tuple[str, ...]
    missing: Mapping[str, str]
    warned: tuple[Warned, ...]


def quick(book: Book, inputs: Mapping[str, Any], *, only: str | None = None) -> Quick:
    """Run a book at single numbers. Inputs as in `run`; what it refuses is refused likewise."""
    plan = _plan(book, inputs, only, arrays=False)
    watch = Watch(book)
    try:
        values = plan.function(inputs, None, watch)
    except (ArithmeticError, ValueError, TypeError, KeyError):
        return _slowly(run(book, inputs, only=only))
    return Quick(
        values=dict(zip(plan.lines, values, strict=True)),
        rows=watch.rows,
        defaulted=plan.defaulted,
        missing=plan.missing,
        warned=tuple(watch.warned),
    )


def quick_samples(
    book: Book, inputs: Mapping[str, Any], *, draw: Draw | None = None, only: str | None = None
) -> Quick:
    """Run a book over samples; inputs and ``draw`` as in `run`."""
    plan = _plan(book, inputs, only, arrays=True)
    watch = Watch(book)
    try:
        with np.errstate(all="ignore"):
            values = plan.function(inputs, draw, watch)
    except (ArithmeticError, ValueError, TypeError, KeyError):
        return _slowly(run(book, inputs, draw=draw, only=only))
    missing = dict(plan.missing)
    kept: dict[str, Any] = {}
    for name, value in zip(plan.lines, values, strict=True):
        finite = np.isfinite(value)
        if finite.all():
            kept[name] = value
            continue
        if name in book.final:
            watch.warned.append(said_not_finite(name, 1.0 - float(finite.mean())))
        if finite.any():
            kept[name] = value
        else:
            missing[name] = "has no finite value for these inputs"
    return Quick(
        values=kept, rows=watch.rows, defaulted=plan.defaulted, missing=missing, warned=tuple(watch.warned)
    )


def _slowly(result: Run) -> Quick:
    """Numbers that the generated function does not follow are run line by line."""
    return Quick(
        values=result.values,
        rows={
            name: int(row.index[0]) if row.index.size == 1 else row.index for name, row in result.rows.items()
        },
        defaulted=result.defaulted,
        missing=result.missing,
        warned=result.warned,
    )


def _plan(book: Book, inputs: Mapping[str, Any], only: str | None, *, arrays: bool) -> Plan:
    kept = _plans.get(id(book))
    if kept is None:
        kept = _plans[id(book)] = (book, {})
        if len(_plans) > _BOOKS_KEPT:
            _plans.popitem(last=False)
    key = (frozenset(name for name, value in inputs.items() if value is not None), only, arrays)
    plan = kept[1].get(key)
    if plan is None:
        unknown = next((name for name in key[0] if name not in book.inputs), None)
        if unknown is not None:
            raise ValueError(f"{book.name} has no input {unknown!r}")
        plan = kept[1][key] = write_plan(book, key[0], only=only, arrays=arrays)
    return plan
