"""Readings: every part with its mass, sizes, words, and where each was written."""

from __future__ import annotations

from ...quantities import Evidence, Word, parse_unit
from ...records import Item
from ..blocks import Cell, Column, Kind, Paragraph, Row, Section, Set, Style, Table, say, soft
from .story import Story, Told
from .tell import EMPTY, entered, entered_with_unit, quiet, short_number, words

MILLIMETRE = parse_unit("mm")

_COLUMNS = (
    Column(head="No.", set=Set.QUIET),
    Column(head="Part", width=2.2),
    Column(head="Qty", set=Set.QUIET_NUMBER),
    Column(head="Mass each", set=Set.NUMBER),
    Column(head="", set=Set.UNIT),
    Column(head="Basis", set=Set.QUIET),
    Column(head="Material", width=1.5),
    Column(head="Process", set=Set.QUIET, width=1.1),
    Column(head="L × W × T, mm", set=Set.QUIET),
    Column(head="Function", set=Set.QUIET),
    Column(head="Written at", set=Set.QUIET, width=1.2),
)


def readings(story: Story) -> tuple[Section, ...]:
    return tuple(_pack(story, told) for told in story.packs)


def _pack(story: Story, told: Told) -> Section:
    note = (
        "As entered: masses in the unit they were written in, sizes in millimetres. An assembly's weighings "
        "close its sum and are not added. A line held back counts nowhere until its question is answered."
    )
    rows = [row for item in told.pack.items for row in _rows(story, told, item)]
    table = Table(told=f"Readings of {told.name}", columns=_COLUMNS, rows=tuple(rows), small=True)
    return Section(
        anchor=f"readings-{told.place}",
        title=f"Readings of {told.name}",
        short="Readings" if told.place == 1 else "",
        blocks=(Paragraph(text=say(note), style=Style.NOTE), table),
    )


def _rows(story: Story, told: Told, item: Item) -> list[Row]:
    has_parts = any(other.parent == item.id for other in told.pack.items)
    mass = EMPTY if has_parts and item.mass is None else words(entered(item.mass))
    unit = quiet(item.mass.unit if item.mass is not None else "")
    basis = quiet(str(item.mass.basis) if item.mass is not None else "")
    cells = (
        quiet(item.number),
        words(item.name.strip() or "unnamed", tag="held back" if item.held else ""),
        quiet(entered(item.quantity) if item.quantity is not None else "1"),
        mass,
        unit,
        basis,
        _word(item.material),
        _word(item.process, quiet_word=True),
        quiet(_sizes(item)),
        quiet(item.function.means or item.function.text if item.function is not None else ""),
        quiet(item.origin),
    )
    rows = [Row(cells=cells, anchor=story.part(told, item))]
    if item.weighings:
        text = "weighed whole: " + ", ".join(entered_with_unit(w) for w in item.weighings)
        rows.append(Row(cells=(EMPTY, words(soft(text), across=len(_COLUMNS) - 1)), kind=Kind.UNDER))
    if item.remarks.strip():
        rows.append(
            Row(cells=(EMPTY, words(soft(item.remarks.strip()), across=len(_COLUMNS) - 1)), kind=Kind.UNDER)
        )
    return rows


def _word(word: Word | None, *, quiet_word: bool = False) -> Cell:
    if word is None:
        return EMPTY
    said = word.evidence is Evidence.STATED or str(word.evidence) in word.text
    told = "" if said else f" ({word.evidence})"
    return Cell(text=say(soft(word.text) if quiet_word else word.text, soft(told)))


def _sizes(item: Item) -> str:
    sizes = [item.length, item.width, item.thickness]
    if all(size is None for size in sizes):
        return ""
    return " × ".join("–" if size is None else short_number(MILLIMETRE.from_si(size.value)) for size in sizes)
