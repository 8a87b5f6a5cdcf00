"""Reads price books and overlays: every row checked for unit, currency, year, date and source."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from ..quantities import UnitError, parse_unit
from ..sources import source
from .book import MachineTable, Price, PriceBook, PriceError
from .correlations import laid_over, read_correlations

#: Relative spread of an overlaid row that states none: a quotation, this project's own choice.
OVERLAY_SPREAD = 0.05

_ROW_KEYS = {"value", "unit", "spread", "date", "source", "about", "sum", "index", "words"}
_TABLE_KEYS = {"title", "columns", "rows", "spread", "date", "source"}


@dataclass(frozen=True, slots=True)
class _Frame:
    """What a file's rows are read against."""

    origin: str
    currency: str
    year: int
    exchange: Mapping[str, float]
    index: Mapping[str, tuple[int, float]]
    overlaid: bool


def build(text: str, origin: str, overlay: tuple[str, str] | None) -> PriceBook:
    """A book from its text, with an overlay's text on top. Raises `PriceError`."""
    data = _toml(text, origin)
    for key in ("name", "title", "region", "currency", "year"):
        if key not in data:
            raise PriceError(f"{origin}: the book does not say its {key}")
    currency, year = str(data["currency"]), int(data["year"])
    frame = _frame(data, origin, currency, year, {}, {}, overlaid=False)
    rows, sums = _rows(data, frame)
    tables = _tables(data, frame)
    correlations = read_correlations(data, rows, sums, origin)
    if overlay is not None:
        over = _toml(*overlay)
        _same_money(over, overlay[1], currency, year)
        frame = _frame(over, overlay[1], currency, year, frame.exchange, frame.index, overlaid=True)
        more, more_sums = _rows(over, frame)
        sums = {k: v for k, v in sums.items() if k not in more} | more_sums
        rows |= more
        tables |= _tables(over, frame)
        correlations = laid_over(correlations, read_correlations(over, rows, sums, overlay[1]))
    for key in sums:
        rows[key] = _summed(key, rows, sums, (), origin)
    return PriceBook(
        name=str(data["name"]),
        title=str(data["title"]),
        region=str(data["region"]),
        currency=currency,
        year=year,
        rows=MappingProxyType(rows),
        tables=MappingProxyType(tables),
        correlations=correlations,
        origin=origin if overlay is None else f"{origin} with {overlay[1]}",
    )


def _toml(text: str, origin: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PriceError(f"{origin}: {error}") from error


def _same_money(over: Mapping[str, Any], origin: str, currency: str, year: int) -> None:
    """An overlay may restate the book's currency and year, not change them."""
    for key, wanted in (("currency", currency), ("year", year)):
        if key in over and over[key] != wanted:
            raise PriceError(f"{origin}: {key} {over[key]} is not the book's {wanted}")


def _frame(
    data: Mapping[str, Any],
    origin: str,
    currency: str,
    year: int,
    exchange: Mapping[str, float],
    index: Mapping[str, tuple[int, float]],
    *,
    overlaid: bool,
) -> _Frame:
    rates, indices = dict(exchange), dict(index)
    for foreign, row in data.get("exchange", {}).items():
        _origin_of(row, f"{origin}: exchange {foreign!r}", overlaid)
        rates[foreign] = _positive(row.get("value"), f"{origin}: exchange {foreign!r}")
    for name, row in data.get("index", {}).items():
        _origin_of(row, f"{origin}: index {name!r}", overlaid)
        if row.get("to") != year:
            raise PriceError(f"{origin}: index {name!r} leads to {row.get('to')}, not to {year}")
        indices[name] = (int(row["from"]), _positive(row.get("value"), f"{origin}: index {name!r}"))
    return _Frame(origin, currency, year, rates, indices, overlaid)


def _positive(value: object, place: str) -> float:
    number = _number(value, place)
    if number <= 0.0:
        raise PriceError(f"{place}: value {value!r} is not above zero")
    return number


def _number(value: object, place: str) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool) or not math.isfinite(value):
        raise PriceError(f"{place}: value {value!r} is not a number")
    return float(value)


def _origin_of(row: Mapping[str, Any], place: str, overlaid: bool) -> tuple[str, str]:
    """Date and source of a row; both must be there, and ours must be in the citation table."""
    for key in ("date", "source"):
        if not str(row.get(key, "")).strip():
            raise PriceError(f"{place}: no {key} stated")
    said = str(row["source"])
    if not overlaid:
        try:
            source(said)
        except KeyError as error:
            raise PriceError(f"{place}: {error.args[0]}") from error
    return str(row["date"]), said


def _rows(data: Mapping[str, Any], frame: _Frame) -> tuple[dict[str, Price], dict[str, Mapping[str, Any]]]:
    rows: dict[str, Price] = {}
    sums: dict[str, Mapping[str, Any]] = {}
    for key, row in data.get("rows", {}).items():
        place = f"{frame.origin}: row {key!r}"
        if not isinstance(row, dict):
            raise PriceError(f"{place} is not a table")
        if unknown := set(row) - _ROW_KEYS:
            raise PriceError(f"{place} has unknown entries: {', '.join(sorted(unknown))}")
        if "sum" in row:
            sums[key] = row
        else:
            rows[key] = _row(key, row, place, frame)
    return rows, sums


def _row(key: str, row: Mapping[str, Any], place: str, frame: _Frame) -> Price:
    if "value" not in row or "unit" not in row:
        raise PriceError(f"{place}: needs value and unit")
    date, said = _origin_of(row, place, frame.overlaid)
    value = _number(row["value"], place)
    unit_text = stated_unit = str(row["unit"])
    stated, factors = value, dict[str, float]()
    try:
        unit = parse_unit(unit_text)
    except UnitError as error:
        raise PriceError(f"{place}: {error}") from error
    if value < 0.0 or (unit.money is not None and value == 0.0):  # a mark-up may be nothing, a price not
        raise PriceError(f"{place}: {value} {unit_text} is not above zero")
    if unit.money is not None:
        currency, unit_year = unit.money[:3], unit.money[3:]
        factors = _factors(currency, unit_year or date[:4], row.get("index"), place, frame)
        value *= math.prod(factors.values())
        unit_text = _in_currency(unit_text, unit.money, frame.currency)
    u = row.get("spread", OVERLAY_SPREAD if frame.overlaid else None)
    if not isinstance(u, int | float) or not 0.0 <= u < 2.0:
        raise PriceError(f"{place}: spread {u!r} is not a share from 0 to 2")
    return Price(
        key=key,
        value=unit.to_si(value),
        unit=unit_text,
        u=float(u),
        date=date,
        source=said,
        about=str(row.get("about", "")),
        words=tuple(row.get("words", ())),
        overlaid=frame.overlaid,
        stated=stated if factors else None,
        stated_unit=stated_unit if factors else "",
        factors=tuple(factors.items()),
    )


def _in_currency(unit_text: str, money: str, currency: str) -> str:
    """The unit's text with the book's currency in place of the row's own, year left out."""
    for written in (money, money[:3], "€", "$", "£", "¥"):
        unit_text = unit_text.replace(written, currency)
    return unit_text


def _factors(currency: str, year_text: str, index: object, place: str, frame: _Frame) -> dict[str, float]:
    """What turns a row's money into the book's, by name. Nothing is converted or indexed unsaid."""
    factors: dict[str, float] = {}
    if currency != frame.currency:
        if currency not in frame.exchange:
            raise PriceError(
                f"{place}: is in {currency}, the book in {frame.currency}: "
                f"state an exchange rate for {currency}"
            )
        factors[f"exchange {currency}"] = frame.exchange[currency]
    try:
        year = int(year_text)
    except ValueError as error:
        raise PriceError(f"{place}: date {year_text!r} does not start with a year") from error
    if year != frame.year:
        if not isinstance(index, str) or index not in frame.index:
            raise PriceError(
                f"{place}: is of {year}, the book of {frame.year}: name an index that leads from {year}"
            )
        start, ratio = frame.index[index]
        if start != year:
            raise PriceError(f"{place}: index {index!r} starts in {start}, the price is of {year}")
        factors[f"index {index}"] = ratio
    return factors


def _summed(
    key: str,
    rows: Mapping[str, Price],
    sums: Mapping[str, Mapping[str, Any]],
    path: tuple[str, ...],
    origin: str,
) -> Price:
    """A row that is a weighted sum of others, resolved down to rows that stand alone."""
    if key in path:
        raise PriceError(f"{origin}: row {key!r} is a sum of itself")
    row = sums[key]
    terms: list[tuple[str, float]] = []
    total, variance, unit = 0.0, 0.0, ""
    for name, factor in row["sum"].items():
        if name in sums:
            term = _summed(name, rows, sums, (*path, key), origin)
        elif name in rows:
            term = rows[name]
        else:
            raise PriceError(f"{origin}: row {key!r} sums {name!r}, which the book does not have")
        if unit and parse_unit(unit).dimension != parse_unit(term.unit).dimension:
            raise PriceError(f"{origin}: row {key!r} sums {unit} and {term.unit}")
        unit = unit or term.unit
        terms.append((name, float(factor)))
        total += factor * term.value
        variance += (factor * term.value * term.u) ** 2
    shown = str(row.get("unit", unit))
    date, said = _origin_of(row, f"{origin}: row {key!r}", True)
    return Price(
        key=key,
        value=total,
        unit=shown,
        u=math.sqrt(variance) / total if total else 0.0,
        date=date,
        source=said,
        about=str(row.get("about", "")),
        words=tuple(row.get("words", ())),
        terms=tuple(terms),
    )


def _tables(data: Mapping[str, Any], frame: _Frame) -> dict[str, MachineTable]:
    return {key: _table(key, table, frame) for key, table in data.get("tables", {}).items()}


def _table(key: str, table: Mapping[str, Any], frame: _Frame) -> MachineTable:
    place = f"{frame.origin}: table {key!r}"
    if unknown := set(table) - _TABLE_KEYS:
        raise PriceError(f"{place} has unknown entries: {', '.join(sorted(unknown))}")
    date, said = _origin_of(table, place, frame.overlaid)
    columns: dict[str, str] = {str(c): str(u) for c, u in table["columns"].items()}
    rows = []
    for number, cells in enumerate(table["rows"], start=1):
        if len(cells) != len(columns):
            raise PriceError(f"{place}, row {number}: {len(cells)} cells for {len(columns)} columns")
        rows.append(
            MappingProxyType(
                {
                    column: _cell(cell, unit, f"{place}, row {number}, {column}", date, frame)
                    for (column, unit), cell in zip(columns.items(), cells, strict=True)
                }
            )
        )
    return MachineTable(
        key=key,
        title=str(table.get("title", key)),
        columns=MappingProxyType({c: _shown(u, frame.currency) for c, u in columns.items()}),
        rows=tuple(rows),
        u=float(table.get("spread", OVERLAY_SPREAD)),
        date=date,
        source=said,
    )


def _shown(unit_text: str, currency: str) -> str:
    money = None if unit_text == "text" else parse_unit(unit_text).money
    return unit_text if money is None else _in_currency(unit_text, money, currency)


def _cell(cell: object, unit_text: str, place: str, date: str, frame: _Frame) -> float | str:
    if unit_text == "text":
        return str(cell)
    try:
        unit = parse_unit(unit_text)
    except UnitError as error:
        raise PriceError(f"{place}: {error}") from error
    value = _positive(cell, place)
    if unit.money is not None:
        value *= math.prod(_factors(unit.money[:3], unit.money[3:] or date[:4], None, place, frame).values())
    return unit.to_si(value)
