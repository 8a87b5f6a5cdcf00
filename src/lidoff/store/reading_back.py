"""From rows back to records."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, select

from ..quantities import Basis, Evidence, Reading, Shape, Spread, Word
from ..records import Edit, EditKind, Marking
from .layout import LAYOUTS
from .rows import CHOICE, EDIT, EXTRA, MARKING, MENTION, READING, RECORD, SHARED, VALUE, WORD
from .terms import Kind, Record, RecordKey
from .values import rebuild

_BASES = {basis.value: basis for basis in Basis}
_SHAPES = {shape.value: shape for shape in Shape}
_EVIDENCE = {evidence.value: evidence for evidence in Evidence}
_LISTS = frozenset(field for layout in LAYOUTS.values() for field in layout.lists)


@dataclass(frozen=True, slots=True)
class Stored:
    """A record as the database has it, with its row number and place."""

    number: int
    place: int
    record: Record


Fields = dict[int, dict[str, Any]]
Where = Sequence[ColumnElement[bool]]


def stored_records(connection: Connection, *where: ColumnElement[bool]) -> dict[RecordKey, Stored]:
    """The records that meet conditions on `RecordRow`, by key, each kind of a pack in its order."""
    found = connection.execute(
        select(RECORD.c.key, RECORD.c.place, RECORD.c.kind, RECORD.c.pack, RECORD.c.id)
        .where(*where)
        .order_by(RECORD.c.pack, RECORD.c.kind, RECORD.c.place, RECORD.c.key)
    ).all()
    fields: Fields = {number: {} for number, *_ in found}
    kinds = {Kind(kind) for _, _, kind, _, _ in found}
    for kind in kinds:
        layout = LAYOUTS[kind]
        names = [name for name, _ in layout.columns]
        for number, *values in _of(connection, layout.table, where, "record", *names):
            fields[number].update(zip(names, values, strict=True))
    if found:
        _fill_readings(connection, where, fields)
        _fill_words_and_lists(connection, where, fields)
        _fill_edits(connection, where, fields)
    records = {}
    for number, place, kind, pack, identity in found:
        layout = LAYOUTS[Kind(kind)]
        own: dict[str, Any] = dict.fromkeys(layout.lists, ())
        own |= {name: tuple(v) if name in _LISTS else v for name, v in fields[number].items()}
        if layout.has_id:
            own["id"] = identity
        records[RecordKey(layout.kind, pack, identity)] = Stored(number, place, layout.cls(**own))
    return records


def _of(connection: Connection, table: Table, where: Where, *names: str) -> Any:
    """Rows of a table that belong to the wanted records, in the order of its primary key."""
    return connection.execute(
        select(*(table.c[name] for name in names))
        .join(RECORD, RECORD.c.key == table.c.record)
        .where(*where)
        .order_by(*table.primary_key.columns)
    )


def _fill_readings(connection: Connection, where: Where, fields: Fields) -> None:
    shared: dict[tuple[int, str, int], list[tuple[str, float]]] = defaultdict(list)
    for record, slot, place, stream, u in _of(
        connection, SHARED, where, "record", "slot", "place", "stream", "u"
    ):
        shared[record, slot, place].append((stream, u))
    choices: dict[tuple[int, str, int], list[tuple[float, float]]] = defaultdict(list)
    for record, slot, place, value, probability in _of(
        connection, CHOICE, where, "record", "slot", "place", "value", "probability"
    ):
        choices[record, slot, place].append((value, probability))
    names = [column.name for column in READING.columns]
    for row in _of(connection, READING, where, *names):
        (record, slot, place, value, unit, basis, shape, u, low, high, stated) = row[:11]
        instrument, origin, text, note, count = row[11:]
        at = (record, slot, place)
        spread = Spread(
            shape=_SHAPES[shape],
            u=u,
            low=low,
            high=high,
            choices=tuple(choices[at]) if at in choices else (),
            shared=tuple(shared[at]) if at in shared else (),
            stated=stated,
        )
        reading = Reading(
            value=value,
            unit=unit,
            basis=_BASES[basis],
            spread=spread,
            instrument=instrument,
            origin=origin,
            text=text,
            note=note,
            count=count,
        )
        if slot in _LISTS:
            fields[record].setdefault(slot, []).append(reading)
        else:
            fields[record][slot] = reading


def _fill_words_and_lists(connection: Connection, where: Where, fields: Fields) -> None:
    for record, slot, text, means, evidence, origin, note in _of(
        connection, WORD, where, "record", "slot", "text", "means", "evidence", "origin", "note"
    ):
        fields[record][slot] = Word(
            text=text, means=means, evidence=_EVIDENCE[evidence], origin=origin, note=note
        )
    for record, text, kind, origin in _of(connection, MARKING, where, "record", "text", "kind", "origin"):
        fields[record].setdefault("markings", []).append(Marking(text=text, kind=kind, origin=origin))
    for record, slot, target in _of(connection, MENTION, where, "record", "slot", "target"):
        fields[record].setdefault(slot, []).append(target)
    for record, heading, text in _of(connection, EXTRA, where, "record", "heading", "text"):
        fields[record].setdefault("extra", []).append((heading, text))


def _fill_edits(connection: Connection, where: Where, fields: Fields) -> None:
    nodes: dict[tuple[int, int], list[Any]] = defaultdict(list)
    for record, place, parent, name, kind, number, whole, text in _of(
        connection, VALUE, where, "record", "place", "parent", "name", "type", "number", "whole", "text"
    ):
        atom = {"number": number, "whole": whole, "text": text}.get(kind)
        nodes[record, place].append((parent, name, kind, bool(whole) if kind == "truth" else atom))
    for record, place, kind, target_kind, target, field in _of(
        connection, EDIT, where, "record", "place", "kind", "target_kind", "target", "field"
    ):
        edit = Edit(
            kind=EditKind(kind),
            record=target_kind,
            target=target,
            field=field,
            value=rebuild(nodes[record, place]),
        )
        fields[record].setdefault("edits", []).append(edit)
