"""A pin: the ranges of all inputs as they were last reviewed (`reviewed_ranges.csv`).

A range says where its author trusts a method; nothing outside decides it. Changing one is a decision, so it
is made in two places: ``python -m mutation.ranges`` in this folder's parent writes the file anew.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from lidoff.methods import Book, books
from lidoff.quantities import parse_unit

FILE = Path(__file__).parent / "reviewed_ranges.csv"


@cache
def reviewed() -> dict[tuple[str, str], tuple[float, float, str]]:
    with FILE.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file)
        return {
            (row["book"], row["input"]): (float(row["low"]), float(row["high"]), row["unit"]) for row in rows
        }


def range_faults(book: Book) -> Iterator[str]:
    """Ranges that are not the reviewed ones, or not reviewed."""
    for entry in book.inputs.values():
        known = reviewed().get((book.name, entry.name))
        if known is None:
            if entry.range is not None:
                yield f"the range of {entry.name} is not reviewed"
            continue
        if entry.low is None or entry.high is None:
            yield f"{entry.name} has lost its range"
            continue
        unit = parse_unit(known[2])
        for ours, end in ((entry.low, known[0]), (entry.high, known[1])):
            if not math.isclose(ours, unit.to_si(end), rel_tol=1e-9):
                yield f"an end of {entry.name} is {unit.from_si(ours):g} {known[2]}, reviewed {end:g}"


def write() -> None:
    with FILE.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["book", "input", "low", "high", "unit"])
        for book in sorted(books().values(), key=lambda one: one.name):
            for entry in book.inputs.values():
                if entry.range is not None:
                    out.writerow(
                        [book.name, entry.name, *(f"{end:.10g}" for end in entry.range), entry.unit.text]
                    )


if __name__ == "__main__":
    write()
