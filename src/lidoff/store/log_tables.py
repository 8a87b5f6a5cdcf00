"""The tables of history and attachments.

An entry that a tablet sends again (same device and counter) will be known by a table of its own
beside `RevisionRow`, filled in the same transaction.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, ForeignKeyConstraint, Index, Integer
from sqlalchemy.orm import Mapped, mapped_column

from .columns import UTC_TIME, Base


class RevisionRow(Base):
    """One save. ``made`` is UTC and only told; order is by ``number``, never by a clock."""

    __tablename__ = "revision"
    study: Mapped[int] = mapped_column(
        Integer, ForeignKey("study.key", ondelete="CASCADE"), primary_key=True, autoincrement=False
    )
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    made: Mapped[datetime] = mapped_column(UTC_TIME)
    who: Mapped[str]
    summary: Mapped[str]


class RevisionEntryRow(Base):
    """What a save did to one record, as JSON text: history is read by people, not queried."""

    __tablename__ = "revision_entry"
    study: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    revision: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    pack: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(primary_key=True)
    id: Mapped[str] = mapped_column(primary_key=True)
    before: Mapped[str | None]
    after: Mapped[str | None]
    __table_args__ = (
        ForeignKeyConstraint(
            ["study", "revision"], ["revision.study", "revision.number"], ondelete="CASCADE"
        ),
        Index(None, "study", "id"),
    )


class AttachmentRow(Base):
    """A kept file, named by the SHA-256 of its content."""

    __tablename__ = "attachment"
    hash: Mapped[str] = mapped_column(primary_key=True)
    size: Mapped[int]
    media_type: Mapped[str]
    name: Mapped[str]


class AttachmentLinkRow(Base):
    """The files a save rests on; ``pack`` is empty where they belong to the whole study."""

    __tablename__ = "attachment_link"
    study: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    revision: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    pack: Mapped[str] = mapped_column(primary_key=True)
    hash: Mapped[str] = mapped_column(ForeignKey("attachment.hash"), primary_key=True)
    __table_args__ = (
        ForeignKeyConstraint(
            ["study", "revision"], ["revision.study", "revision.number"], ondelete="CASCADE"
        ),
    )
