"""The tables of records: a column for each scalar field, a row for each reading, word or marking.

`RecordRow` names every record of every study. The table of its kind holds its scalar fields under
the same key, and whatever a record holds several of hangs on that key too, so that removing the
one row removes all of the record.
"""

from __future__ import annotations

from sqlalchemy import ForeignKey, ForeignKeyConstraint, Integer, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from .columns import Base


class StudyRow(Base):
    __tablename__ = "study"
    key: Mapped[int] = mapped_column(Integer, primary_key=True)
    id: Mapped[str] = mapped_column(unique=True)


class RecordRow(Base):
    """``pack`` is the pack's id, empty for what belongs to the study; ``place`` the order in its kind."""

    __tablename__ = "record"
    key: Mapped[int] = mapped_column(Integer, primary_key=True)
    study: Mapped[int] = mapped_column(Integer, ForeignKey("study.key", ondelete="CASCADE"))
    pack: Mapped[str]
    kind: Mapped[str]
    id: Mapped[str]
    place: Mapped[int]
    __table_args__ = (UniqueConstraint("study", "pack", "kind", "id"),)


class OfRecord:
    """Mixin of a table whose rows belong to one record."""

    record: Mapped[int] = mapped_column(
        Integer,
        ForeignKey("record.key", ondelete="CASCADE"),
        primary_key=True,
        autoincrement=False,
        sort_order=-1,
    )


class StudyHeadRow(OfRecord, Base):
    __tablename__ = "study_head"
    name: Mapped[str]


class ScenarioRow(OfRecord, Base):
    __tablename__ = "scenario"
    volume: Mapped[float]
    life: Mapped[float]
    price_book: Mapped[str]
    region: Mapped[str | None]
    currency: Mapped[str | None]
    year: Mapped[int | None]


class ChangeRow(OfRecord, Base):
    __tablename__ = "change"
    title: Mapped[str]
    why: Mapped[str]


class CorrelationRow(OfRecord, Base):
    __tablename__ = "correlation"
    first: Mapped[str]
    second: Mapped[str]
    rank: Mapped[float]
    why: Mapped[str]
    origin: Mapped[str]


class PackRow(OfRecord, Base):
    __tablename__ = "pack"
    name: Mapped[str]


class ItemRow(OfRecord, Base):
    __tablename__ = "item"
    number: Mapped[str]
    name: Mapped[str]
    parent: Mapped[str | None]
    position: Mapped[int]
    remarks: Mapped[str]
    origin: Mapped[str]
    held: Mapped[bool]


class JointRow(OfRecord, Base):
    __tablename__ = "joint"
    first_text: Mapped[str]
    second_text: Mapped[str]
    first: Mapped[str | None]
    second: Mapped[str | None]
    kind: Mapped[str]
    tool: Mapped[str]
    direction: Mapped[str]
    live: Mapped[bool | None]
    reusable: Mapped[bool | None]
    position: Mapped[int]
    remarks: Mapped[str]
    origin: Mapped[str]


class StepRow(OfRecord, Base):
    __tablename__ = "step"
    number: Mapped[str]
    does: Mapped[str]
    day: Mapped[int]
    start: Mapped[float | None]
    finish: Mapped[float | None]
    tool: Mapped[str]
    items_text: Mapped[str]
    is_break: Mapped[bool]
    position: Mapped[int]
    remarks: Mapped[str]
    origin: Mapped[str]


class RemovalRow(OfRecord, Base):
    __tablename__ = "removal"
    ordinal: Mapped[int]
    note: Mapped[str]
    conditions: Mapped[str]
    origin: Mapped[str]


class FactRow(OfRecord, Base):
    __tablename__ = "fact"
    label: Mapped[str]
    text: Mapped[str]
    key: Mapped[str | None]
    position: Mapped[int]
    origin: Mapped[str]


class QuestionRow(OfRecord, Base):
    __tablename__ = "question"
    where: Mapped[str]
    what: Mapped[str]
    taken: Mapped[str]
    proposed: Mapped[str]
    answer: Mapped[str | None]
    file: Mapped[str]


class RejectionRow(OfRecord, Base):
    __tablename__ = "rejection"
    where: Mapped[str]
    why: Mapped[str]
    text: Mapped[str]
    file: Mapped[str]


class ReadingRow(OfRecord, Base):
    """``slot`` is the field of the record the reading stands in, ``place`` its order there."""

    __tablename__ = "reading"
    slot: Mapped[str] = mapped_column(primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    value: Mapped[float]
    unit: Mapped[str]
    basis: Mapped[str]
    shape: Mapped[str]
    u: Mapped[float]
    low: Mapped[float | None]
    high: Mapped[float | None]
    stated: Mapped[bool]
    instrument: Mapped[str | None]
    origin: Mapped[str]
    text: Mapped[str]
    note: Mapped[str]
    count: Mapped[int]


class OfReading:
    """Mixin of a table whose rows belong to one reading; ``rank`` is their order."""

    record: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False, sort_order=-4)
    slot: Mapped[str] = mapped_column(primary_key=True, sort_order=-3)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False, sort_order=-2)
    rank: Mapped[int] = mapped_column(primary_key=True, autoincrement=False, sort_order=-1)


def _to_reading() -> ForeignKeyConstraint:
    names = ["record", "slot", "place"]
    return ForeignKeyConstraint(names, [f"reading.{name}" for name in names], ondelete="CASCADE")


class SharedRow(OfReading, Base):
    """A stream that moves this reading together with others."""

    __tablename__ = "reading_shared"
    stream: Mapped[str]
    u: Mapped[float]
    __table_args__ = (_to_reading(),)


class ChoiceRow(OfReading, Base):
    """One value of a discrete spread."""

    __tablename__ = "reading_choice"
    value: Mapped[float]
    probability: Mapped[float]
    __table_args__ = (_to_reading(),)


class WordRow(OfRecord, Base):
    __tablename__ = "word"
    slot: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]
    means: Mapped[str | None]
    evidence: Mapped[str]
    origin: Mapped[str]
    note: Mapped[str]


class MarkingRow(OfRecord, Base):
    __tablename__ = "marking"
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str]
    kind: Mapped[str]
    origin: Mapped[str]


class MentionRow(OfRecord, Base):
    """What a record names: an item its photos, a step its items. ``slot`` is the record's field."""

    __tablename__ = "mention"
    slot: Mapped[str] = mapped_column(primary_key=True)
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    target: Mapped[str]


class ExtraRow(OfRecord, Base):
    """A column of the bench's own that no field of ours takes."""

    __tablename__ = "extra"
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    heading: Mapped[str]
    text: Mapped[str]


class EditRow(OfRecord, Base):
    """An edit of a change, or of a question's proposal."""

    __tablename__ = "edit"
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    kind: Mapped[str]
    target_kind: Mapped[str]
    target: Mapped[str]
    field: Mapped[str]


class EditValueRow(OfRecord, Base):
    """One node of an edit's value: a number or word alone, or a record as a small tree.

    ``node`` counts depth first from 0, ``parent`` is the node above (-1 at the root), ``name`` the
    field or index under it, ``type`` what it is; one of ``number``, ``whole`` and ``text`` is filled.
    """

    __tablename__ = "edit_value"
    place: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    node: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    parent: Mapped[int]
    name: Mapped[str]
    type: Mapped[str]
    number: Mapped[float | None]
    whole: Mapped[int | None]
    text: Mapped[str | None]
    __table_args__ = (
        ForeignKeyConstraint(["record", "place"], ["edit.record", "edit.place"], ondelete="CASCADE"),
    )
