"""Rules that every book keeps, whatever it says: one name means one thing, and nothing hangs in the air."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import cache

from lidoff.materials import MATERIALS
from lidoff.methods import Book, Input
from lidoff.prices import price_book, price_books
from lidoff.quantities import fits, parse_unit

from .frame import frame_faults
from .picks import edge_faults, pick_faults
from .ranges import range_faults

#: Names whose range or origin differs from process to process with reason.
PARTICULAR = {
    "area", "cavities", "current", "cut_depth", "cutting_energy", "cutting_speed", "diameter", "feed",
    "gauge", "handling", "holes", "kerf", "lines", "load_time", "machines", "outline", "parts_per_stroke",
    "presses", "stations", "tool_base", "tool_life", "tool_rate", "tool_station", "wall",
}  # fmt: skip
#: Names that mean something of their own in one book: the wage before its loading, the powder's density.
APART = frozenset({("loaded_wage", "wage"), ("powder_coating", "density")})
#: What every process book takes from where, and what single books do.
TAKEN = {
    "mass": "item.mass", "length": "item.length", "width": "item.width", "thickness": "item.thickness",
    "wall": "item.wall", "gauge": "item.wall", "scrap_price": "material.scrap_price",
}  # fmt: skip
TAKEN_BY = {
    "screwing measured_torque": "joint.torque",
    "screwing screws": "joint.count",
    "bought_part piece_price": "item.piece_price",
    "bending bend_length": "item.width",
    "extrusion speed": "material.extrusion_speed",
    "saw cutting_energy": "material.specific_cutting_energy",
    "turning cutting_energy": "material.specific_cutting_energy",
    "deep_drawing tensile": "material.tensile_strength",
    "machine_hour_rate area_rate": "price.rate.area",
    "cost_stack packaging_share": "price.packaging.share",
    "high_pressure_die_casting trim_share": "price.tool.trim.share",
}
ITEM = {*(value for value in TAKEN.values() if value.startswith("item.")), "item.price", "item.piece_price"}
OTHER = {
    "route.parts_year", "route.parts_life", "scenario.volume", "scenario.life", "joint.count", "joint.torque",
}  # fmt: skip


def faults(book: Book, shelf: Mapping[str, Book]) -> Iterator[str]:
    """What a book breaks of the rules, in sentences."""
    yield from _alike(book, shelf)
    yield from _origins(book)
    yield from _defaults(book)
    yield from _threads(book)
    yield from _known_origins(book)
    yield from frame_faults(book)
    yield from pick_faults(book)
    yield from edge_faults(book)
    yield from range_faults(book)


def _alike(book: Book, shelf: Mapping[str, Book]) -> Iterator[str]:
    """One name, one origin and one range in all process books, and in all books of physics."""
    for entry in book.inputs.values():
        if entry.name in PARTICULAR or (book.name, entry.name) in APART:
            continue
        for other in shelf.values():
            twin = other.inputs.get(entry.name)
            if other.name == book.name or twin is None or (other.name, entry.name) in APART:
                continue
            if _room(other) != _room(book):
                continue
            if twin.comes_from != entry.comes_from:
                yield f"{entry.name} comes from {entry.comes_from}, in {other.name} from {twin.comes_from}"
            if not _same_range(entry, twin):
                yield f"{entry.name} has another range than in {other.name}"


def _room(book: Book) -> str:
    return book.topic.partition(".")[0]


def _known_origins(book: Book) -> Iterator[str]:
    """What a bench, a material or the price book knows under the input's own name is taken from there."""
    properties = frozenset(key for material in MATERIALS.values() for key in material.properties)
    for entry in book.inputs.values():
        if (book.name, entry.name) in APART:
            continue
        wanted = TAKEN_BY.get(f"{book.name} {entry.name}")
        if wanted is None and "good_share" in book.lines:
            property_of = f"material.{entry.name}" if entry.name in properties else None
            wanted = TAKEN.get(entry.name) or property_of
        if wanted is not None and entry.comes_from != wanted:
            yield f"{entry.name} is {wanted}"
        elif not book.topic.startswith("cost."):
            continue
        elif entry.comes_from is None and entry.default is None and _price_named(entry):
            yield f"{entry.name} stands in the price book"


def _price_named(entry: Input) -> bool:
    return any(
        key.rpartition(".")[2] == entry.name and fits(parse_unit(row.unit), entry.unit.dimension)
        for name in price_books()
        for key, row in price_book(name).rows.items()
    )


def _same_range(a: Input, b: Input) -> bool:
    ends = zip((a.low, a.high), (b.low, b.high), strict=True)
    return all(p == q or (p is not None and q is not None and math.isclose(p, q)) for p, q in ends)


def _origins(book: Book) -> Iterator[str]:
    """What ``from`` names is there, in the right dimension, and asked for once; no money from nowhere."""
    asked: dict[str, str] = {}
    for entry in book.inputs.values():
        origin = entry.comes_from
        if origin is None:
            if "good_share" in book.lines and entry.default is None and "money" in entry.unit.text:
                yield f"{entry.name} is money from nowhere"
            if entry.is_table:
                yield f"{entry.name} is a table from nowhere"
            continue
        if origin in asked:
            yield f"{entry.name} and {asked[origin]} both come from {origin}"
        asked[origin] = entry.name
        yield from _found(entry, origin)


def _found(entry: Input, origin: str) -> Iterator[str]:
    room, _, key = origin.partition(".")
    if origin in ITEM or origin in OTHER:
        return
    if room == "price":
        for name in price_books():
            row = price_book(name).rows.get(key)
            if row is None or not fits(parse_unit(row.unit), entry.unit.dimension):
                yield f"{entry.name}: {name} has no row {key} in {entry.unit.text}"
    elif room == "material":
        if key not in ("price", "scrap_price") and not _property_fits(key, entry):
            yield f"{entry.name}: no material has {key} in {entry.unit.text}"
    elif origin.startswith("table:"):
        yield from _columns(entry, origin.removeprefix("table:"))
    else:
        yield f"{entry.name}: nothing is called {origin}"


def _property_fits(key: str, entry: Input) -> bool:
    found = [material.properties[key] for material in MATERIALS.values() if key in material.properties]
    return bool(found) and all(fits(parse_unit(one.reading().unit), entry.unit.dimension) for one in found)


def _columns(entry: Input, key: str) -> Iterator[str]:
    for name in price_books():
        table = price_book(name).tables.get(key)
        for column, unit in (entry.columns or {}).items():
            if column == "rate" and table is not None:
                if unit is None or unit.dimension != parse_unit("money/h").dimension:
                    yield f"{entry.name}: a rate is money an hour"
            elif table is None or column not in table.columns:
                yield f"{entry.name}: {name} has no {key} with {column}"
            elif unit is not None and unit.dimension != parse_unit(table.columns[column]).dimension:
                yield f"{entry.name}.{column} is {unit.text}, in {name} {table.columns[column]}"


def _defaults(book: Book) -> Iterator[str]:
    """A default number stands inside its range."""
    for entry in book.inputs.values():
        number = entry.default.number if entry.default is not None else None
        if number is None or entry.low is None or entry.high is None:
            continue
        if not entry.low <= number <= entry.high:
            yield f"the default of {entry.name} is outside its range"


@cache
def _millimetre() -> float:
    return parse_unit("mm").factor


def _threads(book: Book) -> Iterator[str]:
    """ISO 898-1: the stress area is that of the mean of pitch and minor diameter, pi/4 (d - 0.9382 P)^2.

    The printed areas are rounded to three digits; sizes ascend by more than the 7 % a slip would make.
    """
    table = book.tables.get("threads")
    if table is None:
        return
    columns = table.table.columns
    rows = zip(columns["size"], columns["thread_pitch"], columns["stress_area"], strict=True)
    last = 0.0
    for size, pitch, area in rows:
        if not math.isclose(area, math.pi / 4.0 * (size - 0.9382 * pitch) ** 2, rel_tol=0.006):
            yield f"the stress area of M{size / _millimetre():g} is not that of its pitch"
        if size <= last:
            yield f"M{size / _millimetre():g} is out of order"
        last = size
