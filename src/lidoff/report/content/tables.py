"""The table of figures that every topic uses: value, unit, whisker, evidence, difference."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ...evaluate.findings import Covers, Figure
from ...pictures.numbers import by_interval, percent, span
from ..blocks import Cell, Column, Row, Run, Set, Table, link, soft
from .cover import joined
from .story import Story, Told
from .tell import (
    covers_text,
    evidence_cell,
    interval,
    quiet,
    row_scale,
    scale_of,
    value,
    whisker_cell,
    words,
)

#: Share of a pack's mass that must be costed before its cost is compared without a caveat: this
#: project's choice.
ENOUGH = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """First pack less second, in the figure's unit. Settled where the interval leaves out zero."""

    value: float
    low: float
    high: float
    settled: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureLine:
    """One figure over the packs (by pack id); ``gaps`` are the first less each other, by its id."""

    name: str
    title: str
    values: Mapping[str, Figure | None]
    gaps: Mapping[str, Gap] = field(default_factory=dict)

    @property
    def covered(self) -> bool:
        """Whether a cost figure stands for enough of every pack to compare them by it."""
        return all(f is None or f.covers is None or f.covers.mass >= ENOUGH for f in self.values.values())

    @property
    def gap(self) -> Gap | None:
        """The difference where there are just two packs."""
        return next(iter(self.gaps.values())) if len(self.values) == 2 and self.gaps else None


def own_lines(story: Story, names: Sequence[str]) -> tuple[FigureLine, ...]:
    """Figures of the whole packs, as each was evaluated."""
    lines = []
    for name in names:
        values = {told.pack.id: told.figure(name) for told in story.packs}
        title = next((f.title for f in values.values() if f is not None), None)
        if title is not None:
            lines.append(FigureLine(name=name, title=title, values=values))
    return tuple(lines)


def compared_lines(story: Story, names: Sequence[str] | None = None) -> tuple[FigureLine, ...]:
    """Figures in the comparison's scope with their differences; all of them where no names are given."""
    if story.comparison is None:
        return own_lines(story, names or ())
    rows = story.compared
    lines = []
    for name in names if names is not None else rows:
        if name not in rows:
            continue
        row = rows[name]
        gaps = {
            pack: Gap(value=d.value, low=d.low, high=d.high, settled=d.settled)
            for pack, d in row.differences.items()
        }
        lines.append(FigureLine(name=name, title=row.title, values=row.values, gaps=gaps))
    return tuple(lines)


def figure_table(story: Story, told: str, lines: Sequence[FigureLine], *, narrow: bool = False) -> Table:
    """A value, whisker and evidence bar a pack, and the difference where there is one.

    Intervals are spelled out where there is room. A ``narrow`` table takes only the width it needs.
    """
    differ = any(line.gap is not None for line in lines)
    spelled = not differ and not narrow
    columns = [Column(head="Figure", width=0.0 if narrow else 2.6), Column(head="", set=Set.UNIT)]
    for pack in story.packs:
        columns += [
            Column(head=pack.name, set=Set.NUMBER),
            Column(head="", set=Set.PICTURE),
            Column(head="", set=Set.PICTURE),
        ]
        if spelled:
            columns[-3:] = [
                Column(head=pack.name, set=Set.NUMBER),
                Column(head="", set=Set.QUIET),
                Column(head="", set=Set.PICTURE),
                Column(head="", set=Set.PICTURE),
            ]
    if differ:
        first, second = story.packs[0].name, story.packs[1].name
        columns += [
            Column(head="", set=Set.NUMBER),
            Column(head=f"{first} less {second}, 95 %", set=Set.QUIET, width=1.5),
        ]
    rows = [_row(story.packs, line, differ=differ, spelled=spelled) for line in lines]
    return Table(told=told, columns=tuple(columns), rows=tuple(rows))


def _row(packs: Sequence[Told], line: FigureLine, *, differ: bool, spelled: bool) -> Row:
    """One figure's row; a cost figure says what it covers beside its name."""
    figures = [line.values.get(pack.pack.id) for pack in packs]
    scaled, scale = scale_of(figures), row_scale(figures)
    title = (link(line.title, f"working-{line.name}"), *_covers(packs, figures))
    cells = [words(*title), quiet(scaled.unit)]
    for pack, figure in zip(packs, figures, strict=True):
        cells.append(words(value(figure, scaled)))
        if spelled:
            cells.append(quiet(interval(figure, scaled)))
        cells += [whisker_cell(figure, scale, pack.name), evidence_cell(figure)]
    if differ:
        cells += _gap_cells(line, line.gap, scaled.factor)
    return Row(cells=tuple(cells))


def _covers(packs: Sequence[Told], figures: Sequence[Figure | None]) -> tuple[Run, ...]:
    """What a cost figure covers, pack by pack, or once where it is the same."""
    texts = {
        pack.name: covers_text(figure.covers)
        for pack, figure in zip(packs, figures, strict=True)
        if figure is not None and figure.value is not None and figure.covers is not None
    }
    if not texts:
        return ()
    if len(set(texts.values())) == 1:
        return (soft(f"  {next(iter(texts.values()))}"),)
    return (soft("  " + _covers_each([f.covers for f in figures if f is not None and f.covers is not None])),)


def _covers_each(covers: Sequence[Covers]) -> str:
    """Coverage of several packs, in the order of the columns."""
    lines = joined([percent(c.lines) for c in covers])
    return f"covers {lines} of lines, {joined([percent(c.mass) for c in covers])} of mass"


def _gap_cells(line: FigureLine, gap: Gap | None, factor: float) -> list[Cell]:
    if gap is None:
        return [words(""), words("")]
    at, low, high = gap.value / factor, gap.low / factor, gap.high / factor
    spread = quiet(span(low, high, signed=True))
    tag = "not settled" if not gap.settled else "" if line.covered else "only what is costed"
    return [words(by_interval(at, low, high, signed=True)), Cell(text=spread.text, tag=tag)]


def gap_table(story: Story, told: str, lines: Sequence[FigureLine]) -> Table:
    """Differences of the first pack less each other, where there are more than two."""
    first, *others = story.packs
    columns = [Column(head="Figure", width=1.6), Column(head="", set=Set.UNIT)]
    for other in others:
        columns += [
            Column(head="", set=Set.NUMBER),
            Column(head=f"{first.name} less {other.name}, 95 %", set=Set.QUIET, width=1.0),
        ]
    rows = []
    for line in lines:
        scaled = scale_of(list(line.values.values()))
        cells = [words(link(line.title, f"working-{line.name}")), quiet(scaled.unit)]
        for other in others:
            cells += _gap_cells(line, line.gaps.get(other.pack.id), scaled.factor)
        rows.append(Row(cells=tuple(cells)))
    return Table(told=told, columns=tuple(columns), rows=tuple(rows))
