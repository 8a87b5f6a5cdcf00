"""Like for like: the comparison's scope, what was left out and why, where the difference comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...evaluate.findings import Figure
from ...pictures import Move, Palette, waterfall
from ...pictures.numbers import MISSING
from ...quantities.sampling import interval
from ...records import FUNCTIONS, Function
from ..blocks import (
    Block,
    Cell,
    Column,
    Heading,
    Paragraph,
    Picture,
    Row,
    Section,
    Set,
    Style,
    Table,
    Text,
    say,
    strong,
)
from .cover import joined
from .story import Story
from .tables import compared_lines, figure_table, gap_table
from .tell import covers_text, quiet, scale_of, value, words

if TYPE_CHECKING:
    from ...compare import LeftOut


def alike(story: Story) -> Section | None:
    """The comparison, or ``None`` where there is only one pack."""
    if story.comparison is None:
        return None
    blocks: list[Block] = [Paragraph(text=_scope(story), style=Style.SENTENCE)]
    picture = _moves(story)
    if picture is not None:
        blocks.append(picture)
    names = [row.name for row in story.comparison.rows]
    by_function = [n for n in names if is_by_function(n)]
    main = compared_lines(story, [n for n in names if n not in by_function])
    blocks.append(figure_table(story, "Comparison in the scope", main))
    if len(story.packs) > 2:
        blocks.append(gap_table(story, "Differences", main))
    blocks += _apart(story)
    if by_function:
        blocks.append(Heading(text=say("Per kWh and as a share, by function")))
        blocks.append(figure_table(story, "By function", compared_lines(story, by_function)))
    return Section(anchor="alike", title="Like for like", short="Like for like", blocks=tuple(blocks))


def is_by_function(name: str) -> bool:
    """Whether a compared figure is one function's mass per kWh or share."""
    return name in _BY_FUNCTION


_BY_FUNCTION = frozenset(f"mass_{f}_{end}" for f in FUNCTIONS for end in ("per_kwh", "share"))


def _scope(story: Story) -> Text:
    comparison = story.comparison
    assert comparison is not None  # asked only where there is one
    if not comparison.left_out:
        return say("All functions of the packs are compared; nothing was left out.")
    parts = [
        f"{_name(story, e.pack)}'s {e.function or 'lines without a function'}" for e in comparison.left_out
    ]
    return say("Left out of the comparison, and shown apart below: ", strong(joined(parts)), ".")


def _name(story: Story, pack: str) -> str:
    told = story.by_id.get(pack)
    return told.name if told is not None else pack


def difference(first: Figure | None, second: Figure | None, label: str) -> Move | None:
    """First less second, with the interval of the samples' difference; an absent function is none."""
    pair = [f for f in (first, second) if f is not None and f.value is not None]
    if not pair:
        return None
    one, two = (f if f is not None and f.value is not None else None for f in (first, second))
    value = (one.value or 0.0 if one else 0.0) - (two.value or 0.0 if two else 0.0)
    samples = [f.samples for f in pair]
    if any(s is None for s in samples):
        return Move(label=label, value=value)
    a = one.samples if one is not None and one.samples is not None else 0.0
    b = two.samples if two is not None and two.samples is not None else 0.0
    low, high = interval(np.asarray(a - b, dtype=np.float64))
    return Move(label=label, value=value, low=low, high=high)


def _moves(story: Story) -> Picture | None:
    """Mass difference by function, for two packs."""
    if story.comparison is None or len(story.packs) != 2:
        return None
    first, second = story.packs
    inside = [f for f in FUNCTIONS if f in set(story.comparison.scope) and f is not Function.COOLANT]
    found = [difference(first.figure(f"mass_{f}"), second.figure(f"mass_{f}"), str(f)) for f in inside]
    moves = sorted((m for m in found if m is not None and m.value != 0.0), key=lambda m: -abs(m.value))
    if not moves:
        return None
    gap = next((line.gap for line in compared_lines(story, ["mass_rolled"])), None)
    total = sum(m.value for m in moves)
    matches = gap is not None and abs(gap.value - total) < 1e-6 * max(abs(total), 1.0)
    whole = Move(
        label="together", value=total,
        low=gap.low if gap is not None and matches else None,
        high=gap.high if gap is not None and matches else None,
    )  # fmt: skip
    title = f"Mass, {first.name} less {second.name}, by function"

    def draw(palette: Palette) -> str:
        return waterfall(title, "kg", moves, whole, width=820.0, palette=palette)

    return Picture(draw=draw, alt=f"{title}, kg", caption=say(f"{title}, kg, largest first."), share=0.75)


def _apart(story: Story) -> list[Block]:
    comparison = story.comparison
    assert comparison is not None  # asked only where there is one
    if not comparison.left_out:
        return []
    columns = (
        Column(head="Pack"),
        Column(head="Function"),
        Column(head="Mass", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
        Column(head="Piece cost", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
        Column(head="Covers", set=Set.QUIET, width=1.2),
        Column(head="Tooling", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
        Column(head="Why left out", width=2.4),
    )
    rows = tuple(_apart_row(story, entry) for entry in comparison.left_out)
    return [
        Heading(text=say("Shown apart")),
        Table(told="Left out of the comparison", columns=columns, rows=rows),
    ]


def _apart_row(story: Story, entry: LeftOut) -> Row:
    cells = [words(_name(story, entry.pack)), words(str(entry.function or "no function"))]
    cells += _value_and_unit(entry.mass, MISSING)
    cells += _value_and_unit(entry.cost, "not costed")
    covered = entry.cost is not None and entry.cost.value is not None
    cells.append(quiet(covers_text(entry.cost.covers) if covered and entry.cost is not None else ""))
    cells += _value_and_unit(entry.tooling, "not costed")
    cells.append(words(entry.why))
    return Row(cells=tuple(cells))


def _value_and_unit(figure: Figure | None, without: str) -> list[Cell]:
    if figure is None or figure.value is None:
        return [words(without), quiet("")]
    scaled = scale_of([figure])
    return [words(value(figure, scaled)), quiet(scaled.unit)]
