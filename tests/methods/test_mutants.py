"""A slip in a book is noticed: a drawn sample of the mutation run (`make mutate` makes all of them).

The seed is printed with a failure and changes from day to day; LIDOFF_SEED repeats one.
"""

from __future__ import annotations

import os
import random
import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from mutation.formulas import changes
from mutation.judge import noticed, shelf_data
from mutation.mutants import Mutant, mutants
from mutation.rules import faults
from mutation.survivors import survivors
from mutation.text import written

from lidoff.methods import books, parse

SEED = int(os.environ.get("LIDOFF_SEED") or datetime.now(tz=UTC).strftime("%Y%m%d"))
SECONDS = 8.0
FEWEST = 60


def _drawn() -> Iterator[Mutant]:
    """Mutants in a random order, without end of the books' order."""
    data = shelf_data()
    everything = [mutant for name in data for mutant in mutants(name, data[name])]
    random.Random(SEED).shuffle(everything)
    yield from everything


def test_slips_in_books_are_noticed() -> None:
    """At least 95 % of the mutants turn a check red; those accepted with a reason are not counted."""
    ends = time.monotonic() + SECONDS
    tried, unnoticed = 0, []
    for mutant in _drawn():
        if tried >= FEWEST and time.monotonic() > ends:
            break
        if noticed(mutant):
            tried += 1
        elif not survivors().reason(mutant):
            tried += 1
            unnoticed.append(mutant.label)
    assert tried >= FEWEST
    # Of a sample of n, the share red strays by two standard deviations of a share of 95 %.
    allowed = 0.05 * tried + 2.0 * (0.05 * 0.95 * tried) ** 0.5
    assert len(unnoticed) <= allowed, f"seed {SEED}: of {tried} not noticed: {'; '.join(unnoticed)}"


@pytest.mark.parametrize("name", sorted(books()))
def test_books_keep_the_rules(name: str) -> None:
    assert list(faults(books()[name], books())) == []


def test_a_formula_written_out_reads_the_same() -> None:
    for book in books().values():
        for line in book.lines.values():
            assert written(parse(written(line.formula.tree))) == written(line.formula.tree)


def test_the_mutants_of_a_formula_are_all_there() -> None:
    """Counted by hand: 2 constants, 3 operators, 1 function with its 2 arguments alone, 1 unit."""
    found = [change.kind for change in changes('max(a + 2*b, quantity(3, "mm")/c)')]
    assert sorted(found) == sorted(["constant"] * 2 + ["operator"] * 3 + ["function"] * 3 + ["unit"])
    lookup = [change.kind for change in changes("pick(t, size >= x and bed >= y)")]
    assert lookup.count("lookup") == 4 and lookup.count("condition") == 3 and lookup.count("edge") == 2
