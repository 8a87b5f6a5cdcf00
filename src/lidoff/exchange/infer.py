"""Columns whose heading says nothing known, given a field by what their cells plainly hold."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise

from .columns import (
    Layout,
    counts_up,
    is_level,
    is_number_like,
    is_size,
    is_word,
    known_basis,
    known_function,
    share,
    text,
)
from .sheets import Cell
from .tables import Column
from .vocabulary import functions, load, normal, yes_no

_LAYER = re.compile(r"\b(?:level|lvl|ebene|stufe|niveau|livello|nivel)\s?\d")
_PHOTO = re.compile(r"[A-Za-z]{1,8}[_\- ]?\d{3,6}(?:\.\w{3,4})?(?:\s*[-–,;]\s*\w*\d+)?")
_WHOLE = re.compile(r"\d{1,4}\s*(?:x|off|pcs?\.?|stk\.?|stück|st\.?|ea|pz|stuks?)?", re.IGNORECASE)
_SIZE = re.compile(r"\d\s*(?:mm|cm|m|in|\")?\s*[x×*]\s*\d", re.IGNORECASE)
_HIGHEST_LEVEL = 9

Samples = dict[int, list[Cell]]


def complete_parts(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    """Fill the fields of a parts table that no heading claimed; returns the columns still unclaimed."""
    layered = [c for c in rest if _LAYER.search(normal(c.heading)) and samples[c.index]]
    if "name" not in layout.at and len(layered) > 1:
        layout.at["name"], layout.headings["name"] = layered[0].index, layered[0].heading
        layout.staggered = [c.index for c in layered]
        return [c for c in rest if c not in layered]
    rest = _by_content(layout, rest, samples)
    rest = _name(layout, rest, samples)
    rest = _number(layout, rest, samples)
    return _staggered(layout, rest, samples)


def complete_joints(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    """A column of yes and no under a heading with high voltage in it tells live work."""
    for column in rest:
        said = re.search(r"\b(?:hv|volt\w*|spannung\w*|live|tension\w*|spanning)\b", normal(column.heading))
        if said and "live" not in layout.at and share(samples[column.index], _is_yes_no) >= 0.8:
            _take(layout, "live", column)
            return [c for c in rest if c is not column]
    return rest


def _take(layout: Layout, name: str, column: Column) -> None:
    layout.at[name], layout.headings[name] = column.index, column.heading
    layout.all[name] = [column.index]


def _is_yes_no(cell: Cell) -> bool:
    return isinstance(cell, bool) or (isinstance(cell, str) and yes_no(cell) is not None)


def _by_content(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    tests: tuple[tuple[str, Callable[[list[Cell]], bool]], ...] = (
        ("level", _levels),
        ("size", lambda cells: share(cells, _is_sizes) >= 0.6),
        ("quantity", _quantities),
        ("photo", lambda cells: share(cells, _is_photo) >= 0.8),
        ("function", _functions),
        ("basis", lambda cells: share(cells, known_basis) >= 0.8 and not _repeats_little(cells)),
        ("process", lambda cells: share(cells, _is_process) >= 0.6),
        ("material", _materials),
        ("remarks", _remarks),
    )
    kept = [] if "name" in layout.at else [_likeliest_name(rest, samples)]
    for name, test in tests:
        if name in layout.at or (name == "size" and "length" in layout.at):
            continue
        if name == "quantity" and "quantity_total" in layout.at:
            continue
        for column in rest:
            cells = samples[column.index]
            if len(cells) >= 3 and column not in kept and test(cells):
                _take(layout, name, column)
                if name == "size" and column.unit:
                    layout.units[name] = column.unit
                rest = [c for c in rest if c is not column]
                break
    return rest


def _levels(cells: list[Cell]) -> bool:
    """Small whole numbers that never step down the tree by more than one at a time."""
    if share(cells, is_level) < 1.0:
        return False
    digits = [re.search(r"\d{1,4}", text(c)) for c in cells]
    values = [int(d.group()) for d in digits if d]
    if len(values) < len(cells) or len(set(values)) < 2 or max(values) > _HIGHEST_LEVEL:
        return False
    return values[0] == min(values) and all(b - a <= 1 for a, b in pairwise(values)) and not counts_up(cells)


def _is_sizes(cell: Cell) -> bool:
    return isinstance(cell, str) and is_size(cell) and bool(_SIZE.search(cell))


def _quantities(cells: list[Cell]) -> bool:
    return not counts_up(cells) and share(cells, lambda c: bool(_WHOLE.fullmatch(text(c)))) >= 0.95


def _is_photo(cell: Cell) -> bool:
    return isinstance(cell, str) and bool(_PHOTO.fullmatch(cell.strip()))


def _functions(cells: list[Cell]) -> bool:
    whole = share(cells, lambda c: isinstance(c, str) and functions().whole(c) is not None)
    return whole >= 0.5 and share(cells, known_function) >= 0.8


def _is_process(cell: Cell) -> bool:
    return isinstance(cell, str) and any(stem in normal(cell) for stem in load("common")["process"])


def _materials(cells: list[Cell]) -> bool:
    from ..materials import recognise

    distinct = {c for c in cells if isinstance(c, str)}
    known = sum(recognise(c) is not None for c in distinct)
    return share(cells, is_word) >= 0.9 and known >= 0.7 * max(len(distinct), 1)


def _repeats_little(cells: Sequence[Cell]) -> bool:
    return len({text(c) for c in cells}) > 0.6 * len(cells) and len(cells) > 5


def _remarks(cells: list[Cell]) -> bool:
    """Free text: words with blanks between them, rarely the same twice over."""
    return share(cells, is_word) >= 0.9 and share(cells, lambda c: " " in text(c)) >= 0.4


def _likeliest_name(rest: list[Column], samples: Samples) -> Column | None:
    """The column of words that repeats itself least."""
    wordy = [c for c in rest if share(samples[c.index], is_word) >= 0.6]
    return max(wordy, key=lambda c: (len({text(x) for x in samples[c.index]}), -c.index), default=None)


def _name(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    best = None if "name" in layout.at else _likeliest_name(rest, samples)
    if best is None:
        return rest
    _take(layout, "name", best)
    return [c for c in rest if c is not best]


def _number(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    if "number" in layout.at:
        return rest
    name = layout.at.get("name", 10**6)
    for column in rest:
        if column.index < name and not column.heading and share(samples[column.index], is_number_like) >= 0.8:
            _take(layout, "number", column)
            return [c for c in rest if c is not column]
    return rest


def _staggered(layout: Layout, rest: list[Column], samples: Samples) -> list[Column]:
    """Names that step to the right over unheaded columns."""
    name = layout.at.get("name")
    if name is None:
        return rest
    run: list[Column] = []
    for column in sorted(rest, key=lambda c: c.index):
        unheaded = not column.heading or bool(re.search(r"\d\s*$", column.heading))
        next_to = column.index == name + len(run) + 1
        if next_to and unheaded and share(samples[column.index], is_word) >= 0.6:
            run.append(column)
    if not run:
        return rest
    layout.staggered = [name, *(c.index for c in run)]
    return [c for c in rest if c not in run]
