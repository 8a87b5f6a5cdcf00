"""The store: studies in a database, every save with its revision, attachments by content.

SQLAlchemy is loaded only when `Store` is first asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .faults import StaleEdit, StoreError, UnknownStudy
from .terms import (
    Attachment,
    Entry,
    Kind,
    PackHead,
    Record,
    RecordEdit,
    RecordKey,
    Revision,
    StudyHead,
    StudySummary,
)

if TYPE_CHECKING:
    from .store import Store

__all__ = [
    "Attachment",
    "Entry",
    "Kind",
    "PackHead",
    "Record",
    "RecordEdit",
    "RecordKey",
    "Revision",
    "StaleEdit",
    "Store",
    "StoreError",
    "StudyHead",
    "StudySummary",
    "UnknownStudy",
]


def __getattr__(name: str) -> Any:
    if name == "Store":
        from .store import Store

        return Store
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
