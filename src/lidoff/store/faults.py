"""Faults of the store, each one sentence; free of SQLAlchemy so that anyone may import them."""

from __future__ import annotations

from datetime import datetime

from .terms import RecordKey


class StoreError(Exception):
    """The store could not do what was asked; nothing was written."""


class UnknownStudy(StoreError):
    """No study of that id."""


class StaleEdit(StoreError):
    """A record was changed by somebody else since the revision the edit was based on.

    ``key`` names the record, ``who``, ``when`` (UTC) and ``revision`` the change in between.
    """

    def __init__(self, key: RecordKey, *, who: str, when: datetime, revision: int, based_on: int) -> None:
        super().__init__(
            f"{key} was changed by {who} at {when:%Y-%m-%d %H:%M:%S} UTC (revision {revision}), "
            f"after revision {based_on} on which this edit is based; nothing was written"
        )
        self.key = key
        self.who = who
        self.when = when
        self.revision = revision
        self.based_on = based_on
