"""Machines: a price book's machine table with the hour rate of every machine worked out."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..prices import MachineTable, PriceBook
from ..quantities.sampling import sample_spread
from ..quantities.spread import lognormal
from .book import Book
from .calculate import Array, Table
from .run import run

RATE_BOOK = "machine_hour_rate"
RATE = "rate"
INVESTMENT = "capex"


def rated(table: MachineTable, prices: PriceBook, book: Book, *, count: int = 0, seed: int = 0) -> Table:
    """The table with a column ``rate`` [money/s], by the book `machine_hour_rate`.

    Inputs of the book are the table's columns of the same name and, for the rest, prices. With
    ``count`` samples the rate has shape (rows, count): the prices' streams and one stream for what
    machines of the table cost, all shared by whoever uses the table. Without, it has shape (rows,).
    """
    columns, words = _columns(table)
    inputs: dict[str, Any] = {}
    repeat = max(count, 1)
    rows = len(table.rows)
    for name, entry in book.inputs.items():
        if name in columns:
            inputs[name] = np.repeat(columns[name], repeat)
            continue
        room, _, key = (entry.comes_from or "").partition(".")
        if room == "price" and key in prices.rows:
            one = prices.samples(key, count, seed=seed) if count else np.array([prices.rows[key].value])
            inputs[name] = np.tile(one, rows)
    if count and INVESTMENT in inputs:
        spread = sample_spread(1.0, lognormal(table.u), f"price:{table.key}:{INVESTMENT}", count, seed=seed)
        inputs[INVESTMENT] = inputs[INVESTMENT] * np.tile(spread, rows)
    result = run(book, inputs)
    if RATE not in result.values:
        raise ValueError(
            f"{table.key}: no hour rate: {result.missing.get(RATE, 'the book has no such line')}"
        )
    rate = np.broadcast_to(np.asarray(result.values[RATE]), (rows * repeat,)).reshape(rows, repeat)
    return Table(columns={**columns, RATE: rate if count else rate[:, 0]}, words=words)


def _columns(table: MachineTable) -> tuple[dict[str, Array], dict[str, tuple[str, ...]]]:
    columns: dict[str, Array] = {}
    words: dict[str, tuple[str, ...]] = {}
    for name, unit in table.columns.items():
        cells = [row[name] for row in table.rows]
        if unit == "text":
            words[name] = tuple(str(cell) for cell in cells)
        else:
            columns[name] = np.array([float(cell) for cell in cells])
    return columns, words
