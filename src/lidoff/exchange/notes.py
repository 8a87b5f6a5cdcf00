"""Loose rows as notes: a label with its value, or a sentence cut into clauses."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache

from .headings import heading_unit
from .sheets import Cell, Sheet
from .vocabulary import Hit, Vocabulary, has_any, load, normal


@dataclass(frozen=True, slots=True)
class Note:
    """One note: ``label`` may be "" for a clause without one; ``unit`` comes from the label or beside."""

    sheet: Sheet
    row: int
    column: int
    label: str
    text: str
    unit: str = ""
    free: bool = False


@cache
def labels() -> Vocabulary:
    """The labels of facts, by meaning."""
    return Vocabulary({meaning: spec["words"] for meaning, spec in load("facts").items()})


def cell_text(cell: Cell) -> str:
    """A cell as text: dates by day, whole numbers without a point."""
    if isinstance(cell, str):
        return " ".join(cell.split())
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        return f"{cell:%d.%m.%Y}" if cell.time() == time(0) else f"{cell:%d.%m.%Y %H:%M}"
    if isinstance(cell, date):
        return f"{cell:%d.%m.%Y}"
    if isinstance(cell, timedelta):
        return str(cell)
    return f"{cell:%H:%M}" if isinstance(cell, time) else str(cell)


def filled(sheet: Sheet, row: int) -> list[tuple[int, str]]:
    """The non-empty cells of a row as (column, text)."""
    return [(i, t) for i, c in enumerate(sheet.rows[row]) if (t := cell_text(c))]


def is_label(text: str) -> Hit | None:
    """The fact a label means, where the whole label or its first words are known."""
    bare = re.sub(r"[\[(][^\])]*[\])]", " ", text).rstrip(" :=")
    if has_any(bare, "elsewhere"):
        return None
    hit = labels().find(bare)
    if hit is None or (hit.score < 0.6 and hit.score != 1.0):
        return _leading(bare) or (hit if hit is not None and hit.score >= 0.55 else None)
    return hit


def label_meanings(text: str) -> list[str]:
    """Every meaning a label may have, likeliest first: whole, its first words, words within it."""
    bare = re.sub(r"[\[(][^\])]*[\])]", " ", text).rstrip(" :=")
    if has_any(bare, "elsewhere"):
        return []
    whole = labels().whole(bare)
    if whole is not None:
        return list(labels().exact[normal(bare)])
    leading = _leading(bare)
    inside = [h.meaning for h in labels().parts(bare)]
    near = labels().near(bare)
    found = [leading.meaning] if leading else []
    return list(dict.fromkeys([*found, *inside, *([near.meaning] if near else [])]))


def _leading(text: str) -> Hit | None:
    """The label made of the first words of a text."""
    tokens = normal(text).split()
    for size in range(min(6, len(tokens)), 0, -1):
        phrase = " ".join(tokens[:size])
        known = labels().exact.get(phrase)
        if known and len(phrase) > 2:
            return Hit(known[0], 0.7, phrase)
    return None


def notes_of(sheet: Sheet, row: int) -> list[Note]:
    """The notes a loose row holds."""
    cells = filled(sheet, row)
    if not cells:
        return []
    column, first = cells[0]
    comment = first.lstrip("\"' ").startswith(("#", "//", "%%", "*"))
    if len(cells) == 1 or comment:
        text = "; ".join(t for _, t in cells).strip("\"' ").lstrip("#/%* ")
        return [Note(sheet, row, column, *_split_label(text), free=True)]
    if ":" in first and not first.endswith(":") and sheet.is_text:  # a sentence cut at its commas
        return [Note(sheet, row, column, *_split_label(", ".join(t for _, t in cells)), free=True)]
    pairs = _pairs(cells)
    if not pairs and len(cells) > 4:  # a row of a table whose header was not understood
        return [Note(sheet, row, column, "", "; ".join(t for _, t in cells), free=True)]
    if pairs:
        return [Note(sheet, row, c, label.rstrip(" :="), text, _unit_in(label)) for c, label, text in pairs]
    label, rest = first, [t for _, t in cells[1:]]
    unit = _unit_in(label)
    if len(rest) > 1 and heading_unit(rest[1]) and len(rest[1]) < 10:
        unit, rest = heading_unit(rest[1]), [rest[0], *rest[2:]]
    return [
        Note(sheet, row, column, label.rstrip(" :="), " ".join(rest[:1] + [f"({r})" for r in rest[1:]]), unit)
    ]


def _unit_in(label: str) -> str:
    for inside in re.findall(r"[\[(]([^\])]*)[\])]", label):
        if heading_unit(inside):
            return heading_unit(inside)
    tail = re.search(r"(?:\bin|/|,)\s*(\S+)\s*:?$|\s(\S+)\s*:?$", label)
    return heading_unit((tail.group(1) or tail.group(2)).rstrip(":")) if tail else ""


def _pairs(cells: list[tuple[int, str]]) -> list[tuple[int, str, str]]:
    """Label and value side by side several times in one row, as forms have them."""
    if len(cells) < 4 or len(cells) % 2:
        return []
    out = [(cells[i][0], cells[i][1], cells[i + 1][1]) for i in range(0, len(cells), 2)]
    known = [label.endswith(":") or labels().whole(label) is not None for _, label, _ in out]
    return out if all(known) else []


def _split_label(text: str) -> tuple[str, str]:
    """ "Label: value" in one cell; a sentence keeps an empty label."""
    label, mark, value = text.partition(":")
    plain = mark and value.strip() and len(label) <= 40 and ";" not in text and not value.startswith("//")
    if plain and is_label(label) is not None:
        return label.strip(), value.strip()
    return "", text


def clauses(text: str) -> Iterator[str]:
    """A sentence cut at semicolons and at commas that a space follows."""
    for piece in re.split(r"\s*;\s*|,\s+|\s+[|•]\s+", text):
        if piece.strip():
            yield piece.strip()
