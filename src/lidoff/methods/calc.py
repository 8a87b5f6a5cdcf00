"""One method with a person's own numbers, given as text with units."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..materials import MATERIALS, Material, recognise
from ..prices import PriceBook, PriceError, price_book
from ..quantities import parse_unit
from ..records import Scenario
from .amounts import AmountError, in_unit, plain_unit, read_amount
from .book import UNCHECKED, Book, Input
from .brief import brief, listed
from .calculate import Table
from .machines import RATE_BOOK, rated
from .origins import look_up
from .run import Run, run
from .shelf import books

MATERIAL = "material"


class CalcError(ValueError):
    """An input that cannot be used; one sentence naming it, its value and the unit wanted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a method gave.

    ``outputs`` are the book's outputs as (value, unit), money in the price book's currency;
    ``missing`` says of lines that could not be computed why; ``taken`` what was filled in from the
    material, the price book, the default scenario or the book's own defaults.
    """

    outputs: Mapping[str, tuple[float, str]]
    missing: Mapping[str, str]
    warnings: tuple[str, ...]
    taken: tuple[str, ...]
    run: Run


def calc(
    book: Book,
    given: Mapping[str, str],
    *,
    prices: PriceBook | None = None,
    scenario: Scenario | None = None,
    shelf: Mapping[str, Book] | None = None,
) -> Answer:
    """Evaluate a book from texts such as ``{"gauge": "1.5 mm", "material": "steel"}``.

    ``material`` (a key or words) fills the inputs that come from a material. Prices come from
    ``prices`` or the scenario's own book, volumes from ``scenario`` or the default one, each used
    only where it is not given. ``shelf`` holds the book of machine rates, the shipped one where
    ``None``. Raises `CalcError`.
    """
    scenario = scenario or Scenario()
    filler = _Filler(book, prices, scenario, _material(book, given), books() if shelf is None else shelf)
    inputs: dict[str, Any] = {}
    for name, text in given.items():
        if name == MATERIAL and name not in book.inputs:
            continue
        inputs[name] = _amount(_named(book, name), text)
    for name, entry in book.inputs.items():
        if name not in inputs:
            inputs[name] = filler.fill(entry)
    result = run(book, inputs)
    currency = filler.book_of_prices().currency if filler.uses_money() else "money"
    return Answer(
        outputs={
            name: (
                float(book.lines[name].unit.from_si(float(result.values[name]))),
                _unit(book, name, currency),
            )
            for name in book.outputs
            if name in result.values
        },
        missing=result.missing,
        warnings=(*result.warnings, *(() if book.checked else (UNCHECKED,))),
        taken=(*filler.taken, *(_defaulted(book, result, name) for name in result.defaulted)),
        run=result,
    )


def _unit(book: Book, name: str, currency: str) -> str:
    return plain_unit(book.lines[name].unit.text).replace("money", currency)


def _defaulted(book: Book, result: Run, name: str) -> str:
    default = book.inputs[name].default
    basis = "by default" if default is None else str(default.basis)
    value: Any = result.inputs[name]
    return f"{name} = {in_unit(float(value), book.inputs[name].unit)} ({basis})"


def _named(book: Book, name: str) -> Input:
    entry = book.inputs.get(name)
    if entry is not None:
        return entry
    near = difflib.get_close_matches(name, [*book.inputs, MATERIAL], n=1)
    hint = f"did you mean {near[0]}?" if near else f"it takes {listed(book.inputs)}"
    raise CalcError(f"{book.name} has no input {brief(name)}; {hint}")


def _amount(entry: Input, text: str) -> float:
    if entry.is_table:
        raise CalcError(f"{entry.name} is a table of the price book and cannot be given as a value")
    try:
        return read_amount(text, entry.unit)
    except AmountError as error:
        raise CalcError(f"{entry.name}: {error}") from error


def _material(book: Book, given: Mapping[str, str]) -> Material | None:
    if MATERIAL not in given or MATERIAL in book.inputs:
        return None
    words = given[MATERIAL].strip()
    if words in MATERIALS:
        return MATERIALS[words]
    known = recognise(words)
    if known is None:
        near = difflib.get_close_matches(words, MATERIALS, n=3)
        raise CalcError(
            f"material {brief(words)} is not known" + (f"; nearest: {', '.join(near)}" if near else "")
        )
    return MATERIALS[known.key]


@dataclass(slots=True)
class _Filler:
    """Fills what was not given, and keeps what it took."""

    book: Book
    prices: PriceBook | None
    scenario: Scenario
    material: Material | None
    shelf: Mapping[str, Book]
    taken: list[str] = field(default_factory=list)

    def fill(self, entry: Input) -> float | Table | None:
        origin = entry.comes_from or ""
        if origin.startswith("table:"):
            return self.table(origin.removeprefix("table:"))
        value = self.of_scenario(entry)
        if value is not None:
            self.taken.append(f"{entry.name} = {in_unit(value, entry.unit)} (scenario)")
            return value
        if not origin.startswith(("price.", "material.")):
            return None
        found = look_up(entry, self.material, self.book_of_prices())
        if found is None:
            return None
        self.taken.append(
            f"{entry.name} = {in_unit(found.reading.value, entry.unit)} ({found.reading.origin})"
        )
        return found.reading.value

    def of_scenario(self, entry: Input) -> float | None:
        """Volume and life as if one part went into a pack."""
        a_year, years = self.scenario.volume, self.scenario.life
        known = {
            "scenario.volume": a_year,
            "scenario.life": years,
            "route.parts_year": a_year,
            "route.parts_life": a_year * years,
        }
        value = known.get(entry.comes_from or "")
        if value is None:
            return None
        said = {"volume": "part/year", "parts_year": "part/year", "life": "year"}
        unit = said.get((entry.comes_from or "").partition(".")[2], "part")
        return parse_unit(unit).to_si(value)

    def table(self, key: str) -> Table | None:
        prices = self.book_of_prices()
        machines = prices.tables.get(key)
        if machines is None or RATE_BOOK not in self.shelf:
            return None
        self.taken.append(f"{machines.title} ({prices.name}, {key})")
        return rated(machines, prices, self.shelf[RATE_BOOK])

    def book_of_prices(self) -> PriceBook:
        if self.prices is None:
            try:
                self.prices = price_book(self.scenario.price_book)
            except PriceError as error:
                raise CalcError(str(error)) from error
        return self.prices

    def uses_money(self) -> bool:
        return any("money" in self.book.lines[name].unit.text for name in self.book.outputs)
