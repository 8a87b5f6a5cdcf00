"""Reading a bench file into a pack: tables, facts, items, joints, log, removals, questions."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from ..records import Item, Pack
from .assemblies import with_sheets
from .bench import Bench, find_habits
from .columns import Layout, lay_out
from .desk import Desk
from .doubled import hold_doubles
from .facts import FactBook, facts_of_cells, read_facts
from .factvalues import Value
from .headerless import find_headerless
from .headings import Kind
from .items import Parts, read_items
from .joints import read_joints
from .log import read_log
from .measures import Measure
from .notes import Note, cell_text
from .references import Finder
from .removals import read_removals
from .rows import PartRows, sort_rows
from .sheets import BenchFileError, Sheet, read_sheets
from .tables import Found, Table, find_tables
from .weighings import masses_of_assemblies, read_weighing_line

Laid = list[tuple[Table, Layout]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """A pack as read, with its questions and rejections, and the notes that became no record."""

    pack: Pack
    notes: tuple[str, ...] = ()


def read_bench(path: Path, *, pack_id: str) -> Imported:
    """Read a bench file (workbook or text table) into a pack.

    What is unsure becomes a question, what cannot be used a rejection, both with their place; the
    rest of the row is taken. The same file gives the same ids at every run.

    Raises `BenchFileError`, one sentence, where the file cannot be read or holds nothing known.
    """
    sheets = read_sheets(path)
    with _no_collector():
        return _import(sheets, Bench(path.name, Desk(pack_id, path.name)), path.name)


@contextmanager
def _no_collector() -> Iterator[None]:
    """Hold the cycle collector still: an import makes many records and no cycles.

    Freezing and thawing moves the new records to the oldest generation, so that the collector does
    not walk them all as soon as it runs again.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if gc.get_freeze_count() == 0:
            gc.freeze()
            gc.unfreeze()
        if was:
            gc.enable()


def _import(sheets: Sequence[Sheet], bench: Bench, name: str) -> Imported:
    found = [find_tables(sheet) for sheet in sheets]
    laid: dict[Kind, Laid] = {kind: [] for kind in Kind}
    for one in found:
        for table in one.tables:
            laid[table.kind].append((table, lay_out(table)))
    if not any(laid.values()):
        bare = find_headerless(bench, found)
        if bare is not None:
            laid[Kind.PARTS].append(bare)
    find_habits(bench, [pair for pairs in laid.values() for pair in pairs], _loose_texts(found))
    parts_rows = [sort_rows(table, layout) for table, layout in laid[Kind.PARTS]]
    book = read_facts(bench, found)
    parts = read_items(bench, parts_rows)
    items = masses_of_assemblies(bench, parts, hold_doubles(bench, parts))
    _read_part_notes(book, parts, items, parts_rows)
    finder = Finder(parts, items)
    joints, joint_notes = read_joints(bench, laid[Kind.JOINTS], finder)
    steps, log_notes = read_log(bench, laid[Kind.LOG], finder)
    removals, removal_notes = read_removals(bench, laid[Kind.REMOVALS])
    _note_titles(bench, found)
    for table, row in (*joint_notes, *log_notes, *removal_notes):
        book.read_row(table.sheet, row)
    _weighed_root(book, parts, items)
    facts_of_cells(book, items)
    if parts.by_sheet:
        items = with_sheets(bench, parts, items)
    if not (items or joints or steps or removals or book.removals or book.keys):
        raise BenchFileError(f"no parts, joints, log or facts were found in {name}")
    pack = Pack(
        id=bench.desk.pack_id,
        name=next((f.word.text for f in book.facts if f.key == "name" and f.word), bench.desk.pack_id),
        items=tuple(items),
        joints=tuple(joints),
        steps=tuple(steps),
        removals=tuple(removals or book.removals),
        facts=tuple(book.facts),
        questions=tuple(bench.desk.questions),
        rejections=tuple(bench.desk.rejections),
    )
    return Imported(pack=pack, notes=tuple(bench.desk.notes))


def _note_titles(bench: Bench, found: Sequence[Found]) -> None:
    """Keep the title lines of tables that follow other tables."""
    for one in found:
        loose = set(one.loose)
        rows = {row for table in one.tables for row in table.titles if row not in loose}
        for row in sorted(rows):
            text = " ".join(t for c in one.sheet.rows[row] if (t := cell_text(c)))
            bench.desk.note(f"{bench.where(one.sheet, row, 0)}: {text}")


def _loose_texts(found: Sequence[Found]) -> list[str]:
    """Every text outside the tables, titles with them."""
    out = []
    for one in found:
        rows = {*one.loose, *(row for table in one.tables for row in table.titles)}
        out += [
            cell_text(c)
            for row in sorted(rows)
            for c in one.sheet.rows[row]
            if isinstance(c, str) and c.strip()
        ]
    return out


def _read_part_notes(
    book: FactBook, parts: Parts, items: list[Item], sorted_rows: Sequence[PartRows]
) -> None:
    """Notes between the rows: weighings of assemblies, facts, or kept as they are; totals are noted."""
    bench = book.bench
    for part in sorted_rows:
        sheet = part.table.sheet
        for row in part.notes:
            cells = [(i, t) for i, c in enumerate(sheet.rows[row]) if (t := cell_text(c))]
            text = " ".join(t for _, t in cells)
            if not read_weighing_line(bench, parts, items, sheet, row, cells[0][0], text):
                book.read_row(sheet, row)
        for row in part.totals:
            _read_total(book, sheet, row)


def _read_total(book: FactBook, sheet: Sheet, row: int) -> None:
    """A total row counts nowhere; one that was weighed is the weighing of the pack."""
    text = "; ".join(t for c in sheet.rows[row] if (t := cell_text(c)))
    book.bench.desk.note(f"{book.bench.where(sheet, row, 0)}: total row left out: {text}")


def _weighed_root(book: FactBook, parts: Parts, items: list[Item]) -> None:
    """The weighing of the only top row is the weighing of the pack, where no note gives one."""
    tops = [at for at, parent in enumerate(parts.parents) if parent is None and not items[at].held]
    if len(tops) != 1 or len(items[tops[0]].weighings) != 1 or "mass_weighed" in book.keys:
        return
    item = items[tops[0]]
    weighed = item.weighings[0]
    part, row = parts.lines.of(tops[0])
    column = part.layout.at.get("mass_each", 0)
    measure = Measure(value=weighed.value, unit=weighed.unit, text=weighed.text)
    note = Note(part.table.sheet, row, column, item.name, weighed.text)
    book.add(note, item.name, weighed.text, Value("mass_weighed", measure))
    items[tops[0]] = replace(item, weighings=())
