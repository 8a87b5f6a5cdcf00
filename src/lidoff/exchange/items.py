"""Rows of parts tables as items in a tree."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from typing import TypeVar

from ..quantities import Basis, Reading, Word
from ..records import Item, Marking
from . import swift
from .assemblies import apart, number_by_sheet
from .bench import Bench
from .findnumber import Key, repair, text_of
from .item_words import (
    function_words,
    markings_of,
    material_word,
    parted,
    photos_of,
    process_word,
    says_both,
    wall_of,
)
from .masses import MassContext, read_masses
from .measures import reading_of
from .quantity import read_quantities
from .rows import PartRows
from .scales import parts_scales
from .sheets import Cell, letters
from .sizes import read_sizes
from .tree import Node, Tree, build, indent_of
from .tree_questions import ask_numbers, ask_tree
from .vocabulary import is_blank

T = TypeVar("T")
#: Characters of a remark in which a wall is looked for.
_LONGEST_REMARK = 500
_DIGIT = re.compile(r"\d")
_CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]+")


@dataclass(slots=True)
class Lines:
    """Where items came from: their tables, and the first item of each."""

    parts: Sequence[PartRows]
    starts: list[int]

    def of(self, at: int) -> tuple[PartRows, int]:
        """The table and the row of an item."""
        table = bisect_right(self.starts, at) - 1
        part = self.parts[table]
        return part, part.items[at - self.starts[table]]


@dataclass(slots=True)
class Parts:
    """All items of a file with their lines, keys and tree."""

    lines: Lines
    items: list[Item] = field(default_factory=list)
    keys: list[Key] = field(default_factory=list)
    parents: list[int | None] = field(default_factory=list)
    by_key: dict[Key, int] = field(default_factory=dict)
    by_sheet: bool = False


@dataclass(slots=True)
class Named:
    """Numbers, names and places of all rows, in order; ``was`` holds find numbers put right."""

    lines: Lines
    numbers: list[str] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    was: dict[int, str] = field(default_factory=dict)
    labels: list[str] = field(default_factory=list)
    ids: list[str] = field(default_factory=list)


def read_items(bench: Bench, parts: Sequence[PartRows]) -> Parts:
    """All items of the parts tables."""
    parts = [part for part in parts if part.items]
    starts = list(accumulate((len(part.items) for part in parts), initial=0))[:-1]
    named = Named(Lines(parts, starts))
    for number, part in enumerate(parts):
        _read_names(part, number, named)
    by_sheet = apart(named)
    if by_sheet:
        number_by_sheet(named)
    tree = build(named.nodes)
    named.ids = bench.desk.identities("i", named.labels)
    ask_numbers(bench, named)
    for doubt in tree.doubts:
        ask_tree(bench, named, tree, doubt)
    out = Parts(named.lines, keys=[n.key for n in named.nodes], parents=tree.parents, by_sheet=by_sheet)
    for at, key in enumerate(out.keys):
        if key:
            out.by_key.setdefault(key, at)
    heads = {p for p in tree.parents if p is not None}
    for part, start in zip(parts, starts, strict=True):
        out.items += _build(bench, part, named, tree, heads, start)
    return out


def _read_names(part: PartRows, table: int, named: Named) -> None:
    raw = _names(part)
    found = repair(part.column("number"), [name for _, name in raw])
    levels = _each(part.column("level"), _level)
    above = part.column("parent")
    first = len(named.nodes)
    for at, (indent, name) in enumerate(raw):
        parent = text_of(above[at]) if above[at] != "" else ""
        section = part.items[at] in part.sections
        named.nodes.append(Node(found.keys[at], levels[at], indent, parent, name, table, section))
        named.names.append(name)
    named.numbers += found.numbers
    named.labels += [t or name for t, (_, name) in zip(found.canonical, raw, strict=True)]
    named.was |= {first + at: text for at, text in found.was.items()}


def _each(cells: Sequence[Cell], convert: Callable[[Cell], T]) -> list[T]:
    """Every cell converted, equal cells once."""
    known: dict[object, T] = {}
    out = []
    for cell in cells:
        key = cell if cell.__class__ is str else (cell.__class__, cell)
        if key not in known:
            known[key] = convert(cell)
        out.append(known[key])
    return out


def _names(part: PartRows) -> list[tuple[int, str]]:
    """Indentation and name of every row; staggered names are indented by their column."""
    if not part.layout.staggered:
        return [indent_of(_clean(c)) for c in part.column("name")]
    out = []
    for row in zip(*(part.cells(column) for column in part.layout.staggered), strict=True):
        filled = [(depth, _clean(cell).strip()) for depth, cell in enumerate(row) if str(cell).strip()]
        out.append(filled[0] if filled else (0, ""))
    return out


def _clean(cell: Cell) -> str:
    """A name without control characters; line ends become blanks, tabs stay as indentation."""
    if cell.__class__ is str and cell.isprintable():
        return cell
    return _CONTROL.sub(" ", cell if isinstance(cell, str) else text_of(cell))


def _level(cell: Cell) -> int | None:
    if isinstance(cell, (float, int)):
        return int(cell) if 0 <= cell < 100 else None
    if not isinstance(cell, str) or not cell.strip():
        return None
    digits = re.search(r"\d{1,4}", cell)
    if digits:
        return int(digits.group())
    marks = cell.strip()
    return len(marks) if len(set(marks)) == 1 and not marks[0].isalnum() else None


def _build(bench: Bench, part: PartRows, named: Named, tree: Tree, heads: set[int], start: int) -> list[Item]:
    stop = start + len(part.items)
    ids, names, parents = named.ids[start:stop], named.names[start:stop], tree.parents[start:stop]
    remarks = _joined_texts(part, "remarks")
    sizes = read_sizes(bench, part, ids)
    quantities = read_quantities(bench, part, ids, [at in heads for at in range(start, stop)])
    lengths, widths, thicknesses, walls = (sizes[n] for n in ("length", "width", "thickness", "wall"))
    sized = [(a or b or c) is not None for a, b, c in zip(lengths, widths, thicknesses, strict=True)]
    scales = parts_scales(bench.scales)
    masses = read_masses(MassContext(bench, part, ids, quantities, remarks, sized, scales))
    functions = function_words(bench, part, ids, names)
    materials = _each(part.column("material"), _material)
    processes = _each(part.column("process"), _process)
    if "process" not in part.layout.at and says_both(part.layout.headings.get("material", "")):
        split = [parted(text_of(c)) for c in part.column("material")]
        materials = [_material(material) for material, _ in split]
        processes = [_process(process) for _, process in split]
    photos = _joined_texts(part, "photo")
    marks, extra = _markings(part), _extra(part)
    origin = bench.column_origin(part.table.sheet, part.layout.at.get("number", 0))
    lines, make = part.lines, swift.item
    out = []
    for k, name in enumerate(names):
        remark, wall, above = remarks[k], walls[k], parents[k]
        if wall is None and remark and _DIGIT.search(remark) and len(remark) < _LONGEST_REMARK:
            wall = _remarked_wall(bench, part, k, remark, name, thicknesses[k] or widths[k])
        material, marked = materials[k]
        out.append(
            make(
                ids[k], named.numbers[start + k], name,
                None if above is None else named.ids[above], start + k,
                quantities[k], masses[k], material, processes[k], functions[k],
                lengths[k], widths[k], thicknesses[k], wall, marked + marks[k],
                photos_of(photos[k]) if photos[k] else (), remark, origin + lines[k], extra[k],
            )
        )  # fmt: skip
    return out


def _material(cell: Cell) -> tuple[Word | None, tuple[Marking, ...]]:
    text = text_of(cell)
    if not text or is_blank(text):
        return None, ()
    return material_word(text), markings_of(text)


def _process(cell: Cell) -> Word | None:
    text = text_of(cell)
    return process_word(text) if text and not is_blank(text) else None


def _joined_texts(part: PartRows, name: str) -> list[str]:
    """The texts of all columns of a field, joined."""
    columns = part.layout.all.get(name, [])
    if not columns:
        return [""] * len(part.items)
    texts = [
        [c.strip() if c.__class__ is str else text_of(c) for c in part.cells(column)] for column in columns
    ]
    if len(texts) == 1:
        return texts[0]
    return ["; ".join(t for t in row if t) for row in zip(*texts, strict=True)]


def _remarked_wall(
    bench: Bench, part: PartRows, k: int, remark: str, name: str, outer: Reading | None
) -> Reading | None:
    measure = wall_of(remark, name, None if outer is None else outer.value, bench.decimal)
    if measure is None:
        return None
    column = part.layout.all["remarks"][0]
    return reading_of(measure, Basis.MEASURED, bench.origin(part.table.sheet, part.items[k], column))


def _markings(part: PartRows) -> list[tuple[Marking, ...]]:
    """Part numbers, makers and markings that have columns of their own."""
    kinds = (("part_number", "part number"), ("maker", "maker code"), ("marking", "marking"))
    out: list[tuple[Marking, ...]] = [()] * len(part.items)
    for name, kind in kinds:
        if name in part.layout.at:
            for k, text in enumerate(_joined_texts(part, name)):
                if text and not is_blank(text):
                    out[k] = (*out[k], Marking(text=text, kind=kind))
    return out


def _extra(part: PartRows) -> list[tuple[tuple[str, str], ...]]:
    """Columns that nothing claimed, kept with their headings."""
    out: list[tuple[tuple[str, str], ...]] = [()] * len(part.items)
    for column, heading in part.layout.extra:
        for k, cell in enumerate(part.cells(column)):
            text = text_of(cell)
            if text:
                out[k] = (*out[k], (heading or f"column {letters(column)}", text))
    return out
