"""Change: a named list of edits aimed at stable ids."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class EditKind(StrEnum):
    SET = "set"
    SCALE = "scale"
    ADD = "add"
    REMOVE = "remove"
    REPLACE = "replace"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One edit. ``record`` is "item", "joint", "step", "fact", "price" or "scenario".

    ``field`` is the record's field; ``value`` a number in SI (`SET`, `SCALE`), a word, or the
    record itself as plain data (`ADD`, `REPLACE`).
    """

    kind: EditKind
    record: str
    target: str
    field: str = ""
    value: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    id: str
    title: str
    edits: tuple[Edit, ...]
    why: str = ""
