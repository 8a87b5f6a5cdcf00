"""Store: what the rest of the program asks for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from sqlalchemy import URL, Connection, insert, select

from ..records import Change, Correlation, Pack, Scenario, Study
from . import assembly, attachments, history, schema
from .attachments import Source
from .database import Database
from .faults import StoreError, UnknownStudy
from .layout import keyed
from .reading_back import stored_records
from .rows import RECORD
from .saving import (
    ATTACHMENT,
    LINK,
    Records,
    Scope,
    Signature,
    add_study,
    find_study,
    revision_of,
    save_edits,
    save_whole,
)
from .terms import Attachment, Kind, RecordEdit, RecordKey, Revision, StudySummary


class Store:
    """A workspace: its database and its attachments.

    Every save is one transaction with its revision (who, when, before and after of each record)
    and returns the study's revision, the present one where nothing differed. All methods raise
    `StoreError` in one sentence; nothing is then written. Methods may be called from any thread.
    """

    def __init__(self, database: Database, attachments_at: Path) -> None:
        self._database = database
        self._attachments_at = attachments_at

    @classmethod
    def open(cls, workspace: Path, url: str | None = None, *, wait: float = 5.0) -> Self:
        """Open a workspace, made where there is none, and bring its tables up to date.

        Parameters
        ----------
        workspace : directory of ``lidoff.db`` and ``attachments/``
        url : address of another database in SQLAlchemy's form; attachments stay in the workspace
        wait : how long to wait for another program that writes [s]
        """
        try:
            workspace.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise StoreError(f"the workspace {workspace} cannot be made: {fault.strerror}") from fault
        place = url or URL.create("sqlite", database=str(workspace / "lidoff.db"))
        database = Database(place, wait=wait)
        try:
            schema.bring_up_to_date(database)
        except BaseException:
            database.close()
            raise
        return cls(database, workspace / "attachments")

    def close(self) -> None:
        self._database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    # --- what is there -----------------------------------------------------------------------

    def studies(self) -> tuple[StudySummary, ...]:
        """All studies by id, without loading them."""
        with self._database.reading() as connection:
            return history.summaries(connection)

    def load(self, study_id: str) -> Study:
        """A study as it stands, with its revision."""
        with self._database.reading() as connection:
            study = find_study(connection, study_id)
            stored = stored_records(connection, RECORD.c.study == study)
            return assembly.study_of(study_id, stored, revision_of(connection, study))

    # --- saving ------------------------------------------------------------------------------

    def create_study(
        self, study_id: str, name: str = "", *, who: str, summary: str = "", scenario: Scenario | None = None
    ) -> int:
        """Make an empty study. ``name`` is its id where none is given."""
        study = Study(id=study_id, name=name or study_id, scenario=scenario or Scenario())
        signature = Signature(who=who, summary=summary or f"study {study_id} made")
        with self._database.writing() as connection:
            try:
                find_study(connection, study_id)
            except UnknownStudy:
                return self._create(connection, study, signature)
            raise StoreError(f"there is a study {study_id!r} already; nothing was written")

    def save_study(
        self,
        study: Study,
        *,
        who: str,
        summary: str,
        based_on: int | None = None,
        files: Sequence[tuple[str, Attachment]] = (),
    ) -> int:
        """Make the stored study this one, whole; one that is not there is made.

        Packs, records and changes not in it are removed. ``files`` are pack ids with attachments this
        save rests on. See `save_pack` for ``based_on``.
        """
        wanted = assembly.records_of_study(study)
        linked = tuple((pack, kept.hash) for pack, kept in files)
        signature = Signature(who=who, summary=summary, files=linked)
        with self._database.writing() as connection:
            try:
                key = find_study(connection, study.id, to_write=True)
            except UnknownStudy:
                return self._create(connection, study, signature)
            return save_whole(connection, key, wanted, signature, scope=Scope(), based_on=based_on)

    def save_pack(
        self,
        study_id: str,
        pack: Pack,
        *,
        who: str,
        summary: str,
        based_on: int | None = None,
        files: Sequence[Attachment] = (),
        make_study: bool = False,
    ) -> int:
        """Make the stored pack this one: records of the same id are updated, missing ones removed.

        Parameters
        ----------
        based_on : revision the pack was loaded at. Records others changed since and this pack left
            alone keep what others made of them; a record both changed raises `StaleEdit`. Without
            it the pack given wins.
        files : attachments this save rests on, linked in the same transaction
        make_study : make the study too where there is none, in the same transaction
        """
        wanted = assembly.records_of_pack(pack)
        signature = Signature(who=who, summary=summary, files=tuple((pack.id, f.hash) for f in files))
        with self._database.writing() as connection:
            try:
                key = find_study(connection, study_id, to_write=True)
            except UnknownStudy:
                if not make_study:
                    raise
                study = Study(id=study_id, name=study_id, packs=(pack,))
                return self._create(connection, study, signature)
            return save_whole(
                connection, key, wanted, signature, scope=Scope(pack=pack.id), based_on=based_on
            )

    def remove_pack(
        self, study_id: str, pack_id: str, *, who: str, summary: str, based_on: int | None = None
    ) -> int:
        """Remove a pack with all its records; its history stays."""
        return self._save(study_id, {}, Signature(who=who, summary=summary), Scope(pack=pack_id), based_on)

    def save_scenario(
        self, study_id: str, scenario: Scenario, *, who: str, summary: str, based_on: int | None = None
    ) -> int:
        wanted = keyed(Kind.SCENARIO, "", [scenario])
        scope = Scope(kind=Kind.SCENARIO)
        return self._save(study_id, wanted, Signature(who=who, summary=summary), scope, based_on)

    def save_changes(
        self,
        study_id: str,
        changes: Sequence[Change],
        *,
        who: str,
        summary: str,
        based_on: int | None = None,
    ) -> int:
        """Make the study's changes these."""
        wanted = keyed(Kind.CHANGE, "", changes)
        scope = Scope(kind=Kind.CHANGE)
        return self._save(study_id, wanted, Signature(who=who, summary=summary), scope, based_on)

    def save_correlations(
        self,
        study_id: str,
        correlations: Sequence[Correlation],
        *,
        who: str,
        summary: str,
        based_on: int | None = None,
    ) -> int:
        """Make the study's declared correlations these."""
        wanted = keyed(Kind.CORRELATION, "", correlations)
        scope = Scope(kind=Kind.CORRELATION)
        return self._save(study_id, wanted, Signature(who=who, summary=summary), scope, based_on)

    def save_edits(self, study_id: str, edits: Sequence[RecordEdit], *, who: str, summary: str) -> int:
        """Write single records, all or none. Raises `StaleEdit` for one changed since its base."""
        with self._database.writing() as connection:
            key = find_study(connection, study_id, to_write=True)
            return save_edits(connection, key, edits, Signature(who=who, summary=summary))

    def _save(
        self,
        study_id: str,
        wanted: Records,
        signature: Signature,
        scope: Scope,
        based_on: int | None,
    ) -> int:
        with self._database.writing() as connection:
            key = find_study(connection, study_id, to_write=True)
            return save_whole(connection, key, wanted, signature, scope=scope, based_on=based_on)

    @staticmethod
    def _create(connection: Connection, study: Study, signature: Signature) -> int:
        key = add_study(connection, study.id)
        wanted = assembly.records_of_study(study)
        return save_whole(connection, key, wanted, signature, scope=Scope(), based_on=None)

    # --- history -----------------------------------------------------------------------------

    def history(
        self, study_id: str, record_id: str | None = None, *, pack: str | None = None
    ) -> tuple[Revision, ...]:
        """Revisions, newest first; with ``record_id`` those that touched it, with before and after."""
        with self._database.reading() as connection:
            key = find_study(connection, study_id)
            return history.revisions(connection, key, record_id=record_id, pack=pack)

    def restore(self, study_id: str, record: RecordKey, revision: int, *, who: str, summary: str = "") -> int:
        """Put a record back to what it was at a revision, as a save of its own."""
        with self._database.writing() as connection:
            key = find_study(connection, study_id, to_write=True)
            once = history.as_of(connection, key, record, revision)
            edit = RecordEdit(key=record, record=once, based_on=revision_of(connection, key))
            told = summary or f"{record} put back to revision {revision}"
            return save_edits(connection, key, [edit], Signature(who=who, summary=told))

    # --- attachments -------------------------------------------------------------------------

    def attach(self, source: Source, name: str) -> Attachment:
        """Keep a file (path, bytes or open stream); the same content is kept once.

        The first name stands. Hand the result to ``files`` of `save_pack`, or put its hash among an
        item's photos.
        """
        kept = attachments.keep(self._attachments_at, source, name)
        with self._database.writing() as connection:
            found = connection.execute(select(ATTACHMENT).where(ATTACHMENT.c.hash == kept.hash)).first()
            if found is not None:
                return Attachment(**found._mapping)
            row = {"hash": kept.hash, "size": kept.size, "media_type": kept.media_type, "name": kept.name}
            connection.execute(insert(ATTACHMENT), [row])
        return kept

    def attachments(self, study_id: str, pack: str | None = None) -> tuple[Attachment, ...]:
        """The files a study's saves (of one pack, where given) rest on, in the order they came."""
        with self._database.reading() as connection:
            study = find_study(connection, study_id)
            query = (
                select(ATTACHMENT)
                .join(LINK, LINK.c.hash == ATTACHMENT.c.hash)
                .where(LINK.c.study == study)
                .order_by(LINK.c.revision, ATTACHMENT.c.name)
            )
            if pack is not None:
                query = query.where(LINK.c.pack == pack)
            found = [Attachment(**row._mapping) for row in connection.execute(query)]
        return tuple(dict.fromkeys(found))

    def read_attachment(self, content_hash: str) -> bytes:
        """A kept file's content, checked against its hash."""
        return attachments.read(self._attachments_at, content_hash)
