"""Scenario, prices and materials: what packs share, each number an input cell with its source."""

from __future__ import annotations

from collections.abc import Iterable
from math import isclose, prod

from ...evaluate.cost.model import From, ModelSheet
from ...materials import MATERIALS
from ...methods.machines import RATE_BOOK
from ...methods.spreadsheet import converted
from ...prices import Price
from ...quantities import Basis, Unit, parse_unit
from .binder import Binder, Cell
from .page import Page, Ref

#: Names that formulas and people may use for the scenario's numbers.
VOLUME, YEARS, PROGRAMME = "packs_a_year", "years", "packs_of_programme"


def used_sheets(binder: Binder) -> Iterable[ModelSheet]:
    """Every book at work in the workbook."""
    for pack in binder.packs:
        for line in pack.model.lines.values():
            yield from (step.sheet for step in line.steps)
            if line.stack is not None:
                yield line.stack


def used_prices(binder: Binder) -> list[str]:
    """Rows of the price book that anything in the workbook rests on, terms of sums too."""
    wanted = {
        put.origin.key
        for sheet in used_sheets(binder)
        for put in sheet.inputs.values()
        if put.origin.kind is From.PRICE
    }
    rate = binder.shelf.get(RATE_BOOK)
    if rate is not None:
        wanted |= {(entry.comes_from or "").removeprefix("price.") for entry in rate.inputs.values()}
    rows = binder.prices.rows
    waiting = [key for key in wanted if key in rows]
    found: set[str] = set()
    while waiting:
        key = waiting.pop()
        if key not in found:
            found.add(key)
            waiting += [term for term, _ in rows[key].terms]
    return [key for key in rows if key in found]


def scenario(binder: Binder) -> None:
    page = binder.page("Scenario", (34, 16, 16, 70))
    page.head(
        "Scenario",
        "The terms that costs are worked out for. A change here moves every cost in the workbook.",
        binder.back,
    )
    page.columns((("Term", False), ("Value", True), ("Unit", False), ("Note", False)), freeze=0)
    terms, book = binder.findings.scenario, binder.prices
    for key, label, value, unit, name in (
        ("volume", "Packs a year", terms.volume, "part/year", VOLUME),
        ("life", "Years of production", terms.life, "year", YEARS),
    ):
        page.say(0, label)
        ref = page.put(1, value)
        allowed = {"validate": "decimal", "criteria": ">", "value": 0}
        page.sheet.data_validation(ref.row, ref.column, ref.row, ref.column, allowed)
        page.say(2, "packs/year" if key == "volume" else unit, "unit")
        page.say(3, f"named {name} in formulas", "soft")
        binder.book.define_name(name, f"={ref.address.removeprefix('internal:').replace('!B', '!$B$')}")
        binder.scenario[key] = Cell(ref, parse_unit(unit))
        page.row += 1
    page.say(0, "Packs of the programme")
    whole = page.work(1, f"{VOLUME}*{YEARS}", terms.volume * terms.life)
    page.say(2, "packs", "unit")
    page.say(3, f"packs a year times years; named {PROGRAMME} in formulas", "soft")
    binder.book.define_name(PROGRAMME, f"={whole.address.removeprefix('internal:').replace('!B', '!$B$')}")
    binder.scenario["programme"] = Cell(whole, parse_unit("part"))
    page.row += 2
    for label, said in (
        ("Price book", f"{book.name}, {book.title}"),
        ("Region", book.region),
        ("Currency", book.currency),
        ("Year of prices", str(book.year)),
    ):
        page.say(0, label)
        page.say(1, said)
        page.say(2, "")
        page.say(3, "")
        page.row += 1


def prices(binder: Binder) -> None:
    page = binder.page("Prices", (26, 44, 12, 14, 12, 14, 14, 9, 9, 13, 26))
    keys = used_prices(binder)
    page.head(
        "Prices",
        f"Rows of the price book {binder.prices.name} that this workbook uses. A row in other money is its "
        "number as stated times its exchange; a sum of rows follows its terms. Spread is the relative "
        "standard uncertainty.",
        binder.back,
    )
    factors = _exchange(binder, page, [binder.prices.rows[key] for key in keys])
    heads = (
        "Row",
        "What",
        "Value",
        "Unit",
        "As stated",
        "Stated in",
        "Times",
        "Spread",
        "Date",
        "Basis",
        "Source",
    )
    page.columns([(head, head in ("Value", "As stated", "Spread")) for head in heads], freeze=1)
    first = page.row
    for number, key in enumerate(keys):
        unit = parse_unit(binder.prices.rows[key].unit)
        binder.rows[key] = Cell(Ref(page.name, first + number, 2), unit)
    for key in keys:
        _price(binder, page, binder.prices.rows[key], factors)
        page.row += 1


def _exchange(binder: Binder, page: Page, rows: list[Price]) -> dict[tuple[str, float], Ref]:
    """Exchange rates and indices in use, each an input; a user's price file may have rates of its own."""
    used = dict.fromkeys(factor for row in rows if _is_live(row) for factor in row.factors)
    found: dict[tuple[str, float], Ref] = {}
    if not used:
        return found
    page.section("Exchange and indices", 4)
    for name, factor in used:
        kind, _, what = name.partition(" ")
        page.say(0, name)
        about = (
            f"{binder.prices.currency} for one {what}" if kind == "exchange" else f"to {binder.prices.year}"
        )
        page.say(1, about, "soft")
        found[name, factor] = page.put(2, factor)
        page.say(3, "", "unit")
        page.row += 1
    page.row += 1
    return found


def _is_live(row: Price) -> bool:
    """Whether a row still is what was stated times its factors (a what-if may have set it)."""
    if row.stated is None:
        return False
    worth = parse_unit(row.unit).to_si(row.stated * prod(factor for _, factor in row.factors))
    return isclose(worth, row.value, rel_tol=1e-12)


def _price(binder: Binder, page: Page, row: Price, factors: dict[tuple[str, float], Ref]) -> None:
    unit = parse_unit(row.unit)
    value = unit.from_si(row.value)
    page.say(0, row.key)
    page.say(1, row.about, "soft")
    stated, stated_unit, times = "", "", ""
    if row.terms:
        terms = [_term(binder, page, key, factor, unit) for key, factor in row.terms]
        page.work(2, "+".join(terms), value)
        times = " + ".join(key if factor == 1.0 else f"{factor:g} × {key}" for key, factor in row.terms)
    elif row.stated is not None and _is_live(row):
        cell = page.put(4, row.stated)
        joined = "*".join(
            [cell.seen_from(page.name), *(factors[one].seen_from(page.name) for one in row.factors)]
        )
        page.work(2, joined, value)
        stated, stated_unit = "put", row.stated_unit
        times = ", ".join(name for name, _ in row.factors)
    else:
        page.put(2, value, "assumed" if row.basis is Basis.ASSUMED else "input")
    page.say(3, binder.unit(row.unit), "unit")
    if not stated:
        page.say(4, "")
    page.say(5, stated_unit, "unit")
    page.say(6, times, "soft")
    page.put(7, row.u, "issued", look="0.00")
    page.say(8, row.date, "soft")
    page.say(9, str(row.basis), "soft")
    page.say(10, binder.cite(row.source), "soft")


def _term(binder: Binder, page: Page, key: str, factor: float, unit: Unit) -> str:
    text = converted(binder.rows[key].held(page.name), unit)
    return text if factor == 1.0 else f"{factor!r}*{text}"


def materials(binder: Binder) -> None:
    page = binder.page("Materials", (34, 26, 14, 14, 10, 13, 40))
    page.head(
        "Materials",
        "Properties of the materials in use. Spread is the relative standard uncertainty.",
        binder.back,
    )
    heads = ("Material", "Property", "Value", "Unit", "Spread", "Basis", "Source")
    page.columns([(head, head in ("Value", "Spread")) for head in heads], freeze=2)
    keys = sorted(
        {
            put.origin.key
            for sheet in used_sheets(binder)
            for put in sheet.inputs.values()
            if put.origin.kind is From.MATERIAL
        }
    )
    for key in keys:
        material, _, name = key.partition(".")
        entry = MATERIALS[material].properties[name]
        unit = parse_unit(entry.unit)
        page.say(0, MATERIALS[material].title)
        page.say(1, name.replace("_", " "))
        role = "assumed" if entry.basis is Basis.ESTIMATED else "input"
        binder.materials[key] = Cell(page.put(2, unit.from_si(entry.value), role), unit)
        page.say(3, binder.unit(unit), "unit")
        page.put(4, entry.u, "issued", look="0.000")
        page.say(5, str(entry.basis), "soft")
        page.say(6, binder.cite(entry.source), "soft")
        page.row += 1
