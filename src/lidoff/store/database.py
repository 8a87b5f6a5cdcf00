"""The database: its engine, its transactions, and its faults in one sentence."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import URL, Connection, create_engine, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError

from . import sqlite
from .faults import StoreError


class Database:
    """An opened database. Its transactions may be used from any thread."""

    def __init__(self, url: str | URL, *, wait: float) -> None:
        """``wait`` is how long a writer waits for another [s]. Raises `StoreError`."""
        try:
            parsed = make_url(url)
            self._engine = create_engine(parsed)
        except (ArgumentError, NoSuchModuleError) as fault:
            raise StoreError("the database's address is not one of a database that is known here") from fault
        except ImportError as fault:
            raise StoreError(f"the driver of the database is not installed: {fault.name}") from fault
        is_file = parsed.get_backend_name() == "sqlite"
        self.name = str(parsed.database) if is_file else parsed.render_as_string(hide_password=True)
        if is_file:
            sqlite.prepare(self._engine, wait)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One view of the database for several queries."""
        with self._told(), self._engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction: all of it or, on any fault, nothing."""
        with self._told(), self._engine.connect() as connection:
            connection = connection.execution_options(**{sqlite.WRITES: True})
            with connection.begin():
                yield connection

    def close(self) -> None:
        self._engine.dispose()

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except UnicodeEncodeError as fault:
            raise StoreError(
                f"the text {str(fault.object)[:60]!a} holds a broken character; nothing was written"
            ) from None
        except (sqlite3.Error, DBAPIError) as fault:
            cause = fault.orig if isinstance(fault, DBAPIError) else fault
            known = sqlite.sentence(cause, self.name) if isinstance(cause, sqlite3.Error) else None
            first = str(cause).splitlines()[0] if str(cause) else type(cause).__name__
            raise StoreError(known or f"the database {self.name} refused: {first}") from fault
        except SQLAlchemyError as fault:
            raise StoreError(f"the database {self.name} cannot be used: {fault}") from fault
