"""Which column holds which field: headings first, then what the cells hold."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from ..quantities.written import unit_word
from .headings import Claim, Kind
from .sheets import Cell
from .tables import Column, Table, column_unit
from .vocabulary import basis_meaning, functions, is_blank, normal, yes_no

#: A find number: "1", "1.2.10", "A-3", "P1.02", "01.02.", also as Excel leaves it (a number).
FIND_NUMBER = re.compile(
    r"[A-Za-zÄÖÜ]{0,4}[.\- _]?\d{1,6}(?:\s?[.\-/,_]\s?(?:\d{1,5}|[A-Za-z]))*[A-Za-z]?\.?"
)
_NUMERIC = re.compile(
    r"\W{0,3}(?:ca\.?|etwa|about|approx\.?|env\.?)?\s*[x×<>~≈+\-−]?\s*[.,]?\d", re.IGNORECASE
)
_LEVEL = re.compile(r"(?:[A-Za-z]{1,6}\s?)?\d{1,2}|[.+>*\-]{1,8}\d{0,2}")
_TIME = re.compile(
    r"\d{1,2}\s?(?::|\.|h|Uhr|-)\s?\d{0,2}(?::\d{2})?\s*(?:[ap]\.?m\.?|h|Uhr)?|\d{3,4}|\d{1,2}\s?[ap]m",
    re.IGNORECASE,
)
_SAMPLE = 80
_FROM = frozenset({"from", "von", "de", "da", "van", "from item", "von teil"})
_MANY = frozenset({"remarks", "photo", "marking", "note", "part_number"})


@dataclass(slots=True)
class Layout:
    """Fields of a table: the column of each, all columns of fields that may repeat, the rest."""

    at: dict[str, int] = field(default_factory=dict)
    all: dict[str, list[int]] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    headings: dict[str, str] = field(default_factory=dict)
    extra: list[tuple[int, str]] = field(default_factory=list)
    staggered: list[int] = field(default_factory=list)


def text(cell: Cell) -> str:
    """A cell as text, whole numbers without a point."""
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell)


def share(cells: Sequence[Cell], test: Callable[[Cell], bool]) -> float:
    """Share of the cells that pass a test."""
    return sum(map(test, cells)) / len(cells) if cells else 0.0


def is_number_like(cell: Cell) -> bool:
    """Whether a cell looks like a find number."""
    if isinstance(cell, (int, float)) and not isinstance(cell, bool):
        return 0 <= cell < 1e6
    if isinstance(cell, (datetime, date)):
        return True  # "1.2.10" as a spreadsheet mangles it
    return isinstance(cell, str) and bool(FIND_NUMBER.fullmatch(cell.strip()))


_NESTED = re.compile(r"[A-Za-z]{0,4}[.\- ]?\d{1,3}(?:[.\-/_,]\d{1,3})+\.?")


def _is_short_number(cell: Cell) -> bool:
    """A find number of small parts, as against a maker's part number."""
    said = text(cell)
    short = all(len(p) <= 3 for p in re.findall(r"\d+", said)) and len(said) < 14
    return short and bool(FIND_NUMBER.fullmatch(said))


def counts_up(cells: Sequence[Cell]) -> bool:
    """Whether a column only counts the lines: 1, 2, 3, …"""
    texts = [text(c) for c in cells]
    if len(texts) < 3 or not all(t.isdecimal() and len(t) < 8 for t in texts):
        return False
    steps = [int(b) - int(a) for a, b in pairwise(texts)]
    return sum(s == 1 for s in steps) >= 0.9 * len(steps)


def is_numeric(cell: Cell) -> bool:
    """Whether a cell starts as a number, or says that there is none."""
    if isinstance(cell, (int, float)):
        return True
    return isinstance(cell, str) and (bool(_NUMERIC.match(cell)) or is_blank(cell))


def is_level(cell: Cell) -> bool:
    """Whether a cell looks like a level number: 2, "L2", "..", ">>"."""
    if isinstance(cell, float):
        return cell.is_integer() and 0 <= cell < 20
    return isinstance(cell, int) or (isinstance(cell, str) and bool(_LEVEL.fullmatch(cell.strip())))


def is_word(cell: Cell) -> bool:
    return isinstance(cell, str) and any(c.isalpha() for c in cell)


def is_time_like(cell: Cell) -> bool:
    if isinstance(cell, (time, datetime, timedelta, float, int)):
        return True
    return isinstance(cell, str) and not _is_long(cell) and bool(_TIME.search(cell))


def _is_long(cell: str) -> bool:
    return len(cell) > 24


def is_size(cell: Cell) -> bool:
    return is_numeric(cell) or (isinstance(cell, str) and bool(re.search(r"\d\s*[x×*]\s*\d", cell)))


def _is_product(cell: Cell) -> bool:
    return isinstance(cell, str) and bool(re.search(r"\d\s*(?:mm|cm|m)?\s*[x×*]\s*\d", cell))


def known_function(cell: Cell) -> bool:
    return isinstance(cell, str) and bool(functions().whole(cell) or functions().within(cell))


def known_basis(cell: Cell) -> bool:
    return isinstance(cell, str) and (basis_meaning(cell) is not None or is_blank(cell))


#: What a column must hold for a field: the test and the least share of its filled cells, for a
#: heading that says so and for one that might.
_FITS: dict[str, tuple[Callable[[Cell], bool], float, float]] = {
    "number": (is_number_like, 0.5, 0.8),
    "level": (is_level, 0.7, 0.9),
    "quantity": (is_numeric, 0.5, 0.8),
    "quantity_total": (is_numeric, 0.5, 0.8),
    "count": (is_numeric, 0.4, 0.8),
    "mass_each": (is_numeric, 0.4, 0.8),
    "mass_total": (is_numeric, 0.4, 0.8),
    "length": (is_size, 0.4, 0.8),
    "width": (is_numeric, 0.4, 0.8),
    "thickness": (is_numeric, 0.4, 0.8),
    "height": (is_numeric, 0.4, 0.8),
    "wall": (is_numeric, 0.4, 0.8),
    "diameter": (is_numeric, 0.4, 0.8),
    "size": (is_size, 0.4, 0.6),
    "name": (is_word, 0.5, 0.6),
    "function": (known_function, 0.0, 0.6),
    "basis": (known_basis, 0.15, 0.5),
    "unit": (lambda c: isinstance(c, str) and bool(unit_word(c)), 0.5, 0.8),
    "start": (is_time_like, 0.5, 0.7),
    "finish": (is_time_like, 0.5, 0.7),
    "live": (lambda c: isinstance(c, str) and yes_no(c) is not None, 0.3, 0.6),
    "reusable": (lambda c: isinstance(c, str) and yes_no(c) is not None, 0.3, 0.6),
    "material": (is_word, 0.3, 0.5),
    "process": (is_word, 0.3, 0.5),
    "what": (is_word, 0.3, 0.5),
}


def _sample(table: Table, column: int) -> list[Cell]:
    rows = table.sheet.rows
    out: list[Cell] = []
    for row in table.body:
        cells = rows[row]
        if column < len(cells):
            cell = cells[column]
            if not (isinstance(cell, str) and not cell.strip()):
                out.append(cell)
                if len(out) >= _SAMPLE:
                    break
    return out


def _content(claim: Claim, cells: list[Cell], known: set[str]) -> float:
    """The claim's score weighed with what the column holds; 0 where it cannot be."""
    if claim.field == "parent" and claim.shy:
        held = share(cells, lambda c: text(c).lower() in known)
        return claim.score if cells and held >= 0.5 else 0.0
    if claim.field == "part_number" and cells and share(cells, _is_short_number) >= 0.8:
        return 0.6 * claim.score  # "1.2.3" under "part no." is a find number
    if claim.field == "number" and cells:
        nested = share(cells, lambda c: isinstance(c, str) and bool(_NESTED.fullmatch(c.strip())))
        if share(cells, is_number_like) >= (0.8 if claim.shy else 0.5):
            if claim.score < 0.5:
                return claim.score
            return claim.score + (0.4 if nested >= 0.4 else 0.0) - (0.25 if counts_up(cells) else 0.0)
        return 0.0
    if claim.field == "length" and share(cells, _is_product) >= 0.5:
        return 0.0
    fit = _FITS.get(claim.field)
    if fit is None or not cells:
        return claim.score
    test, sure, shy = fit
    fitting = share(cells, test)
    if fitting < (shy if claim.shy and not claim.unit else sure):
        return 0.0
    return claim.score + 0.05 * fitting


def lay_out(table: Table) -> Layout:
    """Give every column of a table its field; columns nobody claims are kept as extra."""
    samples = {c.index: _sample(table, c.index) for c in table.columns}
    known = _names_and_numbers(table, samples)
    offers: list[Offer] = []
    for column in table.columns:
        for claim in column.claims:
            score = _content(claim, samples[column.index], known)
            if score >= 0.45:
                offers.append((score, column.index, claim, column))
    offers.sort(key=lambda o: (-o[0], o[1]))
    layout = Layout()
    if table.kind is Kind.JOINTS:
        offers = _from_and_to(offers)
        offers = _pairs_first(table, offers, samples)
    taken: set[int] = set()
    for _, index, claim, column in offers:
        if index in taken:
            continue
        if claim.field in layout.at and claim.field not in _MANY:
            continue
        taken.add(index)
        layout.at.setdefault(claim.field, index)
        layout.all.setdefault(claim.field, []).append(index)
        layout.headings.setdefault(claim.field, column.heading)
        unit = column_unit(column, claim)
        if unit:
            layout.units.setdefault(claim.field, unit)
    for field_columns in layout.all.values():
        field_columns.sort()
    rest = [c for c in table.columns if c.index not in taken and samples[c.index]]
    if table.kind is Kind.PARTS:
        from .infer import complete_parts

        rest = complete_parts(layout, rest, samples)
    elif table.kind is Kind.JOINTS:
        from .infer import complete_joints

        rest = complete_joints(layout, rest, samples)
    layout.extra = [(c.index, c.heading) for c in rest]
    return layout


Offer = tuple[float, int, Claim, Column]


def _from_and_to(offers: list[Offer]) -> list[Offer]:
    """A "from" beside a "to" names the first part, not the side it is worked from."""
    if any(c.field == "second" for _, _, c, _ in offers):
        ends = [
            i
            for _, i, c, column in offers
            if c.field == "first" and c.shy and normal(column.heading) in _FROM
        ]
        if ends and not any(c.field == "first" and not c.shy for _, _, c, _ in offers):
            return [o for o in offers if not (o[1] in ends and o[2].field == "direction")]
    return offers


_PAIR = re.compile(r"\S+\s*(?:<->|↔|->|→|\s[-–/&+]\s|\bto\b|\bzu\b|\bmit\b|\bwith\b|/)\s*\S+")


def _is_pair(cell: Cell) -> bool:
    return isinstance(cell, str) and bool(_PAIR.fullmatch(cell.strip()))


def _pairs_first(table: Table, offers: list[Offer], samples: dict[int, list[Cell]]) -> list[Offer]:
    """Where no column names the second part, one that holds pairs ("1.1 - 1.2") names both."""
    if any(c.field == "second" for _, _, c, _ in offers):
        return offers
    for column in table.columns:
        if column.claims and share(samples[column.index], _is_pair) >= 0.6:
            pair = Claim(Kind.JOINTS, "first", 1.5)
            return [(1.5, column.index, pair, column), *(o for o in offers if o[1] != column.index)]
    return offers


def _names_and_numbers(table: Table, samples: dict[int, list[Cell]]) -> set[str]:
    """Everything that could name an item of this table, in lower case."""
    out: set[str] = set()
    for column in table.columns:
        if any(c.field in ("number", "name") for c in column.claims):
            out.update(text(c).lower() for c in samples[column.index])
    return out
