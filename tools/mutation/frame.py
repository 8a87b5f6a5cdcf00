"""The frame that process books share, done a second time in plain Python.

Material less scrap, operators and set-ups, machine, tools over the life (Ashby & Esawi's batch model, with
set-ups of two people and tools that wear out one after another or run side by side); strip layout and gauge
of the press books. Each line of a book that has one of these names is computed at drawn values, by the book
and here, whatever the words of its formula.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lidoff.methods import Book
from lidoff.methods.book import Formula
from lidoff.quantities import parse_unit

Values = Mapping[str, float]
Again = Callable[[Values], float]

MM = parse_unit("mm").factor
MONTH = parse_unit("month").factor
DRAWS = 160


def _up(number: float) -> float:
    """To the next whole number, a hair's breadth forgiven."""
    return math.ceil(number - 1e-9 * max(1.0, abs(number)))


def labour(v: Values) -> float:
    """Operators over the cycle in productive hours; two setters over the change-over, shared by a batch."""
    work = v["crew"] * v["cycle"] + v.get("finishing", 0.0)
    return v["wage"] * work / v["oee"] + 2.0 * v["setter_wage"] * v["setup_time"] / v["batch"]


def burden(v: Values) -> float:
    """The machine's hours, those of the change-over as planned hours; what else wears with the cycle."""
    wear = 1.0 + v.get("cutter_share", 0.0) + v.get("blade_share", 0.0) + v.get("insert_wear", 0.0)
    hours = v["cycle"] * wear + v["oee"] * v["setup_time"] / v["batch"]
    return v[".rate"] * hours + v.get("melting", 0.0) + v.get("wear", 0.0)


def sets(v: Values) -> float:
    """Tools worn out over the life, or as many as must run side by side, at least one."""
    a_shot = v.get("cavities", v.get("parts_per_stroke", math.nan))
    worn = _up(v["parts_life"] / (v["tool_life"] * a_shot))
    return max(1.0, worn, v["stations"] if "stations" in v else _stations(v))


def _stations(v: Values) -> float:
    return _up(v["parts_year"] * v["cycle"] / (v["hours"] * v["oee"]))


def _stations_line(v: Values) -> float:
    return _stations(v)


def tooling(v: Values) -> float:
    """All sets and their upkeep through the years; a worn die may keep its frame."""
    whole = v.get("stations", v["sets"])
    worn = v.get("insert_share", 1.0) * (v["sets"] - whole)
    return v["tool_price"] * (whole + worn + v["upkeep"] * v["years"])


def station_tooling(v: Values) -> float:
    """One set of fixtures for every station and every piece held at once, by length where that counts."""
    fixture = v["tool_base"] + v.get("tool_rate", 0.0) * v.get("length", 0.0)
    upkeep = v.get("upkeep", 0.0) * v.get("years", 0.0)
    return fixture * v.get("pieces", 1.0) * (max(1.0, _stations(v)) + upkeep)


def sheet(v: Values) -> float:
    """Price of what is put in less what the scrap brings."""
    net = v["net_mass"] if "net_mass" in v else v["mass"]
    return v["price"] * v["gross_mass"] - v["scrap_price"] * (v["gross_mass"] - net)


def bridge(v: Values) -> float:
    """Web of a strip: 1.25 gauges below 64 mm of pitch, else 1.5; 1.3 mm at the least to 0.6 mm."""
    web = (1.25 if v["width"] + 1.25 * v["gauge"] < 64.0 * MM else 1.5) * v["gauge"]
    return max(web, 1.3 * MM) if v["gauge"] <= 0.6 * MM else web


def growth(v: Values) -> float:
    return max(1.0, v["net_area"] / (v["length"] * v["width"]))


def gauge_by_size(v: Values) -> float:
    """The third size is the gauge unless it is more than 2.5 times what mass and plan allow."""
    return v["thickness"] if v["thickness"] <= 2.5 * v["flat_gauge"] else v["flat_gauge"]


#: By line: names that must stand in the formula, and the same thing again.
LINES: tuple[tuple[str, frozenset[str], Again], ...] = (
    ("labour", frozenset({"crew", "setup_time"}), labour),
    ("burden", frozenset({"setup_time"}), burden),
    ("sets", frozenset({"tool_life"}), sets),
    ("stations", frozenset({"parts_year"}), _stations_line),
    ("tooling", frozenset({"sets", "upkeep"}), tooling),
    ("tooling", frozenset({"tool_base", "parts_year"}), station_tooling),
    ("material", frozenset({"scrap_price", "gross_mass"}), sheet),
    ("good_share", frozenset({"reject_share"}), lambda v: 1.0 - v["reject_share"]),
    ("years", frozenset({"parts_life"}), lambda v: v["parts_life"] / v["parts_year"]),
    ("growth", frozenset({"net_area"}), growth),
    ("gross_area", frozenset({"growth"}), lambda v: v["pitch"] * v["strip_width"] * v["growth"]),
    ("net_mass", frozenset({"net_area"}), lambda v: v["density"] * v["gauge"] * v["net_area"]),
    ("flat_gauge", frozenset({"mass"}), lambda v: v["mass"] / (v["density"] * v["length"] * v["width"])),
)
#: Defaults: for each formula of the list the same thing again.
DEFAULTS: Mapping[str, tuple[Again, ...]] = {
    "batch": (lambda v: v["parts_year"] * MONTH,),
    "bridge": (bridge,),
    "gauge": (gauge_by_size, lambda v: v["flat_gauge"], lambda v: v["thickness"]),
    "net_area": (
        lambda v: v["mass"] / (v["density"] * v["gauge"]),
        lambda v: math.pi * (v["diameter"] / 2.0) ** 2,
        lambda v: v["length"] * v["width"],
    ),
}
#: Defaults that only books of sheet have in this form.
BY_PLAN = frozenset({"gauge", "net_area", "bridge"})
#: Where values are drawn, in SI, so that every branch is met.
DRAWN: Mapping[str, tuple[float, float]] = {
    "width": (5.0 * MM, 110.0 * MM), "gauge": (0.1 * MM, 1.3 * MM), "net_area": (1e-4, 9e-3),
    "length": (5.0 * MM, 110.0 * MM), "thickness": (1.0 * MM, 6.0 * MM), "flat_gauge": (1.0 * MM, 3.0 * MM),
    "tool_life": (1e5, 3e5), "parts_life": (2e5, 3e6), "cycle": (1.0, 30.0), "parts_year": (1e-3, 0.2),
    "hours": (0.4, 0.6), "oee": (0.5, 0.95), "cavities": (1.0, 4.0), "parts_per_stroke": (1.0, 4.0),
}  # fmt: skip


def frame_faults(book: Book) -> Iterator[str]:
    """Where a book's shared lines do not give what the second calculation gives."""
    if "good_share" not in book.lines:
        return
    for name, needed, again in LINES:
        line = book.lines.get(name)
        if line is not None and needed <= line.formula.names:
            yield from _compare(book, name, line.formula, again)
    for name, chain in DEFAULTS.items():
        entry = book.inputs.get(name)
        if entry is None or entry.default is None or not entry.default.formulas:
            continue
        if name in BY_PLAN and "flat_gauge" not in book.lines:
            continue
        if len(entry.default.formulas) != len(chain):
            yield f"{name} has not {len(chain)} ways to its default"
        for formula, again in zip(entry.default.formulas, chain, strict=False):
            yield from _compare(book, name, formula, again)


def _compare(book: Book, name: str, formula: Formula, again: Again) -> Iterator[str]:
    drawn = _drawn(formula.names)
    rows: dict[str, Any] = {row: _Row(drawn[".rate"]) for row, line in book.lines.items() if line.is_row}
    got = np.broadcast_to(formula.calculate({**drawn, **rows}), (DRAWS,))
    try:
        wanted = _again(again, formula.names)
    except KeyError as error:
        yield f"{name} does not use {error}"
        return
    if not np.allclose(got, wanted, rtol=1e-9, atol=0.0):
        yield f"{name} is not what it is done again"


@cache
def _drawn(names: frozenset[str]) -> dict[str, NDArray[np.float64]]:
    """Values of each name, in SI; every branch of the frame is met among them."""
    found = {}
    for name in (*sorted(names), ".rate"):
        chance = random.Random(name)
        low, high = DRAWN.get(name, (0.3, 3.0))
        found[name] = np.array([chance.uniform(low, high) for _ in range(DRAWS)])
    _onto_edges(found)
    return found


def _onto_edges(drawn: dict[str, NDArray[np.float64]]) -> None:
    """The first draws sit on the thresholds, or just short of them."""
    if {"thickness", "flat_gauge"} <= drawn.keys():
        drawn["thickness"][0] = 2.5 * drawn["flat_gauge"][0]
    if {"width", "gauge"} <= drawn.keys():
        drawn["gauge"][0] = 0.6 * MM
        drawn["gauge"][1] = 1.2 * MM  # thick enough that the least web does not hide it
        drawn["width"][1] = 64.0 * MM - 1.29 * drawn["gauge"][1]


@cache
def _again(again: Again, names: frozenset[str]) -> NDArray[np.float64]:
    drawn = _drawn(names)
    return np.array([again({name: float(drawn[name][n]) for name in drawn}) for n in range(DRAWS)])


class _Row:
    """A machine chosen before, of which the frame knows the hour rate."""

    def __init__(self, rate: NDArray[np.float64]) -> None:
        self.columns = {"rate": rate}
