"""One save: what differs, whether it is stale, and its revision, in one transaction."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy import ColumnElement, Connection, func, insert, select

from .columns import table_of
from .faults import StaleEdit, StoreError, UnknownStudy
from .layout import LAYOUTS
from .log_tables import AttachmentLinkRow, AttachmentRow, RevisionEntryRow, RevisionRow
from .plain import from_text, to_text
from .reading_back import Stored, stored_records
from .rows import RECORD, delete_records, insert_records, place_records
from .tables import StudyRow
from .terms import Kind, Record, RecordEdit, RecordKey

STUDY = table_of(StudyRow)
REVISION, ENTRY = table_of(RevisionRow), table_of(RevisionEntryRow)
ATTACHMENT, LINK = table_of(AttachmentRow), table_of(AttachmentLinkRow)

Records = Mapping[RecordKey, Record]


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """Who saves, why, and the files (pack id, hash) the save rests on."""

    who: str
    summary: str
    files: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What a save replaces: one pack, one kind of the study's own records, or all."""

    pack: str | None = None
    kind: Kind | None = None

    def where(self) -> list[ColumnElement[bool]]:
        of_pack = [] if self.pack is None else [RECORD.c.pack == self.pack]
        return of_pack + ([] if self.kind is None else [RECORD.c.kind == self.kind.value])


@dataclass(frozen=True, slots=True)
class _Later:
    """A change made after the revision an edit was based on; ``before`` is what the edit saw."""

    before: Record | None
    revision: int
    who: str
    when: datetime


@dataclass(frozen=True, slots=True)
class _Difference:
    key: RecordKey
    before: Stored | None
    after: Record | None


def as_utc(moment: datetime) -> datetime:
    """A moment as read: SQLite gives back the UTC it was given without saying so."""
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def find_study(connection: Connection, identity: str, *, to_write: bool = False) -> int:
    """The row number of a study. ``to_write`` makes other writers of it wait. Raises `UnknownStudy`."""
    query = select(STUDY.c.key).where(STUDY.c.id == identity)
    key = connection.scalar(query.with_for_update() if to_write else query)
    if key is None:
        names = ", ".join(connection.scalars(select(STUDY.c.id).order_by(STUDY.c.id).limit(10)))
        raise UnknownStudy(
            f"there is no study {identity!r}; there " + (f"are: {names}" if names else "are none")
        )
    return int(key)


def add_study(connection: Connection, identity: str) -> int:
    """Make the row of a new study."""
    if not identity.strip():
        raise StoreError("a study needs an id; nothing was written")
    connection.execute(insert(STUDY), [{"id": identity}])
    return find_study(connection, identity)


def revision_of(connection: Connection, study: int) -> int:
    """The newest revision of a study, 0 for one without."""
    return connection.scalar(select(func.max(REVISION.c.number)).where(REVISION.c.study == study)) or 0


def save_whole(
    connection: Connection,
    study: int,
    wanted: Records,
    signature: Signature,
    *,
    scope: Scope,
    based_on: int | None,
) -> int:
    """Make the stored records within a scope the ones ``wanted``, in their order.

    With ``based_on``, a record left as it was at that revision is not touched, whatever others
    have made of it since; one changed here and by others is a `StaleEdit`.
    """
    stored = stored_records(connection, RECORD.c.study == study, *scope.where())
    full: dict[RecordKey, Record | None] = dict.fromkeys(stored) | dict(wanted)
    if scope.pack and not full:
        raise StoreError(f"there is no pack {scope.pack!r} in the study; nothing was written")
    later = {} if based_on is None else _later(connection, study, based_on)
    differences = list(_differences(full, stored, based_on, later))
    gone = {d.key for d in differences if d.after is None}
    fresh = {d.key for d in differences if d.before is None}
    order = [k for k in wanted if (k in stored or k in fresh) and k not in gone]
    order += [k for k in stored if k not in wanted and k not in gone]
    places = _in_order(order)
    if scope.pack:  # one pack's place is among the study's others
        head = [RecordKey(Kind.PACK, scope.pack, scope.pack)]
        places |= {k: stored[k].place for k in head if k in stored} or _at_the_end(connection, study, head)
    return _write(connection, study, differences, stored, places, signature)


def save_edits(connection: Connection, study: int, edits: Sequence[RecordEdit], signature: Signature) -> int:
    """Write single records. One changed by anybody since the revision it was based on is a `StaleEdit`."""
    wanted: dict[RecordKey, RecordEdit] = {}
    for edit in edits:
        _check_edit(edit)
        if edit.key in wanted:
            raise StoreError(f"{edit.key} is edited twice in one save; nothing was written")
        wanted[edit.key] = edit
    stored: dict[RecordKey, Stored] = {}
    ids = sorted({key.id for key in wanted} | {key.pack for key in wanted if key.pack})
    for start in range(0, len(ids), 500):  # databases limit how many values a query may name
        some = ids[start : start + 500]
        stored |= stored_records(connection, RECORD.c.study == study, RECORD.c.id.in_(some))
    for key in wanted:
        if key.pack and RecordKey(Kind.PACK, key.pack, key.pack) not in stored:
            raise StoreError(f"there is no pack {key.pack!r} in the study; nothing was written")
    later = _later(connection, study, min(e.based_on for e in edits)) if edits else {}
    for key, edit in wanted.items():
        since = [change for change in later.get(key, ()) if change.revision > edit.based_on]
        if since:
            raise _stale(key, since[-1], edit.based_on)
    differences = list(_differences({k: e.record for k, e in wanted.items()}, stored, None, {}))
    places = {key: found.place for key, found in stored.items()}
    places |= _at_the_end(connection, study, [d.key for d in differences if d.before is None])
    return _write(connection, study, differences, stored, places, signature)


def _check_edit(edit: RecordEdit) -> None:
    cls = LAYOUTS[edit.key.kind].cls
    if edit.record is not None and type(edit.record) is not cls:
        raise StoreError(f"{edit.key} cannot become a {type(edit.record).__name__}; nothing was written")
    if getattr(edit.record, "id", edit.key.id) != edit.key.id:
        raise StoreError(f"{edit.key} cannot take another id; nothing was written")


def _differences(
    wanted: Mapping[RecordKey, Record | None],
    stored: Mapping[RecordKey, Stored],
    base: int | None,
    later: Mapping[RecordKey, Sequence[_Later]],
) -> Iterator[_Difference]:
    """What a whole save changes. Raises `StaleEdit` for what it and others changed differently."""
    for key, after in wanted.items():
        before = stored.get(key)
        if after == (before.record if before else None):
            continue
        if base is not None and key in later:
            if after == later[key][0].before:
                continue  # left alone here, so others' change stands
            raise _stale(key, later[key][-1], base)
        yield _Difference(key, before, after)


def _stale(key: RecordKey, last: _Later, base: int) -> StaleEdit:
    return StaleEdit(key, who=last.who, when=last.when, revision=last.revision, based_on=base)


def _later(connection: Connection, study: int, revision: int) -> dict[RecordKey, list[_Later]]:
    """What was changed after a revision, in order. Raises `StoreError` for one yet to come."""
    newest = revision_of(connection, study)
    if revision > newest:
        raise StoreError(
            f"revision {revision} is yet to come: the study stands at {newest}; nothing was written"
        )
    found: dict[RecordKey, list[_Later]] = {}
    for number, kind, pack, identity, before, who, made in connection.execute(
        select(
            ENTRY.c.revision,
            ENTRY.c.kind,
            ENTRY.c.pack,
            ENTRY.c.id,
            ENTRY.c.before,
            REVISION.c.who,
            REVISION.c.made,
        )
        .join(REVISION, (REVISION.c.study == ENTRY.c.study) & (REVISION.c.number == ENTRY.c.revision))
        .where(ENTRY.c.study == study, ENTRY.c.revision > revision)
        .order_by(ENTRY.c.revision)
    ):
        layout = LAYOUTS[Kind(kind)]
        seen = None if before is None else from_text(layout.cls, before)
        key = RecordKey(layout.kind, pack, identity)
        found.setdefault(key, []).append(_Later(seen, number, who, as_utc(made)))
    return found


def _group(key: RecordKey) -> tuple[Kind, str]:
    """Records whose order is one sequence: those of a kind in a pack, and the packs themselves."""
    return key.kind, "" if key.kind is Kind.PACK else key.pack


def _in_order(keys: Iterable[RecordKey]) -> dict[RecordKey, int]:
    """The place of each record in its group."""
    counts: dict[tuple[Kind, str], int] = {}
    places = {}
    for key in keys:
        places[key] = counts.get(_group(key), 0)
        counts[_group(key)] = places[key] + 1
    return places


def _at_the_end(connection: Connection, study: int, keys: Iterable[RecordKey]) -> dict[RecordKey, int]:
    """Places for new records after all that are there."""
    nexts: dict[tuple[Kind, str], int] = {}
    places = {}
    for key in keys:
        kind, pack = _group(key)
        if (kind, pack) not in nexts:
            query = select(func.max(RECORD.c.place)).where(
                RECORD.c.study == study, RECORD.c.kind == kind.value
            )
            highest = connection.scalar(query.where(RECORD.c.pack == pack) if pack else query)
            nexts[kind, pack] = 0 if highest is None else highest + 1
        places[key] = nexts[kind, pack]
        nexts[kind, pack] += 1
    return places


def _write(
    connection: Connection,
    study: int,
    differences: Sequence[_Difference],
    stored: Mapping[RecordKey, Stored],
    places: Mapping[RecordKey, int],
    signature: Signature,
) -> int:
    """Write differences with their revision; the present revision if there are none."""
    if not signature.who.strip():
        raise StoreError("a save needs the name of who makes it; nothing was written")
    newest = revision_of(connection, study)
    changed = {d.key for d in differences}
    moved = [
        (found.number, places[key])
        for key, found in stored.items()
        if key not in changed and key in places and places[key] != found.place
    ]
    files = _new_files(connection, study, signature.files)
    if not (differences or moved or files):
        return newest
    number = newest + 1
    connection.execute(
        insert(REVISION),
        [
            {
                "study": study,
                "number": number,
                "made": datetime.now(UTC),
                "who": signature.who,
                "summary": signature.summary,
            }
        ],
    )
    delete_records(connection, [d.before.number for d in differences if d.before])
    insert_records(connection, study, [(d.key, places[d.key], d.after) for d in differences if d.after])
    place_records(connection, moved)
    _write_entries(connection, study, number, differences)
    if files:
        links = [{"study": study, "revision": number, "pack": pack, "hash": h} for pack, h in files]
        connection.execute(insert(LINK), links)
    return number


def _write_entries(
    connection: Connection, study: int, number: int, differences: Sequence[_Difference]
) -> None:
    rows = [
        {
            "study": study,
            "revision": number,
            "pack": d.key.pack,
            "kind": d.key.kind.value,
            "id": d.key.id,
            "before": to_text(d.before.record) if d.before else None,
            "after": to_text(d.after) if d.after else None,
        }
        for d in differences
    ]
    if rows:
        connection.execute(insert(ENTRY), rows)


def _new_files(connection: Connection, study: int, files: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """The files no save of the pack rests on yet. Raises `StoreError` for one that is not kept."""
    new = []
    for pack, content in dict.fromkeys(files):
        if connection.scalar(select(ATTACHMENT.c.hash).where(ATTACHMENT.c.hash == content)) is None:
            raise StoreError(f"no attachment {content[:12]}… is kept; nothing was written")
        linked = select(LINK.c.hash).where(LINK.c.study == study, LINK.c.pack == pack, LINK.c.hash == content)
        if connection.scalar(linked.limit(1)) is None:
            new.append((pack, content))
    return new
