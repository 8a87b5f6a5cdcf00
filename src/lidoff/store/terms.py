"""What callers give to the store and get back, beside the records themselves."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from typing import Any

from ..records import (
    Change,
    Correlation,
    Fact,
    Item,
    Joint,
    Question,
    Rejection,
    Removal,
    Scenario,
    Step,
)


class Kind(StrEnum):
    """The kinds of record that are kept, compared and given a history one by one."""

    STUDY = "study"
    SCENARIO = "scenario"
    CHANGE = "change"
    CORRELATION = "correlation"
    PACK = "pack"
    ITEM = "item"
    JOINT = "joint"
    STEP = "step"
    REMOVAL = "removal"
    FACT = "fact"
    QUESTION = "question"
    REJECTION = "rejection"


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyHead:
    """A study without what it holds."""

    id: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackHead:
    """A pack without what it holds."""

    id: str
    name: str


Record = (
    StudyHead
    | Scenario
    | Change
    | Correlation
    | PackHead
    | Item
    | Joint
    | Step
    | Removal
    | Fact
    | Question
    | Rejection
)


@dataclass(frozen=True, slots=True)
class RecordKey:
    """Names one record of a study. ``pack`` is empty for what belongs to the study itself."""

    kind: Kind
    pack: str
    id: str

    def __str__(self) -> str:
        if self.kind is Kind.STUDY:
            return "the study's name"
        if self.kind is Kind.SCENARIO:
            return "the scenario"
        if self.kind is Kind.PACK:
            return f"the name of pack {self.id}"
        return f"{self.kind} {self.id}" + (f" of pack {self.pack}" if self.pack else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordEdit:
    """One record as it shall be, ``None`` to remove it, and the study revision it was based on."""

    key: RecordKey
    record: Record | None
    based_on: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StudySummary:
    """A line of the list of studies. ``packs`` are pack names, ``changed_at`` is UTC."""

    id: str
    name: str
    packs: tuple[str, ...]
    items: int
    revision: int
    changed_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What a revision did to one record: its plain data before and after, ``None`` for absent.

    Fields at their default are left out of the plain data.
    """

    key: RecordKey
    before: dict[str, Any] | None
    after: dict[str, Any] | None

    def fields(self) -> tuple[str, ...]:
        """Names of the fields that changed, in the order they are written."""
        before, after = self.before or {}, self.after or {}
        return tuple(n for n in dict.fromkeys((*before, *after)) if before.get(n) != after.get(n))


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One save: when (UTC), who, in what words, and how many records it touched."""

    number: int
    when: datetime
    who: str
    summary: str
    added: int = 0
    changed: int = 0
    removed: int = 0
    entries: tuple[Entry, ...] = field(default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A kept file: ``hash`` is the SHA-256 of its content, ``name`` the one it first came with."""

    hash: str
    size: int
    media_type: str
    name: str
