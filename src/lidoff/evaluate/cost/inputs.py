"""Inputs: what a book asks for, filled from the item, its material, prices, machines and route."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ...materials import Material
from ...methods import Book, Input
from ...methods.book import source_id
from ...methods.origins import Found
from ...quantities import Basis, Reading, Spread
from ...quantities.sampling import Samples, normals, sample, sample_spread
from ...quantities.spread import lognormal
from ...records import RouteStep
from ...sources import SOURCES
from ..known import qualified
from .amount import NOTHING, Amount
from .frame import Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """What is costed: an item or a group of joints.

    ``known`` are amounts by ``from`` words ("item.mass"), ``readings`` likewise, still to be drawn,
    ``prices`` price rows behind "item.price" and the like. ``per_pack`` is pieces in a pack.
    """

    id: str
    per_pack: float
    material: Material | None = None
    known: Mapping[str, tuple[Amount, Basis | None]] = field(default_factory=dict)
    readings: Mapping[str, Reading] = field(default_factory=dict)
    prices: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Gathered:
    """Inputs of one step at nominal values and over samples, and what they rest on."""

    nominal: dict[str, Any] = field(default_factory=dict)
    sampled: dict[str, Any] = field(default_factory=dict)
    bases: list[Basis] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def put(self, name: str, amount: Amount, basis: Basis | None = None) -> None:
        self.nominal[name] = amount.value
        self.sampled[name] = amount.samples
        if basis is not None:
            self.bases.append(basis)


def gather(frame: Frame, book: Book, subject: Subject, step: RouteStep) -> Gathered:
    """Everything a book's inputs can be filled with, but for the route's numbers of parts.

    Inputs given with the route stand before all else; what is not found is left to the book's
    defaults. Streams: "<item>:<method>:<input>" for what is the item's own, the price's or
    material's stream for what packs share.
    """
    got = Gathered()
    given = dict(step.inputs)
    for name, entry in book.inputs.items():
        stream = f"{subject.id}:{book.name}:{name}"
        if name in given:
            got.put(name, drawn(frame, given[name], stream), given[name].basis)
        elif entry.comes_from is not None:
            _fill(frame, got, entry, subject)
    return got


def _fill(frame: Frame, got: Gathered, entry: Input, subject: Subject) -> None:
    origin = entry.comes_from or ""
    if origin.startswith("table:"):
        _table(frame, got, entry, origin.removeprefix("table:"))
    elif origin in subject.known:
        amount, basis = subject.known[origin]
        got.put(entry.name, amount, basis)
    elif origin in subject.readings:
        reading = subject.readings[origin]
        stream = f"{subject.id}.{origin.partition('.')[2]}"
        got.put(entry.name, drawn(frame, reading, stream), reading.basis)
    elif origin == "scenario.volume":
        got.put(entry.name, frame.exact(frame.parts_a_year(1.0)))
    elif origin == "scenario.life":
        got.put(entry.name, frame.exact(entry.unit.to_si(frame.scenario.life)))
    else:
        row = subject.prices.get(origin)
        found = frame.price(row) if row else frame.found(entry, subject.material)
        if found is not None:
            _found(frame, got, entry.name, found)


def _found(frame: Frame, got: Gathered, name: str, found: Found) -> None:
    got.put(name, frame.amount(found), found.reading.basis)
    if source_id(found.source) in SOURCES:
        got.sources.append(source_id(found.source))
    else:  # a row of the user's own price file cites in the user's own words
        got.notes.append(f"{name}: {found.reading.origin} from {found.source}")


def _table(frame: Frame, got: Gathered, entry: Input, key: str) -> None:
    tables = frame.table(key)
    if tables is None:
        return
    got.nominal[entry.name] = tables[0]
    got.sampled[entry.name] = tables[1]
    source = source_id(frame.prices.tables[key].source)
    if source in SOURCES:
        got.sources.append(source)


def drawn(frame: Frame, reading: Reading, stream: str) -> Amount:
    if not frame.count:
        return Amount(value=reading.value, samples=NOTHING)
    return Amount(
        value=reading.value, samples=sample(qualified(reading), stream, frame.count, seed=frame.seed)
    )


def default_draw(frame: Frame, book: Book, subject: Subject) -> Callable[[str, Any, float], Samples]:
    """How a book's defaults spread: by a factor about what the default gives, inside the range.

    A temperature on a scale spreads by a share of its value in its own unit. What was drawn about a
    single number is kept: a step runs its book twice, for its yield and for all of it.
    """
    kept: dict[str, tuple[float, Samples]] = {}

    def draw(name: str, nominal: Any, spread: float) -> Samples:
        if np.ndim(nominal):
            return anew(name, nominal, spread)
        known = kept.get(name)
        if known is None or known[0] != float(nominal):
            known = kept[name] = float(nominal), anew(name, nominal, spread)
        return known[1]

    def anew(name: str, nominal: Any, spread: float) -> Samples:
        entry = book.inputs[name]
        stream = f"{subject.id}:{book.name}:{name}"
        if entry.unit.dimension.absolute:
            width = spread * np.abs(entry.unit.from_si(nominal)) * entry.unit.factor
            return np.asarray(nominal + width * normals(stream, frame.count, seed=frame.seed))
        return _factored(nominal, entry, lognormal(spread), stream, frame)

    return draw


def _factored(nominal: Any, entry: Input, spread: Spread, stream: str, frame: Frame) -> Samples:
    """A number in one piece is drawn truncated at its range; samples are held to it one by one."""
    value = np.asarray(nominal, dtype=np.float64)
    low, high = entry.low, entry.high
    if value.ndim == 0:
        inside = low is not None and high is not None and low <= float(value) <= high and float(value) > 0.0
        bounded = Spread(
            shape=spread.shape, u=spread.u, low=low if inside else None, high=high if inside else None
        )
        return sample_spread(float(value), bounded, stream, frame.count, seed=frame.seed)
    drawn = value * sample_spread(1.0, spread, stream, frame.count, seed=frame.seed)
    if low is None or high is None:
        return drawn
    # Never past a bound that the sample itself did not already lie beyond.
    return np.clip(drawn, np.minimum(value, low), np.maximum(value, high))
