"""Scenario as asked for at the edge, and the prices that go with it."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ..records import Scenario
from .errors import UserError

if TYPE_CHECKING:
    from ..prices import PriceBook

#: A price file of the user's own in the workspace, used when present.
OWN_PRICES = "prices.toml"
SAMPLES = (100, 1_000_000)


def adapted(
    scenario: Scenario,
    *,
    volume: float | None = None,
    years: float | None = None,
    region: str | None = None,
) -> Scenario:
    """The scenario with another volume [packs/year], life [years] or region. Raises `UserError`."""
    for name, value, most in (("volume", volume, 1e9), ("years", years, 100.0)):
        if value is not None and not (math.isfinite(value) and 0.0 < value <= most):
            raise UserError(f"{name} {value:g} is out of range: above 0, up to {most:g}.")
    if region is not None:
        scenario = replace(scenario, price_book=_book_of(region), region=region)
    if volume is not None:
        scenario = replace(scenario, volume=volume)
    if years is not None:
        scenario = replace(scenario, life=years)
    return scenario


def _book_of(region: str) -> str:
    from ..prices import price_books

    books = price_books()
    for name, book_region in books.items():
        if region.casefold() in (book_region.casefold(), name.casefold()):
            return name
    raise UserError(f"There is no price book for region {region!r} (regions: {', '.join(books.values())}).")


def checked_samples(samples: int) -> int:
    if not SAMPLES[0] <= samples <= SAMPLES[1]:
        raise UserError(f"samples {samples} is out of range: {SAMPLES[0]} to {SAMPLES[1]}.")
    return samples


def price_book_for(folder: Path, scenario: Scenario, own: Path | None) -> PriceBook:
    """The scenario's price book with the user's own file laid over it. Raises `UserError`."""
    from ..prices import PriceError, price_book

    overlay = own or (folder / OWN_PRICES if (folder / OWN_PRICES).is_file() else None)
    try:
        return price_book(scenario.price_book, overlay=overlay)
    except (PriceError, OSError) as error:
        raise UserError(str(error)) from error
