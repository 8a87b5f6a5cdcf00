"""The cost stack: from material, labour and burden to the price the buyer pays.

The rule itself is the method book `cost_stack`; here its supplier class is chosen and its inputs
are filled.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from ...methods.book import source_id
from ...methods.fused import quick, quick_samples
from ...records import Route
from ...sources import SOURCES
from .amount import NOTHING, Amount
from .frame import Frame
from .inputs import Subject, default_draw
from .route import NotCosted

STACK_BOOK = "cost_stack"
NO_MARKUP = "none"
_ADDED = ("markup", "packaging", "price")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """What stands on top of manufacturing cost [money/part], and the price."""

    markup: Amount
    packaging: Amount
    price: Amount
    sources: tuple[str, ...]


@cache
def suppliers() -> tuple[str, Mapping[str, str]]:
    """Supplier class where none is named, and by method."""
    data = tomllib.loads((Path(__file__).parent / "suppliers.toml").read_text("utf-8"))
    return data["default"], data["methods"]


def supplier_class(route: Route) -> str:
    """The class of whoever makes the part: that of the route's first step."""
    otherwise, known = suppliers()
    return known.get(route.steps[0].method, otherwise)


def stack(
    frame: Frame, subject: Subject, supplier: str, material: Amount, labour: Amount, burden: Amount
) -> Stack:
    """Mark-up, packaging and price by the book. Raises `NotCosted` where it lacks something."""
    if supplier == NO_MARKUP:
        nothing = frame.exact(0.0)
        return Stack(markup=nothing, packaging=nothing, price=material + labour + burden, sources=())
    book = frame.books.get(STACK_BOOK)
    if book is None:
        raise NotCosted(f"there is no method book {STACK_BOOK!r}")
    amounts = {"material": material, "labour": labour, "burden": burden}
    cited: list[str] = []
    for name, entry in book.inputs.items():
        row = _row(entry.comes_from, supplier)
        found = frame.price(row) if row is not None and name not in amounts else None
        if found is not None:
            amounts[name] = frame.amount(found)
            cited.append(source_id(found.source))
    nominal = quick(book, {name: amount.value for name, amount in amounts.items()})
    missing = next((line for line in _ADDED if line in nominal.missing), None)
    if missing is not None:
        raise NotCosted(f"{book.title}: {missing} {nominal.missing[missing]}")
    values: Mapping[str, Any] = nominal.values
    sampled: Mapping[str, Any] = values
    if frame.count:
        drawn = {name: amount.samples for name, amount in amounts.items()}
        sampled = quick_samples(book, drawn, draw=default_draw(frame, book, subject)).values

    def amount(line: str) -> Amount:
        if not frame.count:
            return Amount(value=float(values[line]), samples=NOTHING)
        samples = np.broadcast_to(np.asarray(sampled[line], dtype=np.float64), (frame.count,))
        return Amount(value=float(values[line]), samples=samples)

    sources = (*frame.sources(book), *(source for source in cited if source in SOURCES))
    return Stack(
        markup=amount("markup"),
        packaging=amount("packaging"),
        price=amount("price"),
        sources=tuple(dict.fromkeys(sources)),
    )


def _row(comes_from: str | None, supplier: str) -> str | None:
    """The price row behind an input, the mark-up rows being those of the supplier's class."""
    if comes_from is None or not comes_from.startswith("price."):
        return None
    row = comes_from.removeprefix("price.")
    room, _, rest = row.partition(".")
    return f"markup.{supplier}.{rest.rpartition('.')[2]}" if room == "markup" else row
