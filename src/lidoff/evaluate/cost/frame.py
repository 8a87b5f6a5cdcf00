"""Frame: what all lines of a cost evaluation share: scenario, prices, books, machine rates, draws."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field

from ...materials import Material
from ...methods import Book, Input, Table, routes_of
from ...methods.machines import RATE_BOOK, rated
from ...methods.origins import Found, look_up, price_of
from ...methods.routes import RouteChoice
from ...prices import PriceBook
from ...quantities import Word, parse_unit
from ...quantities.sampling import sample_spread
from ...records import Function, Scenario
from .amount import NOTHING, Amount, exactly


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
    _looked: dict[tuple[int, str | None], Found | None] = field(default_factory=dict)
    _priced: dict[str, Found | None] = field(default_factory=dict)
    _cited: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _routes: dict[Hashable, RouteChoice] = field(default_factory=dict)

    def sources(self, book: Book) -> tuple[str, ...]:
        """What a book rests on."""
        known = self._cited.get(book.name)
        if known is None:
            known = self._cited[book.name] = book.sources
        return known

    def found(self, entry: Input, material: Material | None) -> Found | None:
        """What stands behind an input's ``from``, looked up once for all lines of a material."""
        # The books hold their inputs, so that the id of one is never another's.
        key = (id(entry), None if material is None else material.key)
        if key not in self._looked:
            self._looked[key] = look_up(entry, material, self.prices)
        return self._looked[key]

    def price(self, row: str) -> Found | None:
        """A price row as found."""
        if row not in self._priced:
            self._priced[row] = price_of(self.prices, row)
        return self._priced[row]

    def route(
        self, process: Word | None, material: Material | None, function: Function | None
    ) -> RouteChoice:
        """The route that the words for a process lead to, read once."""
        key = (process, None if material is None else material.key, function)
        choice = self._routes.get(key)
        if choice is None:
            choice = self._routes[key] = routes_of(self.books).choose(
                process,
                material=None if material is None else material.key,
                family=None if material is None else material.family,
                function=function,
                books=self.books.keys(),
            )
        return choice

    def amount(self, found: Found) -> Amount:
        """Value and draws of a price or a material's property, one stream for all that use it."""
        known = self._found.get(found.stream)
        if known is None:
            reading = found.reading
            if not self.count:
                samples = NOTHING
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
