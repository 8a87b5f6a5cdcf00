"""Rows of parts tables as items in a tree."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ..quantities import Basis, Reading
from ..records import Item, Marking
from . import swift
from .bench import Bench, cells_of
from .columnread import size_column
from .combined import combined_sizes
from .desk import set_edit
from .findnumber import Found, Key, key_of, repair, text_of
from .item_words import function_words, markings_of, material_word, photos_of, process_word, wall_of
from .masses import MassContext, read_masses
from .measures import is_ditto, reading_of
from .quantity import read_quantities
from .rows import PartRows
from .sheets import Cell, letters
from .tree import Doubt, Node, Tree, build, indent_of
from .vocabulary import is_blank


@dataclass(slots=True)
class Line:
    """Where an item came from."""

    part: PartRows
    row: int


@dataclass(slots=True)
class Parts:
    """All items of a file with their lines, keys and tree."""

    items: list[Item] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    keys: list[Key] = field(default_factory=list)
    parents: list[int | None] = field(default_factory=list)
    by_key: dict[Key, int] = field(default_factory=dict)


@dataclass(slots=True)
class _Names:
    """Numbers, names and places of all rows, in order."""

    lines: list[Line] = field(default_factory=list)
    found: list[Found] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)


def read_items(bench: Bench, parts: Sequence[PartRows]) -> Parts:
    """All items of the parts tables."""
    for part in parts:
        _copy_dittos(part)
    named = _Names()
    for number, part in enumerate(parts):
        _read_names(part, number, named)
    tree = build(named.nodes)
    ids = [
        bench.desk.identity("i", ".".join(map(str, node.key)) or name)
        for node, name in zip(named.nodes, named.names, strict=True)
    ]
    _ask_numbers(bench, named, ids)
    for doubt in tree.doubts:
        _ask_tree(bench, named, ids, tree, doubt)
    out = Parts(lines=named.lines, keys=[n.key for n in named.nodes], parents=tree.parents)
    for at, key in enumerate(out.keys):
        if key:
            out.by_key.setdefault(key, at)
    start = 0
    for part in parts:
        stop = start + len(part.items)
        out.items += _build(bench, part, named, tree, ids, start, stop)
        start = stop
    return out


def _copy_dittos(part: PartRows) -> None:
    """Write out ditto marks: the cell above, in the same column."""
    rows = part.table.sheet.rows
    columns = {c for name, cs in part.layout.all.items() for c in cs if name not in ("number", "level", "name")}
    for above, row in zip(part.items, part.items[1:], strict=False):
        cells = rows[row]
        for column in columns:
            if column < len(cells):
                cell = cells[column]
                if cell.__class__ is str and 0 < len(cell) < 18 and is_ditto(cell):
                    upper = rows[above]
                    cells[column] = upper[column] if column < len(upper) else ""


def _read_names(part: PartRows, table: int, named: _Names) -> None:
    layout, rows = part.layout, part.items
    count = len(rows)
    numbers = _column(part, "number")
    raw = _names(part)
    found = repair(numbers, [name for _, name in raw]) if "number" in layout.at else [Found("")] * count
    levels = [_level(c) for c in _column(part, "level")]
    above = _column(part, "parent")
    for at in range(count):
        indent, name = raw[at]
        number = found[at].number
        node = Node(
            key_of(number) if number else (),
            levels[at],
            indent,
            text_of(above[at]) if above[at] != "" else "",
            name,
            table,
            rows[at] in part.sections,
        )
        named.nodes.append(node)
        named.names.append(name)
        named.lines.append(Line(part, rows[at]))
    named.found += found


def _column(part: PartRows, name: str) -> list[Cell]:
    column = part.layout.at.get(name)
    return [""] * len(part.items) if column is None else cells_of(part.table, column, part.items)


def _names(part: PartRows) -> list[tuple[int, str]]:
    """Indentation and name of every row; staggered names are indented by their column."""
    if part.layout.staggered:
        out = []
        for row in part.items:
            cells = part.table.sheet.rows[row]
            for depth, column in enumerate(part.layout.staggered):
                if column < len(cells) and str(cells[column]).strip():
                    out.append((depth, str(cells[column]).strip()))
                    break
            else:
                out.append((0, ""))
        return out
    return [indent_of(c) if isinstance(c, str) else (0, text_of(c)) for c in _column(part, "name")]


def _level(cell: Cell) -> int | None:
    if isinstance(cell, (float, int)):
        return int(cell) if 0 <= cell < 100 else None
    if not isinstance(cell, str) or not cell.strip():
        return None
    digits = re.search(r"\d+", cell)
    if digits:
        return int(digits.group())
    marks = cell.strip()
    return len(marks) if len(set(marks)) == 1 and not marks[0].isalnum() else None


def _ask_numbers(bench: Bench, named: _Names, ids: Sequence[str]) -> None:
    for at, found in enumerate(named.found):
        if not found.was:
            continue
        line = named.lines[at]
        layout = line.part.layout
        bench.desk.ask(
            bench.where(line.part.table.sheet, line.row, layout.at["number"], layout.headings["number"]),
            f"the find number of {named.names[at]!r} reads {found.was!r}; by its neighbours it was {found.number}"
            " before a spreadsheet changed it",
            taken=found.number,
            proposed=found.number,
            edits=(set_edit("item", ids[at], "number", found.number),),
            about=f"number {found.was}",
        )


def _ask_tree(bench: Bench, named: _Names, ids: Sequence[str], tree: Tree, doubt: Doubt) -> None:
    line = named.lines[doubt.row]
    layout, sheet = line.part.layout, line.part.table.sheet
    parent = tree.parents[doubt.row]

    def label(at: int | None) -> str:
        return "the top" if at is None else f"{named.found[at].number} {named.names[at]}".strip()

    column = "level" if doubt.kind in ("level", "jump") else "parent" if doubt.kind == "parent" else "number"
    at_column = layout.at.get(column, layout.at.get("name", 0))
    where = bench.where(sheet, line.row, at_column, layout.headings.get(column, ""))
    name = f"{named.found[doubt.row].number} {named.names[doubt.row]}".strip()
    what = {
        "level": f"the level of {name!r} does not fit its find number, which puts it under {label(parent)}",
        "missing": f"{name!r} belongs to {doubt.text}, which is not in the list",
        "jump": f"the level jumps from {doubt.text} at {name!r}",
        "unnumbered": f"{name!r} has no find number, so its place in the tree is unsure",
        "parent": f"{name!r} is said to belong to {doubt.text!r}, which is not in the list",
    }[doubt.kind]
    differs = doubt.kind == "level" and doubt.other != parent
    bench.desk.ask(
        where,
        what,
        taken=f"under {label(parent)}",
        proposed=f"under {label(doubt.other)}, as the level says" if differs else f"under {label(parent)}",
        edits=(set_edit("item", ids[doubt.row], "parent", None if doubt.other is None else ids[doubt.other]),)
        if differs
        else (),
        about=f"tree {doubt.kind}",
    )


def _build(
    bench: Bench, part: PartRows, named: _Names, tree: Tree, ids: Sequence[str], start: int, stop: int
) -> list[Item]:
    own, names = ids[start:stop], named.names[start:stop]
    layout = part.layout
    remarks = _joined_texts(part, "remarks")
    sizes = _sizes(bench, part, own)
    has_children = {p for p in tree.parents if p is not None}
    heads = [start + k in has_children for k in range(stop - start)]
    quantities = read_quantities(bench, part, own, heads)
    sized = [any(sizes[n][k] is not None for n in ("length", "width", "thickness")) for k in range(stop - start)]
    masses = read_masses(MassContext(bench, part, own, quantities, remarks, sized))
    functions = function_words(bench, part, own, names)
    materials, processes = _column(part, "material"), _column(part, "process")
    photos = _joined_texts(part, "photo")
    marks = _markings(part)
    extra = _extra(part)
    sheet = part.table.sheet
    prefix = f"{bench.origin(sheet, 0, 0).rsplit('!', 1)[0]}!{letters(layout.at.get('number', 0))}"
    out = []
    for k, row in enumerate(part.items):
        material = _text(materials[k])
        process = _text(processes[k])
        remark = remarks[k]
        wall = sizes["wall"][k]
        if wall is None and remark and any(c.isdigit() for c in remark):
            wall = _remarked_wall(bench, part, k, remark, names[k], sizes)
        above = tree.parents[start + k]
        known = material_word(material) if material and not is_blank(material) else None
        out.append(
            swift.item(
                id=own[k],
                number=named.found[start + k].number,
                name=names[k],
                parent=None if above is None else ids[above],
                position=start + k,
                quantity=quantities[k],
                mass=masses[k],
                material=known,
                process=process_word(process) if process and not is_blank(process) else None,
                function=functions[k],
                length=sizes["length"][k],
                width=sizes["width"][k],
                thickness=sizes["thickness"][k],
                wall=wall,
                weighings=(),
                markings=(markings_of(material) if known is not None else ()) + marks[k],
                photos=photos_of(photos[k]) if photos[k] else (),
                remarks=remark,
                origin=f"{prefix}{sheet.line(row)}",
                held=False,
                extra=extra[k],
            )
        )
    return out


def _text(cell: Cell) -> str:
    return cell.strip() if isinstance(cell, str) else text_of(cell)


def _joined_texts(part: PartRows, name: str) -> list[str]:
    """The texts of all columns of a field, joined."""
    columns = part.layout.all.get(name, [])
    if not columns:
        return [""] * len(part.items)
    texts = [[_text(c) for c in cells_of(part.table, column, part.items)] for column in columns]
    if len(texts) == 1:
        return texts[0]
    return ["; ".join(t for t in row if t) for row in zip(*texts, strict=True)]


def _sizes(bench: Bench, part: PartRows, ids: Sequence[str]) -> dict[str, list[Reading | None]]:
    """Length, width, thickness and wall of every row, from whatever columns there are."""
    count = len(part.items)
    nothing: list[Reading | None] = [None] * count
    read = {
        name: size_column(bench, part, name, ids)
        for name in ("length", "width", "thickness", "height", "wall", "diameter")
        if name in part.layout.at
    }
    out = {name: read.get(name, nothing) for name in ("length", "width", "thickness", "wall")}
    if "height" in read:
        if "thickness" in read:  # beside a height, a thickness is a gauge
            out["wall"] = read.get("wall", read["thickness"])
            out["thickness"] = [h or t for h, t in zip(read["height"], read["thickness"], strict=True)]
        else:
            out["thickness"] = read["height"]
    elif "wall" in read and "thickness" not in read:
        out["thickness"] = read["wall"]
    if "diameter" in read:
        for name in ("width", "thickness"):
            out[name] = [a or d for a, d in zip(out[name], read["diameter"], strict=True)]
    return combined_sizes(bench, part, ids, out)


def _remarked_wall(
    bench: Bench, part: PartRows, k: int, remark: str, name: str, sizes: dict[str, list[Reading | None]]
) -> Reading | None:
    outer = sizes["thickness"][k] or sizes["width"][k]
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
        for k, text in enumerate(_joined_texts(part, name)):
            if text and not is_blank(text):
                out[k] = (*out[k], Marking(text=text, kind=kind))
    return out


def _extra(part: PartRows) -> list[tuple[tuple[str, str], ...]]:
    """Columns that nothing claimed, kept with their headings."""
    out: list[tuple[tuple[str, str], ...]] = [()] * len(part.items)
    for column, heading in part.layout.extra:
        for k, cell in enumerate(cells_of(part.table, column, part.items)):
            text = _text(cell)
            if text:
                out[k] = (*out[k], (heading or f"column {letters(column)}", text))
    return out

