"""Weighings of whole assemblies: masses on assembly rows, and note lines that list them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from ..quantities import Basis, Reading, parse_unit
from ..quantities.dimension import MASS
from ..quantities.parsing import Parsed, QuantityError, scan
from ..records import Item
from .bench import Bench
from .findnumber import key_of
from .headings import heading_unit, unit_fits
from .items import Parts
from .measures import Measure, spread_of
from .scales import parts_scales, scale_for
from .sheets import Sheet
from .vocabulary import has_any, normal


def masses_of_assemblies(bench: Bench, parts: Parts, items: Sequence[Item]) -> list[Item]:
    """Move the mass of a row that has parts below it to its weighings, unless it is their sum."""
    heads = {p for p in parts.parents if p is not None}
    out = list(items)
    sums = sums_below(parts, out)
    for at in heads:
        item, below = out[at], sums[at]
        if item.mass is None:
            continue
        if (
            below is not None
            and abs(item.mass.value - below) <= 2e-6 * below
            and item.mass.basis is Basis.WEIGHED
        ):
            bench.desk.note(
                f"{item.mass.origin}: {item.mass.text} {item.mass.unit} is the exact sum of the parts of"
                f" {item.number} {item.name} and was not taken for a weighing"
            )
            out[at] = replace(item, mass=None)
        else:
            out[at] = replace(item, mass=None, weighings=(*item.weighings, item.mass))
    return out


def sums_below(parts: Parts, items: Sequence[Item]) -> list[float | None]:
    """For every row the sum of the leaf masses under one piece of it; ``None`` where there are none."""
    sums: list[float | None] = [None] * len(items)
    for at in _leaves_first(parts.parents):
        above, item = parts.parents[at], items[at]
        below = sums[at]
        each = below if below is not None else (item.mass.value if item.mass else None)
        if above is None or each is None or item.held:
            continue
        sums[above] = (sums[above] or 0.0) + each * (item.quantity.value if item.quantity else 1.0)
    return sums


def _leaves_first(parents: Sequence[int | None]) -> list[int]:
    """Rows in an order in which every row comes before the one above it."""
    waiting = [0] * len(parents)
    for above in parents:
        if above is not None:
            waiting[above] += 1
    ready = [at for at, count in enumerate(waiting) if count == 0]
    for at in ready:  # grows as it is walked
        above = parents[at]
        if above is not None:
            waiting[above] -= 1
            if waiting[above] == 0:
                ready.append(above)
    return ready


def read_weighing_line(
    bench: Bench, parts: Parts, items: list[Item], sheet: Sheet, row: int, column: int, text: str
) -> bool:
    """Take a note such as "12 modules weighed whole [kg]: 28.18 28.27 …" for weighings of an assembly.

    Returns whether the note was one; then the readings are kept on the item and asked about.
    """
    if not has_any(text, "weighing") and not re.search(r"\[\s*(?:kg|g|lb)\s*\]", text):
        return False
    values = _values(text, bench.decimal)
    if values is None:
        return False
    at = _named(parts, items, text)
    if at is None:
        return False
    item = items[at]
    origin = bench.origin(sheet, row, column)
    made = tuple(_weighing(bench, value, unit, origin) for value, unit in values)
    items[at] = replace(item, weighings=(*item.weighings, *made))
    mean = sum(r.value for r in made) / len(made)
    below = sums_below(parts, items)[at]
    against = f", against {below:.3f} kg summed from its parts" if below is not None else ""
    name = f"{item.number} {item.name}".strip()
    count = "a weighing" if len(made) == 1 else f"{len(made)} weighings"
    bench.desk.ask(
        bench.where(sheet, row, column),
        f"{count} of {name!r} as a whole, mean {mean:.3f} kg{against}",
        taken="kept as readings of the whole assembly, which close a sum and never add to it",
        proposed=f"keep as readings of {name}",
        about=f"weighings {text}",
    )
    return True


def _values(text: str, decimal: str | None) -> list[tuple[float, str]] | None:
    """The masses [kg] that a line lists behind its colon, with their unit."""
    head, mark, tail = text.partition(":")
    if not mark:
        head, mark, tail = text.partition("=")
    if not mark:
        return None
    try:
        groups = scan(" ".join(tail.split()), decimal=decimal)
    except QuantityError:
        return None
    unit = next((g.unit for g in groups if g.unit), "") or _head_unit(head)
    if not groups or not unit_fits(unit, MASS):
        return None
    factor = parse_unit(unit).factor
    numbers = [(v * factor, unit) for g in groups if _usable(g) for v in g.values]
    return numbers or None


def _usable(parsed: Parsed) -> bool:
    return (not parsed.unit or unit_fits(parsed.unit, MASS)) and not parsed.product and parsed.low is None


def _head_unit(head: str) -> str:
    for inside in re.findall(r"[\[(]([^\])]*)[\])]", head):
        if heading_unit(inside):
            return heading_unit(inside)
    tail = re.search(r"(?:\bin\s+|,\s*)(\S+)\s*$", head)
    return heading_unit(tail.group(1)) if tail else ""


def _named(parts: Parts, items: Sequence[Item], text: str) -> int | None:
    """The assembly that a line names: by find number, else by the first word of its name."""
    heads = sorted({p for p in parts.parents if p is not None})
    head = text.partition(":")[0]
    for token in re.findall(r"(?<![\w.])[A-Za-z]?\d+(?:[.\-]\d+)+", head):
        at = parts.by_key.get(key_of(token))
        if at is not None:
            return at
    said = normal(head).split()
    best: tuple[float, int] | None = None
    for at in heads:
        words = [w for w in normal(items[at].name).split() if len(w) > 3][:3]
        found = sum(any(_alike(w, s) for s in said) for w in words)
        quantity = items[at].quantity
        counted = quantity is not None and f"{quantity.value:g}" in said
        score = found / max(len(words), 1) + (2.0 if counted else 0.0)
        if found and (best is None or score > best[0]):
            best = (score, at)
    return best[1] if best else None


def _alike(word: str, said: str) -> bool:
    """Equal but for a plural ending."""
    short, long = sorted((word, said), key=len)
    return len(short) > 3 and long.startswith(short) and len(long) - len(short) <= 2


def _weighing(bench: Bench, value: float, unit: str, origin: str) -> Reading:
    factor = parse_unit(unit).factor
    scale = scale_for(value, parts_scales(bench.scales))
    measure = Measure(value=value, unit=unit, text=f"{value / factor:g}")
    name = scale.name if scale else None
    spread = spread_of(measure, Basis.WEIGHED, instrument=name, division=scale.division if scale else None)
    return Reading(
        value=value,
        unit=unit,
        basis=Basis.WEIGHED,
        spread=spread,
        instrument=name,
        origin=origin,
        text=measure.text,
    )
