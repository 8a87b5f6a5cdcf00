"""A price book: what things cost in one region, currency and year, and where that is known from."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ..quantities import Basis, Reading, Shape, Spread
from ..quantities.sampling import sample_spread
from ..quantities.spread import lognormal
from ..records import Correlation
from ..sources import SOURCES, Kind
from .naming import named_by


class PriceError(ValueError):
    """A price book or overlay that cannot be used; says the file, row and reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """One row: ``value`` in SI per unit of money of the book, ``unit`` as shown ("EUR/kg").

    ``u`` is the relative standard uncertainty, taken as a factor. ``terms`` names the rows that
    this one is a weighted sum of (metal plus premium): those are drawn, not the sum.
    ``source`` is an id of the citation table, or the user's own words for an overlaid row.
    A row stated in other money or of another year keeps its number as stated [``stated_unit``] and
    what it was multiplied by: ("exchange USD", 0.92), ("index metals", 1.03).
    """

    key: str
    value: float
    unit: str
    u: float
    date: str
    source: str
    about: str = ""
    words: tuple[str, ...] = ()
    terms: tuple[tuple[str, float], ...] = ()
    overlaid: bool = False
    stated: float | None = None
    stated_unit: str = ""
    factors: tuple[tuple[str, float], ...] = ()

    @property
    def basis(self) -> Basis:
        """Assumed where the row is a choice of ours or custom; published or quoted otherwise."""
        known = SOURCES.get(self.source.partition(",")[0].strip())
        ours = known is not None and known.kind in (Kind.PROJECT_CHOICE, Kind.COMMON_PRACTICE)
        return Basis.ASSUMED if ours else Basis.PUBLISHED

    @property
    def spread(self) -> Spread:
        return lognormal(self.u) if self.u > 0.0 else Spread(shape=Shape.EXACT)

    def reading(self) -> Reading:
        return Reading(
            value=self.value,
            unit=self.unit,
            basis=self.basis,
            spread=self.spread,
            origin=f"price:{self.key}",
            note=f"{self.date}, {self.source}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineTable:
    """Machines of one kind in ascending size. ``columns`` maps a column to its unit ("text" for
    words); numbers in ``rows`` are SI. ``u`` is the relative spread of what a machine costs."""

    key: str
    title: str
    columns: Mapping[str, str]
    rows: tuple[Mapping[str, float | str], ...]
    u: float
    date: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBook:
    """All rows and tables of a region, in one currency and year, and which rows move together."""

    name: str
    title: str
    region: str
    currency: str
    year: int
    rows: Mapping[str, Price]
    tables: Mapping[str, MachineTable]
    origin: str = field(default="", compare=False)
    correlations: tuple[Correlation, ...] = ()
    _words: dict[str, list[tuple[str, Price]]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def price(self, key: str) -> Price:
        """A row. Raises `PriceError` naming the key and the book."""
        if key not in self.rows:
            raise PriceError(f"price book {self.name!r} has no row {key!r}")
        return self.rows[key]

    def samples(self, key: str, count: int, *, seed: int = 0) -> NDArray[np.float64]:
        """Draws of a row [SI]. One stream a row, shared by everything that uses it.

        A sum of rows is drawn from its terms, so two alloys move together with their metal.
        """
        row = self.price(key)
        if row.terms:
            drawn: NDArray[np.float64] = np.zeros(count)
            for term, factor in row.terms:
                drawn = drawn + factor * self.samples(term, count, seed=seed)
            return drawn
        return sample_spread(row.value, row.spread, f"price:{row.key}", count, seed=seed)

    def bought_class(self, text: str, among: str = "bought.") -> Price | None:
        """The row whose words fit a part's name best ("Main contactor"), or ``None``.

        The noun that heads the name decides, see `naming`; capitals do not matter.
        """
        known = self._words.get(among)
        if known is None:
            said = [
                (w.casefold(), r) for key, r in self.rows.items() if key.startswith(among) for w in r.words
            ]
            known = self._words[among] = sorted(said, key=lambda pair: -len(pair[0]))
        return named_by(text, known)


def price_books() -> dict[str, str]:
    """The shipped books: name to region."""
    found = {}
    for entry in sorted((files(__package__) / "books").iterdir(), key=lambda e: e.name):
        if entry.name.endswith(".toml"):
            head = tomllib.loads(entry.read_text("utf-8"))
            found[str(head["name"])] = str(head["region"])
    return found


def price_book(name_or_path: str | Path = "eu-2024", overlay: Path | None = None) -> PriceBook:
    """A shipped book by name, or one from a file; ``overlay`` is the user's own file of rows.

    Raises `PriceError` naming file, row and reason.
    """
    stamp = None if overlay is None else _stamp(overlay)
    return _book(str(name_or_path), None if overlay is None else str(overlay), stamp)


def _stamp(path: Path) -> tuple[int, int]:
    """Size and time of a file, so that a changed overlay is read again."""
    try:
        status = path.stat()
    except OSError as error:
        raise PriceError(f"{path}: cannot be read ({error.strerror or error})") from error
    return status.st_size, status.st_mtime_ns


@lru_cache(maxsize=16)
def _book(name: str, overlay: str | None, stamp: tuple[int, int] | None) -> PriceBook:
    from .reading import build  # here, so that reading may import the classes above

    shipped = files(__package__) / "books" / f"{name}.toml"
    if "/" not in name and "\\" not in name and shipped.is_file():
        text, origin = shipped.read_text("utf-8"), f"{name}.toml"
    else:
        path = Path(name)
        if path.suffix != ".toml" or not path.is_file():
            raise PriceError(f"no price book {name!r}; shipped are: {', '.join(price_books())}")
        text, origin = _text(path), path.name
    return build(text, origin, None if overlay is None else (_text(Path(overlay)), Path(overlay).name))


def _text(path: Path) -> str:
    try:
        return path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise PriceError(f"{path.name}: cannot be read as text ({error})") from error
