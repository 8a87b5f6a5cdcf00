"""Revisions as they are told: who changed what, and a record as it once was."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy import Connection, Select, case, func, select

from .columns import table_of
from .faults import StoreError
from .layout import LAYOUTS
from .plain import from_text
from .rows import RECORD
from .saving import ENTRY, REVISION, STUDY, as_utc
from .tables import ItemRow, PackRow, StudyHeadRow
from .terms import Entry, Kind, Record, RecordKey, Revision, StudySummary

HEAD = table_of(StudyHeadRow)
ITEM = table_of(ItemRow)
PACK = table_of(PackRow)


def revisions(
    connection: Connection, study: int, *, record_id: str | None = None, pack: str | None = None
) -> tuple[Revision, ...]:
    """The revisions of a study, newest first; with ``record_id`` those that touched it, with entries."""
    entries: dict[int, list[Entry]] = {}
    if record_id is not None:
        query = select(ENTRY).where(ENTRY.c.study == study, ENTRY.c.id == record_id)
        if pack is not None:
            query = query.where(ENTRY.c.pack == pack)
        for row in connection.execute(query.order_by(ENTRY.c.pack, ENTRY.c.kind)):
            entry = Entry(
                key=RecordKey(Kind(row.kind), row.pack, row.id),
                before=None if row.before is None else json.loads(row.before),
                after=None if row.after is None else json.loads(row.after),
            )
            entries.setdefault(row.revision, []).append(entry)
    return tuple(
        Revision(
            number=row.number,
            when=as_utc(row.made),
            who=row.who,
            summary=row.summary,
            added=row.added,
            changed=row.changed,
            removed=row.removed,
            entries=tuple(entries.get(row.number, ())),
        )
        for row in connection.execute(_counted(study))
        if record_id is None or row.number in entries
    )


def _counted(study: int) -> Select[Any]:
    """Revisions with the number of records each added, changed and removed."""
    added, removed = ENTRY.c.before.is_(None), ENTRY.c.after.is_(None)
    told = (
        ("added", added),
        ("changed", ENTRY.c.id.is_not(None) & ~added & ~removed),
        ("removed", removed & ~added),
    )
    return (
        select(
            REVISION.c.number,
            REVISION.c.made,
            REVISION.c.who,
            REVISION.c.summary,
            *(func.count(case((which & ENTRY.c.id.is_not(None), 1))).label(name) for name, which in told),
        )
        .join_from(
            REVISION,
            ENTRY,
            (ENTRY.c.study == REVISION.c.study) & (ENTRY.c.revision == REVISION.c.number),
            isouter=True,
        )
        .where(REVISION.c.study == study)
        .group_by(REVISION.c.number, REVISION.c.made, REVISION.c.who, REVISION.c.summary)
        .order_by(REVISION.c.number.desc())
    )


def as_of(connection: Connection, study: int, key: RecordKey, revision: int) -> Record:
    """A record as it stood at a revision. Raises `StoreError` where it was not there."""
    text = connection.scalar(
        select(ENTRY.c.after)
        .where(
            ENTRY.c.study == study,
            ENTRY.c.pack == key.pack,
            ENTRY.c.kind == key.kind.value,
            ENTRY.c.id == key.id,
            ENTRY.c.revision <= revision,
        )
        .order_by(ENTRY.c.revision.desc())
        .limit(1)
    )
    if text is None:
        raise StoreError(f"{key} was not there at revision {revision}; nothing was written")
    record: Record = from_text(LAYOUTS[key.kind].cls, text)
    return record


def summaries(connection: Connection) -> tuple[StudySummary, ...]:
    """A line for each study, by id; lines held back are not counted."""
    packs: dict[int, list[str]] = {}
    for study, pack in connection.execute(
        select(RECORD.c.study, PACK.c.name)
        .join(PACK, PACK.c.record == RECORD.c.key)
        .order_by(RECORD.c.study, RECORD.c.place)
    ):
        packs.setdefault(study, []).append(pack)
    items = {
        study: count
        for study, count in connection.execute(
            select(RECORD.c.study, func.count())
            .join(ITEM, ITEM.c.record == RECORD.c.key)
            .where(~ITEM.c.held)
            .group_by(RECORD.c.study)
        )
    }
    newest = (
        select(REVISION.c.study, func.max(REVISION.c.number).label("number"))
        .group_by(REVISION.c.study)
        .subquery()
    )
    return tuple(
        StudySummary(
            id=identity,
            name=name,
            packs=tuple(packs.get(key, ())),
            items=items.get(key, 0),
            revision=number,
            changed_at=as_utc(made),
        )
        for key, identity, name, number, made in connection.execute(
            select(STUDY.c.key, STUDY.c.id, HEAD.c.name, REVISION.c.number, REVISION.c.made)
            .join(RECORD, (RECORD.c.study == STUDY.c.key) & (RECORD.c.kind == Kind.STUDY.value))
            .join(HEAD, HEAD.c.record == RECORD.c.key)
            .join(newest, newest.c.study == STUDY.c.key)
            .join(REVISION, (REVISION.c.study == STUDY.c.key) & (REVISION.c.number == newest.c.number))
            .order_by(STUDY.c.id)
        )
    )
