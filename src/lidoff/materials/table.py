"""Reads the material tables: properties in SI with spread and source, aliases, price links."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from ..quantities import Basis, Reading, Shape, Spread, UnitError, parse_unit
from ..quantities.spread import lognormal, normal
from ..sources import Kind, source

#: Units of the properties a material may have; anything else in a table is a mistake.
PROPERTY_UNITS: Mapping[str, str] = MappingProxyType(
    {
        "density": "kg/m^3",
        "tensile_strength": "MPa",
        "shear_strength": "MPa",
        "proof_strength": "MPa",
        "specific_cutting_energy": "J/mm^3",
        "melt_energy": "J/mm^3",
        "extrusion_constant": "MPa",
        "extrusion_speed": "m/min",
        "casting_pressure": "MPa",
        "cavity_pressure": "MPa",
        "thermal_diffusivity": "mm^2/s",
        "melt_temperature": "degC",
        "mould_temperature": "degC",
        "eject_temperature": "degC",
    }
)

#: From this relative uncertainty on a spread goes by a factor, so that it never reaches zero.
FACTOR_FROM = 0.1

TABLES = ("metals.toml", "polymers.toml", "others.toml")


class MaterialError(ValueError):
    """A material table that cannot be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Property:
    """A property: ``value`` in SI, ``unit`` as tabled, ``u`` relative standard uncertainty.

    For temperatures ``u`` is relative to the value in its own unit (°C).
    """

    name: str
    value: float
    unit: str
    u: float
    source: str

    @property
    def basis(self) -> Basis:
        """Published where a source prints it; a choice of ours is an estimate."""
        return Basis.ESTIMATED if source(self.source).kind is Kind.PROJECT_CHOICE else Basis.PUBLISHED

    @property
    def spread(self) -> Spread:
        if self.u == 0.0:
            return Spread(shape=Shape.EXACT)
        unit = parse_unit(self.unit)
        if self.u >= FACTOR_FROM and not unit.offset:
            return lognormal(self.u)
        return normal(self.u * abs(unit.from_si(self.value)) * unit.factor)

    def reading(self) -> Reading:
        """The property as a reading, with its source as origin."""
        return Reading(
            value=self.value,
            unit=self.unit,
            basis=self.basis,
            spread=self.spread,
            origin=f"source:{self.source}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A material. ``price`` and ``scrap`` are keys of price-book rows, ``None`` where none fits.

    ``of`` with ``coating`` says that this is that material with that coating (zinc-coated steel).
    ``unsure`` aliases recognise it only as a likely kind. ``general`` kinds (steel, rubber)
    give way to a particular one, ``last`` to any other match.
    """

    key: str
    title: str
    family: str
    density: Property
    properties: Mapping[str, Property]
    aliases: tuple[str, ...]
    unsure: frozenset[str] = frozenset()
    price: str | None = None
    scrap: str | None = None
    of: str | None = None
    coating: str | None = None
    last: bool = False
    general: bool = False

    def get(self, name: str) -> Reading | None:
        """A property as a reading, or ``None`` where the table has none."""
        found = self.properties.get(name)
        return None if found is None else found.reading()


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating:
    """A coating or covering; aliases are words in sequence."""

    key: str
    title: str
    aliases: tuple[str, ...]


_KEYS = {"title", "family", "price", "scrap", "aliases", "unsure", "of", "coating", "last", "general"}


def load_materials(text: str) -> dict[str, Material]:
    """Read a material table. Raises `MaterialError` naming entry and property."""
    try:
        entries = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise MaterialError(f"material table: {error}") from error
    return {key: _material(key, entry) for key, entry in entries.items()}


def _material(key: str, entry: dict[str, Any]) -> Material:
    unknown = set(entry) - _KEYS - set(PROPERTY_UNITS)
    if unknown:
        raise MaterialError(f"material {key!r} has unknown entries: {', '.join(sorted(unknown))}")
    properties = {name: _property(key, name, entry[name]) for name in PROPERTY_UNITS if name in entry}
    if "density" not in properties:
        raise MaterialError(f"material {key!r} has no density")
    aliases = tuple(entry.get("aliases", ()))
    unsure = frozenset(entry.get("unsure", ()))
    if not unsure <= set(aliases):
        raise MaterialError(f"material {key!r}: unsure aliases must be aliases")
    return Material(
        key=key,
        title=str(entry["title"]),
        family=str(entry["family"]),
        density=properties["density"],
        properties=MappingProxyType(properties),
        aliases=aliases,
        unsure=unsure,
        price=entry.get("price"),
        scrap=entry.get("scrap"),
        of=entry.get("of"),
        coating=entry.get("coating"),
        last=bool(entry.get("last", False)),
        general=bool(entry.get("general", False)),
    )


def _property(key: str, name: str, entry: object) -> Property:
    if not (isinstance(entry, list) and len(entry) == 4):
        raise MaterialError(f"material {key!r}: {name} must be [value, unit, spread, source]")
    value, unit_text, u, source_id = entry
    try:
        unit, wanted = parse_unit(unit_text), parse_unit(PROPERTY_UNITS[name])
        source(source_id)
    except (UnitError, KeyError) as error:
        raise MaterialError(f"material {key!r}: {name}: {error.args[0]}") from error
    if unit.dimension != wanted.dimension:
        raise MaterialError(f"material {key!r}: {name} in {unit_text!r} is not {wanted.dimension}")
    if not (value > 0.0 and 0.0 <= u < 1.0):
        raise MaterialError(f"material {key!r}: {name} {value} {unit_text} with spread {u} is out of range")
    return Property(name=name, value=unit.to_si(float(value)), unit=unit_text, u=float(u), source=source_id)


def _shipped() -> Mapping[str, Material]:
    room = files(__package__)
    found: dict[str, Material] = {}
    for name in TABLES:
        found |= load_materials((room / name).read_text("utf-8"))
    return MappingProxyType(found)


def _shipped_coatings() -> Mapping[str, Coating]:
    entries = tomllib.loads((files(__package__) / "coatings.toml").read_text("utf-8"))
    return MappingProxyType(
        {
            key: Coating(key=key, title=entry["title"], aliases=tuple(entry["aliases"]))
            for key, entry in entries.items()
        }
    )


MATERIALS: Mapping[str, Material] = _shipped()
COATINGS: Mapping[str, Coating] = _shipped_coatings()
