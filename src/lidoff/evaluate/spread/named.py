"""Named: what stands behind a stream, a reading, rate, property or default, told so that one finds it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from ...materials import MATERIALS
from ...methods import Book, books
from ...prices import PriceBook
from ...quantities import Basis, Reading, Shape, Spread
from ...quantities.spread import lognormal
from ...records import FACTS, Item, Joint, Pack, Study
from ..cost.model import ModelInput, ModelLine, cost_model
from ..findings import Findings
from ..known import qualified
from ..layout import as_nominal


class InputKind(StrEnum):
    """What kind of thing a stream is; how it could be narrowed hangs on it."""

    MASS = "mass"
    WEIGHING = "weighing"
    PACK_WEIGHING = "pack weighing"
    QUANTITY = "quantity"
    SIZE = "size"
    ENVELOPE = "envelope"
    FACT = "fact"
    TORQUE = "torque"
    PRICE = "price"
    MACHINES = "machines"
    PROPERTY = "property"
    INSTRUMENT = "instrument"
    INPUT = "input"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """What a stream is. ``value`` and ``u`` (standard uncertainty) are SI; ``None``: not known.

    ``key`` is a fact's, row's, property's or input's name, ``unit`` the unit it is told in, ``where``
    where it was written. Of an instrument's shared error ``value`` is 1 and ``u`` a share of the load.
    """

    stream: str
    kind: InputKind
    title: str
    where: str = ""
    basis: Basis | None = None
    pack: str | None = None
    item: str | None = None
    key: str = ""
    unit: str = ""
    value: float | None = None
    u: float | None = None

    @property
    def relative(self) -> float | None:
        """Standard uncertainty as a share of the value."""
        if self.value is None or self.u is None or self.value == 0.0:
            return None
        return self.u / abs(self.value)


def deviation(value: float, spread: Spread) -> float:
    """Standard uncertainty of a spread's own stream about a value (for a factor: about its median)."""
    low, high = spread.low, spread.high
    if spread.shape is Shape.EXACT:
        return 0.0
    if spread.shape is Shape.LOGNORMAL:
        return spread.u * abs(value)
    if spread.shape is Shape.UNIFORM and low is not None and high is not None:
        return (high - low) / math.sqrt(12.0)
    if spread.shape is Shape.TRIANGULAR and low is not None and high is not None:
        return math.sqrt(max(low**2 + value**2 + high**2 - low * value - low * high - value * high, 0.0) / 18)
    if spread.shape is Shape.DISCRETE:
        weight = sum(p for _, p in spread.choices)
        mean = sum(v * p for v, p in spread.choices) / weight
        return math.sqrt(sum(p * (v - mean) ** 2 for v, p in spread.choices) / weight)
    return spread.u


@dataclass(frozen=True, kw_only=True)
class Names:
    """Tells the streams of a study; ``findings`` are of the same study, scenario and prices."""

    study: Study
    findings: Findings
    prices: PriceBook
    shelf: Mapping[str, Book]

    @classmethod
    def of(cls, study: Study, findings: Findings, prices: PriceBook) -> Names:
        shelf = books() if findings.books is None else findings.books
        return cls(study=study, findings=findings, prices=prices, shelf=shelf)

    def __getitem__(self, stream: str) -> Named:
        for read in (self._instrument, self._price, self._property, self._reading, self._input):
            found = read(stream)
            if found is not None:
                return found
        return Named(stream=stream, kind=InputKind.OTHER, title=stream)

    # -- what packs share ----------------------------------------------------------------------

    def _instrument(self, stream: str) -> Named | None:
        if not stream.startswith("instrument:"):
            return None
        name = stream.removeprefix("instrument:")
        used = self._instruments.get(stream, [])
        return Named(
            stream=stream,
            kind=InputKind.INSTRUMENT,
            title=f"calibration of {name}",
            where=f"behind {len(used)} readings" if len(used) != 1 else "behind 1 reading",
            basis=Basis.ASSUMED,
            value=1.0,
            u=max(used, default=None),
        )

    @cached_property
    def _instruments(self) -> Mapping[str, list[float]]:
        """Relative errors that readings share, by stream."""
        found: dict[str, list[float]] = {}
        for _, (*_, reading) in self._readings.values():
            for stream, u in qualified(reading).spread.shared:
                if reading.value:
                    found.setdefault(stream, []).append(u / abs(reading.value))
        return found

    def _price(self, stream: str) -> Named | None:
        key = stream.removeprefix("price:")
        if key == stream:
            return None
        table = self.prices.tables.get(key.rpartition(":")[0])
        if table is not None:
            return Named(
                stream=stream,
                kind=InputKind.MACHINES,
                title=f"investment: {table.title}",
                where=f"price book {self.prices.name}",
                basis=Basis.ASSUMED,
                key=table.key,
                value=1.0,
                u=deviation(1.0, lognormal(table.u)),
            )
        row = self.prices.rows.get(key)
        if row is None:
            return None
        return Named(
            stream=stream,
            kind=InputKind.PRICE,
            title=row.about or key,
            where=f"price book {self.prices.name}, {key}",
            basis=row.basis,
            key=key,
            unit=row.unit,
            value=row.value,
            u=deviation(row.value, row.spread),
        )

    def _property(self, stream: str) -> Named | None:
        room, _, rest = stream.partition(":")
        key, _, name = rest.partition(":")
        material = MATERIALS.get(key) if room == "material" else None
        found = None if material is None else material.properties.get(name)
        if material is None or found is None:
            return None
        reading = found.reading()
        return Named(
            stream=stream,
            kind=InputKind.PROPERTY,
            title=f"{name.replace('_', ' ')} of {material.title}",
            where=f"material table, {key}",
            basis=reading.basis,
            key=name,
            unit=reading.unit,
            value=reading.value,
            u=deviation(reading.value, reading.spread),
        )

    # -- what a bench wrote --------------------------------------------------------------------

    def _reading(self, stream: str) -> Named | None:
        found = self._readings.get(stream)
        if found is None:
            return None
        pack, (_, kind, title, key, owner, reading) = found
        drawn = as_nominal(reading) if key in _NOMINAL else qualified(reading)
        return Named(
            stream=stream,
            kind=kind,
            title=title,
            where=reading.origin or (owner.origin if owner is not None else ""),
            basis=reading.basis,
            pack=pack.id,
            item=None if owner is None else owner.id,
            key=key,
            unit=reading.unit,
            value=reading.value,
            u=deviation(reading.value, qualified(drawn).spread),
        )

    @cached_property
    def _readings(self) -> Mapping[str, tuple[Pack, Written]]:
        return {one[0]: (pack, one) for pack in self.study.packs for one in _written(pack)}

    # -- what a book was given or took by default ----------------------------------------------

    def _input(self, stream: str) -> Named | None:
        subject, _, rest = stream.partition(":")
        method, _, name = rest.partition(":")
        pack, owner = self._owners.get(subject, (None, None))
        book = self.shelf.get(method)
        entry = None if book is None else book.inputs.get(name)
        if pack is None or owner is None or book is None or entry is None:
            return None
        filled = self._filled(pack, subject, method, name)
        value = filled.value if filled is not None and isinstance(filled.value, float) else None
        given = None if filled is None else filled.origin.reading
        default = entry.default
        u = None
        if given is not None:
            u = deviation(given.value, qualified(given).spread)
        elif default is not None and value is not None:
            u = deviation(abs(value), lognormal(default.spread)) if default.spread > 0.0 else 0.0
        return Named(
            stream=stream,
            kind=InputKind.INPUT,
            title=f"{entry.about or name}, {_label(owner)}",
            where=f"{'given' if given is not None else 'default'} of {book.title}",
            basis=given.basis if given is not None else default.basis if default is not None else None,
            pack=pack.id,
            item=owner.id,
            key=name,
            unit=entry.unit.text,
            value=value,
            u=u,
        )

    @cached_property
    def _owners(self) -> Mapping[str, tuple[Pack, Item | Joint]]:
        found: dict[str, tuple[Pack, Item | Joint]] = {}
        for pack in self.study.packs:
            found.update({joint.id: (pack, joint) for joint in pack.joints})
            found.update({item.id: (pack, item) for item in pack.items})
        return found

    def _filled(self, pack: Pack, subject: str, method: str, name: str) -> ModelInput | None:
        line = self._models[pack.id].get(subject)
        if line is None:
            return None
        sheets = [step.sheet for step in line.steps] + ([line.stack] if line.stack is not None else [])
        chosen = [sheet for sheet in sheets if sheet.book.name == method and name in sheet.inputs]
        return chosen[0].inputs[name] if chosen else None

    @cached_property
    def _models(self) -> Mapping[str, Mapping[str, ModelLine]]:
        """The cost model of every pack, for the values that defaults came to."""
        found = self.findings
        return {
            pack.id: cost_model(
                pack, found.scenario, self.prices, found.packs[pack.id].mass_lines, self.shelf
            ).lines
            for pack in self.study.packs
            if pack.id in found.packs
        }


def _label(owner: Item | Joint) -> str:
    if isinstance(owner, Item):
        return f"{owner.number} {owner.name.strip()}".strip()
    return f"joint {owner.kind.strip() or 'not said'}, {owner.first_text} to {owner.second_text}"


Written = tuple[str, InputKind, str, str, "Item | Joint | None", Reading]


def _written(pack: Pack) -> Iterator[Written]:
    """Stream, kind, title, key, owner and reading of everything noted of a pack."""
    for item in pack.items:
        label = _label(item)
        for name, kind in _OF_ITEM.items():
            reading: Reading | None = getattr(item, name)
            if reading is not None:
                yield f"{item.id}.{name}", kind, f"{name} of {label}", name, item, reading
        for n, weighing in enumerate(item.weighings):
            title = f"weighing {n + 1} of {label} as a whole"
            yield f"{item.id}.weighing.{n}", InputKind.WEIGHING, title, "mass", item, weighing
    for joint in pack.joints:
        if joint.count is not None:
            title = f"count of {_label(joint)}"
            yield f"{joint.id}.count", InputKind.QUANTITY, title, "count", joint, joint.count
        for n, torque in enumerate(joint.torques):
            title = f"torque {n + 1} of {_label(joint)}"
            yield f"{joint.id}.torque.{n}", InputKind.TORQUE, title, "torque", joint, torque
    for fact in pack.facts:
        key, reading = fact.key, fact.reading
        if key is not None and reading is not None:
            kind = _OF_FACT.get(key, InputKind.FACT)
            side = _SIDES.index(key) if key in _SIDES else None
            stream = f"{pack.id}.{key}" if side is None else f"{pack.id}.envelope.{side}"
            about = FACTS[key].about if key in FACTS else key
            yield stream, kind, f"{about}, {pack.name}", key, None, reading


_OF_ITEM = {
    "mass": InputKind.MASS,
    "quantity": InputKind.QUANTITY,
    "length": InputKind.SIZE,
    "width": InputKind.SIZE,
    "thickness": InputKind.SIZE,
    "wall": InputKind.SIZE,
}
_SIDES = ("envelope_length", "envelope_width", "envelope_height")
_OF_FACT = {"mass_weighed": InputKind.PACK_WEIGHING, **{side: InputKind.ENVELOPE for side in _SIDES}}
#: Facts that the layout takes as definitions where nobody gave a spread.
_NOMINAL = ("cell_voltage", "cell_voltage_max", "cell_voltage_min")
