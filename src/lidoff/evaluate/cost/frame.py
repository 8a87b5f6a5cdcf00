"""Frame: what all lines of a cost evaluation share: scenario, prices, books, machine rates, draws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ...methods import Book, Table
from ...methods.machines import RATE_BOOK, rated
from ...methods.origins import Found
from ...prices import PriceBook
from ...quantities import parse_unit
from ...quantities.sampling import sample_spread
from ...records import Scenario
from .amount import Amount, exactly


@dataclass(slots=True, kw_only=True)
class Frame:
    """Context of one evaluation. Draws and rates are kept, so that every line, and every pack
    evaluated in the same frame, uses the same ones.

    ``count`` is the number of samples, 0 for nominal values only.
    """

    scenario: Scenario
    prices: PriceBook
    books: Mapping[str, Book]
    count: int
    seed: int = 0
    _found: dict[str, Amount] = field(default_factory=dict)
    _tables: dict[str, tuple[Table, Table | None] | None] = field(default_factory=dict)

    def amount(self, found: Found) -> Amount:
        """Value and draws of a price or a material's property, one stream for all that use it."""
        known = self._found.get(found.stream)
        if known is None:
            reading = found.reading
            if not self.count:
                samples = np.empty(0)
            elif found.price is not None:
                samples = self.prices.samples(found.price, self.count, seed=self.seed)
            else:
                samples = sample_spread(
                    reading.value, reading.spread, found.stream, self.count, seed=self.seed
                )
            known = self._found[found.stream] = Amount(value=reading.value, samples=samples)
        return known

    def table(self, key: str) -> tuple[Table, Table | None] | None:
        """A machine table with hour rates, at nominal values and over samples; ``None``: no such."""
        if key not in self._tables:
            self._tables[key] = self._rated(key)
        return self._tables[key]

    def _rated(self, key: str) -> tuple[Table, Table | None] | None:
        machines, book = self.prices.tables.get(key), self.books.get(RATE_BOOK)
        if machines is None or book is None:
            return None
        nominal = rated(machines, self.prices, book)
        if not self.count:
            return nominal, None
        return nominal, rated(machines, self.prices, book, count=self.count, seed=self.seed)

    def exact(self, value: float) -> Amount:
        return exactly(value, self.count)

    def parts_a_year(self, per_pack: float) -> float:
        """Pieces a second (SI) that the scenario's packs take."""
        return parse_unit("part/year").to_si(self.scenario.volume * per_pack)

    def parts_of_life(self, per_pack: float) -> float:
        """Pieces over the life of the programme."""
        return self.scenario.volume * self.scenario.life * per_pack

    @property
    def packs_of_life(self) -> float:
        return self.scenario.volume * self.scenario.life
