"""Lines entered twice, and find numbers used twice for different things."""

from __future__ import annotations

from dataclasses import replace

from ..quantities import Reading, Word
from ..records import Item
from .bench import Bench
from .desk import remove_edit
from .items import Parts
from .vocabulary import normal


def hold_doubles(bench: Bench, parts: Parts) -> list[Item]:
    """Hold back the second of two equal lines and ask; ask too where one number names two things."""
    out = list(parts.items)
    with_children = {p for p in parts.parents if p is not None}
    for group in _groups(parts):
        for at, second in enumerate(group[1:], 1):
            first = next((g for g in group[:at] if not out[g].held and _same(out[g], out[second])), None)
            if first is not None and second not in with_children:
                out[second] = replace(out[second], held=True)
                _ask_double(bench, parts, first, second)
            elif parts.keys[second] != parts.keys[group[0]] or not parts.keys[second]:
                continue  # like names under different numbers are different lines
            elif normal(out[group[0]].name) != normal(out[second].name):
                _ask_shared_number(bench, parts, group[0], second)
            else:
                _ask_conflict(bench, parts, group[0], second)
    return out


def _groups(parts: Parts) -> list[list[int]]:
    """Rows that share a find number, or without numbers a parent and a name."""
    running = _only_count(parts)
    if not running and all(parts.keys) and len(set(parts.keys)) == len(parts.keys):
        return []
    groups: dict[tuple[object, ...], list[int]] = {}
    for at, key in enumerate(parts.keys):
        numbered = key and not running
        name = (key,) if numbered else ("", parts.parents[at], normal(parts.items[at].name))
        groups.setdefault(name, []).append(at)
    return [g for g in groups.values() if len(g) > 1]


def _only_count(parts: Parts) -> bool:
    """Whether the find numbers only count the lines, so that a line entered twice has two of them."""
    counts = [k[0] for k in parts.keys if len(k) == 1 and isinstance(k[0], int)]
    return len(counts) > 2 and len(counts) == len(parts.keys) and counts == sorted(set(counts))


def _same(first: Item, second: Item) -> bool:
    """Whether two lines say the same, words for the same thing taken as equal; blanks say nothing."""
    if normal(first.name) != normal(second.name) or first.parent != second.parent:
        return False
    for name in ("quantity", "mass", "length", "width", "thickness"):
        if not _equal_numbers(getattr(first, name), getattr(second, name)):
            return False
    for name in ("material", "function"):
        if not _equal_words(getattr(first, name), getattr(second, name)):
            return False
    same_number = bool(first.number) and first.number == second.number
    return same_number or (first.mass is not None and second.mass is not None)


def _equal_numbers(a: Reading | None, b: Reading | None) -> bool:
    if a is None or b is None:
        return True
    return abs(a.value - b.value) <= 1e-6 * max(abs(a.value), abs(b.value))


def _equal_words(a: Word | None, b: Word | None) -> bool:
    if a is None or b is None:
        return True
    return normal(a.text) == normal(b.text) or (a.means is not None and a.means == b.means)


def _where(bench: Bench, parts: Parts, at: int) -> str:
    part, row = parts.lines.of(at)
    layout = part.layout
    column = layout.at.get("number", layout.at.get("name", 0))
    heading = layout.headings.get("number", layout.headings.get("name", ""))
    return bench.where(part.table.sheet, row, column, heading)


def _label(item: Item) -> str:
    return f"{item.number} {item.name}".strip()


def _ask_double(bench: Bench, parts: Parts, first: int, second: int) -> None:
    item = parts.items[second]
    bench.desk.ask(
        _where(bench, parts, second),
        f"{_label(item)!r} is entered twice, here and at {_where(bench, parts, first)}",
        taken="held back: the second line counts nowhere",
        proposed="leave the second line out",
        edits=(remove_edit("item", item.id),),
        about="double",
    )


def _ask_shared_number(bench: Bench, parts: Parts, first: int, second: int) -> None:
    one, other = parts.items[first], parts.items[second]
    bench.desk.ask(
        _where(bench, parts, second),
        f"the find number {other.number} names {other.name!r} here"
        f" and {one.name!r} at {_where(bench, parts, first)}",
        taken="both lines",
        proposed="both lines, with a number of its own for each",
        about="shared number",
    )


def _ask_conflict(bench: Bench, parts: Parts, first: int, second: int) -> None:
    one, other = parts.items[first], parts.items[second]
    differs = [
        f"{name} {_shown(getattr(one, name))} and {_shown(getattr(other, name))}"
        for name in ("quantity", "mass", "length", "width", "thickness", "material", "function")
        if not _alike(getattr(one, name), getattr(other, name))
    ]
    bench.desk.ask(
        _where(bench, parts, second),
        f"{_label(other)!r} is also at {_where(bench, parts, first)}"
        f" with another content ({'; '.join(differs)})",
        taken="both lines",
        proposed="both lines; leave out the one that is wrong",
        about="conflict",
    )


def _alike(a: object, b: object) -> bool:
    if isinstance(a, Word) and isinstance(b, Word):
        return _equal_words(a, b)
    if isinstance(a, Reading) and isinstance(b, Reading):
        return _equal_numbers(a, b)
    return True


def _shown(value: Reading | Word | None) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, Word):
        return repr(value.text)
    return f"{value.text} {value.unit}" if value.unit not in ("part", "") else value.text
