"""Quantities of parts rows: pieces per parent, or per pack divided down."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..quantities import Basis, Reading, Shape, Spread
from ..quantities.parsing import QuantityError, is_count, scan
from . import swift
from .bench import Bench, column_decimal
from .desk import set_edit
from .measures import _value_text, number_word
from .rows import PartRows
from .sheets import Cell
from .vocabulary import is_blank

EXACT = Spread(shape=Shape.EXACT)
_SUM = re.compile(r"\s*\d{1,6}(?:\s*\+\s*\d{1,6})+\s*")
_EACH_WORD = re.compile(r"^\s*(?:je|each|per|pro|à)\s+", re.IGNORECASE)


def assumed_one(origin: str) -> Reading:
    """One piece where no quantity was written."""
    return Reading(
        value=1.0, unit="part", basis=Basis.ASSUMED, spread=EXACT, origin=origin, note="no quantity written"
    )


def read_quantities(
    bench: Bench, part: PartRows, ids: Sequence[str], heads: Sequence[bool]
) -> list[Reading | None]:
    """Pieces per parent of every row; ``heads`` says which rows are assemblies."""
    name = "quantity" if "quantity" in part.layout.at else "quantity_total"
    column = part.layout.at.get(name)
    sheet, rows = part.table.sheet, part.items
    if column is None:
        return [assumed_one(bench.origin(sheet, row, 0)) for row in rows]
    cells = part.cells(column)
    decimal = column_decimal(bench, cells)
    prefix = bench.column_origin(sheet, column)
    lines = part.lines
    out: list[Reading | None] = []
    texts: dict[str, float | None] = {}
    for at, cell in enumerate(cells):
        origin = prefix + lines[at]
        if cell.__class__ is float and cell.is_integer() and 0 < cell < 1e7:
            text = _value_text(cell)
            out.append(swift.reading(cell, "part", Basis.COUNTED, EXACT, None, origin, text))
            continue
        text = cell.strip() if isinstance(cell, str) else _shown(cell)
        if text not in texts:
            texts[text] = _count(text, decimal)
        value = texts[text]
        if value is not None and value.is_integer() and 0 < value < 1e7:
            out.append(swift.reading(value, "part", Basis.COUNTED, EXACT, None, origin, text))
        else:
            out.append(_doubtful(bench, part, name, at, ids[at], text, value, origin, heads[at]))
    return out


def _shown(cell: Cell) -> str:
    return _value_text(cell) if isinstance(cell, float) else str(cell)


def _count(text: str, decimal: str | None) -> float | None:
    """The number of pieces a text names: "62x", "11 off", "2+2", "two"."""
    if not text or is_blank(text):
        return None
    if _SUM.fullmatch(text):
        return float(sum(int(p) for p in text.split("+")))
    word = number_word(text.split()[0]) if text.split() else None
    if word is not None:
        return float(word)
    try:
        groups = scan(_EACH_WORD.sub("", text), decimal=decimal)
    except QuantityError:
        return float("inf")
    if not groups or (groups[0].unit and not is_count(groups[0].unit)):
        return float("nan")
    return groups[0].value


def _doubtful(
    bench: Bench,
    part: PartRows,
    name: str,
    at: int,
    identity: str,
    text: str,
    value: float | None,
    origin: str,
    head: bool,
) -> Reading | None:
    """A quantity that is blank, no whole number, or no number."""
    where = bench.where(part.table.sheet, part.items[at], part.layout.at[name], part.layout.headings[name])
    if value is None:
        one = assumed_one(origin)
        if not head and _has_mass(part, at) and _mostly_filled(part, name):
            bench.desk.ask(
                where,
                "the quantity is blank",
                taken="1",
                proposed="1",
                edits=(set_edit("item", identity, "quantity", 1.0),),
                about="quantity blank",
            )
        return one
    if value != value or value in (float("inf"), float("-inf")) or value <= 0.0 or value >= 1e7:
        bench.desk.reject(where, f"{text!r} is no number of pieces; one is assumed", text)
        return assumed_one(origin)
    whole = max(1.0, float(round(value)))
    bench.desk.ask(
        where,
        f"a quantity of {text!r} is not a whole number of pieces",
        taken=f"{value:g}",
        proposed=f"{whole:g}",
        edits=(set_edit("item", identity, "quantity", whole),),
        about=f"quantity {text}",
    )
    return swift.reading(value, "part", Basis.COUNTED, EXACT, None, origin, text)


def _has_mass(part: PartRows, at: int) -> bool:
    cells = part.table.sheet.rows[part.items[at]]
    for name in ("mass_each", "mass_total"):
        column = part.layout.at.get(name)
        if column is not None and column < len(cells) and str(cells[column]).strip():
            return True
    return False


def _mostly_filled(part: PartRows, name: str) -> bool:
    cells = part.column(name)
    return sum(str(c).strip() != "" for c in cells) >= 0.6 * len(cells)
