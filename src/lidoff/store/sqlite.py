"""What only SQLite needs: how a connection is set up, how a transaction begins, what its faults mean."""

from __future__ import annotations

import sqlite3
from typing import Any

from sqlalchemy import Connection, Engine, event

#: Execution option that marks a transaction as one that writes.
WRITES = "lidoff_writes"


def prepare(engine: Engine, wait: float) -> None:
    """Set up every connection of an engine. ``wait`` is how long to wait for another writer [s].

    ``synchronous=FULL``: under write-ahead logging NORMAL may lose the last saves when the power
    fails. A bench's entries cannot be made again and saves are few, so each waits for the disk.
    """

    @event.listens_for(engine, "connect")
    def connect(connection: sqlite3.Connection, _: Any) -> None:
        connection.isolation_level = None  # transactions begin below, tables and rows alike
        for pragma in (
            f"busy_timeout={round(wait * 1000)}",
            "foreign_keys=ON",
            "journal_mode=WAL",
            "synchronous=FULL",
        ):
            connection.execute(f"PRAGMA {pragma}").close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        # A transaction that reads first and writes later could find its view out of date and fail
        # at once; one that says so at the start waits its turn.
        writes = connection.get_execution_options().get(WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


_SENTENCES = {
    "SQLITE_BUSY": "the database {where} is in use by another program; try again when it is done",
    "SQLITE_LOCKED": "the database {where} is in use by another program; try again when it is done",
    "SQLITE_NOTADB": "{where} is not a database of Lidoff's",
    "SQLITE_READONLY": "the database {where} may not be written: it or its directory is read-only",
    "SQLITE_CANTOPEN": "the database {where} cannot be opened: check that its directory may be written",
    "SQLITE_PERM": "the database {where} may not be opened: permission is denied",
    "SQLITE_CORRUPT": "the database {where} is damaged; put back a copy of it",
    "SQLITE_FULL": "the disk of the database {where} is full; nothing was written",
    "SQLITE_IOERR": "the disk of the database {where} does not answer as it should",
}


def sentence(fault: sqlite3.Error, where: str) -> str | None:
    """A fault of SQLite's in one sentence, ``None`` where we know none better than its own."""
    name = getattr(fault, "sqlite_errorname", "")
    known = next((text for code, text in _SENTENCES.items() if name.startswith(code)), None)
    return known.format(where=where) if known else None
