"""From records to rows, and the rows' way into the database."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select, update
from sqlalchemy.sql import bindparam

from ..quantities import Reading
from ..records import Edit
from . import tables as t
from .columns import table_of
from .faults import StoreError
from .layout import LAYOUTS, Layout, Unfit, number, whole
from .terms import Record, RecordKey
from .values import walk

Row = dict[str, Any]
Rows = dict[Table, list[Row]]


RECORD = table_of(t.RecordRow)
READING, SHARED, CHOICE = table_of(t.ReadingRow), table_of(t.SharedRow), table_of(t.ChoiceRow)
WORD, MARKING, MENTION, EXTRA = (table_of(r) for r in (t.WordRow, t.MarkingRow, t.MentionRow, t.ExtraRow))
EDIT, VALUE = table_of(t.EditRow), table_of(t.EditValueRow)

#: In the order their rows go in: what is referred to before what refers.
CHILDREN = (READING, SHARED, CHOICE, WORD, MARKING, MENTION, EXTRA, EDIT, VALUE)

Addition = tuple[RecordKey, int, Record]


def insert_records(connection: Connection, study: int, additions: Sequence[Addition]) -> None:
    """Write new records, each with its key and its place among its kind, in bulk."""
    if not additions:
        return
    connection.execute(
        insert(RECORD),
        [
            {"study": study, "pack": key.pack, "kind": key.kind.value, "id": key.id, "place": place}
            for key, place, _ in additions
        ],
    )
    packs = {key.pack for key, _, _ in additions}
    numbered = {
        (kind, pack, identity): number
        for number, kind, pack, identity in connection.execute(
            select(RECORD.c.key, RECORD.c.kind, RECORD.c.pack, RECORD.c.id).where(
                RECORD.c.study == study, RECORD.c.pack.in_(packs)
            )
        )
    }
    rows: Rows = {layout.table: [] for layout in LAYOUTS.values()} | {child: [] for child in CHILDREN}
    for key, _, record in additions:
        spread_out(rows, key, numbered[key.kind, key.pack, key.id], record)
    for where, found in rows.items():
        if found:
            connection.execute(insert(where), found)


def delete_records(connection: Connection, numbers: Sequence[int]) -> None:
    """Remove records by their row number, with all that hangs on them."""
    if numbers:
        connection.execute(
            delete(RECORD).where(RECORD.c.key == bindparam("number")), [{"number": n} for n in numbers]
        )


def place_records(connection: Connection, places: Sequence[tuple[int, int]]) -> None:
    """Move records, given as (row number, place)."""
    if places:
        connection.execute(
            update(RECORD).where(RECORD.c.key == bindparam("number")).values(place=bindparam("to")),
            [{"number": number, "to": place} for number, place in places],
        )


def spread_out(rows: Rows, key: RecordKey, number_: int, record: Record) -> None:
    """Add a record's rows. Raises `StoreError` naming the record and field that no column takes."""
    layout = LAYOUTS[key.kind]
    field = ""
    try:
        own: Row = {"record": number_}
        for field, fit in layout.columns:
            value = getattr(record, field)
            own[field] = None if value is None else fit(value)
        rows[layout.table].append(own)
        for field in layout.readings:
            if (reading := getattr(record, field)) is not None:
                _spread_reading(rows, number_, field, 0, reading)
        for field in layout.reading_lists:
            for place, reading in enumerate(getattr(record, field)):
                _spread_reading(rows, number_, field, place, reading)
        for field in layout.words:
            if (word := getattr(record, field)) is not None:
                rows[WORD].append(
                    {
                        "record": number_,
                        "slot": field,
                        "text": word.text,
                        "means": word.means,
                        "evidence": word.evidence.value,
                        "origin": word.origin,
                        "note": word.note,
                    }
                )
        for field in layout.edits:
            for place, edit in enumerate(getattr(record, field)):
                _spread_edit(rows, number_, place, edit)
        _spread_lists(rows, layout, number_, record)
    except Unfit as fault:
        raise StoreError(f"{key}: {field} {fault}; nothing was written") from None


def _spread_reading(rows: Rows, record: int, slot: str, place: int, reading: Reading) -> None:
    spread = reading.spread
    rows[READING].append(
        {
            "record": record,
            "slot": slot,
            "place": place,
            "value": number(reading.value),
            "unit": reading.unit,
            "basis": reading.basis.value,
            "shape": spread.shape.value,
            "u": number(spread.u),
            "low": None if spread.low is None else number(spread.low),
            "high": None if spread.high is None else number(spread.high),
            "stated": bool(spread.stated),
            "instrument": reading.instrument,
            "origin": reading.origin,
            "text": reading.text,
            "note": reading.note,
            "count": whole(reading.count),
        }
    )
    at = {"record": record, "slot": slot, "place": place}
    for rank, (stream, u) in enumerate(spread.shared):
        rows[SHARED].append(at | {"rank": rank, "stream": stream, "u": number(u)})
    for rank, (value, probability) in enumerate(spread.choices):
        rows[CHOICE].append(at | {"rank": rank, "value": number(value), "probability": number(probability)})


def _spread_lists(rows: Rows, layout: Layout, record: int, holder: Record) -> None:
    for field in layout.markings:
        for place, marking in enumerate(getattr(holder, field)):
            rows[MARKING].append(
                {
                    "record": record,
                    "place": place,
                    "text": marking.text,
                    "kind": marking.kind,
                    "origin": marking.origin,
                }
            )
    for field in layout.mentions:
        for place, target in enumerate(getattr(holder, field)):
            rows[MENTION].append({"record": record, "slot": field, "place": place, "target": target})
    for field in layout.extras:
        for place, (heading, text) in enumerate(getattr(holder, field)):
            rows[EXTRA].append({"record": record, "place": place, "heading": heading, "text": text})


def _spread_edit(rows: Rows, record: int, place: int, edit: Edit) -> None:
    rows[EDIT].append(
        {
            "record": record,
            "place": place,
            "kind": edit.kind.value,
            "target_kind": edit.record,
            "target": edit.target,
            "field": edit.field,
        }
    )
    for at, parent, name, node in walk(edit.value):
        content = node.content
        is_whole = node.type in ("whole", "truth")
        rows[VALUE].append(
            {
                "record": record,
                "place": place,
                "node": at,
                "parent": parent,
                "name": name,
                "type": node.type,
                "number": number(content) if node.type == "number" else None,
                "whole": whole(content) if is_whole else None,
                "text": content if node.type == "text" else None,
            }
        )
