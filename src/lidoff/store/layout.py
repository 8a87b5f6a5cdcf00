"""Which table and rows each kind of record takes, read off its dataclass.

A field's type decides: a plain one is a column of the kind's table; readings, words, markings,
mentions, the bench's extra columns and edits are rows of their own.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import Any, get_type_hints

from sqlalchemy import Table

from ..quantities import Reading, Word
from ..records import (
    Change,
    Correlation,
    Edit,
    Fact,
    Item,
    Joint,
    Marking,
    Question,
    Rejection,
    Removal,
    Scenario,
    Step,
)
from . import tables as t
from .columns import Base, table_of
from .faults import StoreError
from .plain import inner_hint, same, to_text
from .terms import Kind, PackHead, Record, RecordKey, StudyHead


class Unfit(ValueError):
    """A value that no column takes, in words that follow the field's name."""


def number(value: Any) -> float:
    try:
        plain = float(value)
    except OverflowError:
        raise Unfit("is too large to be kept") from None
    if not math.isfinite(plain):
        raise Unfit(f"is {plain}, which is no number to keep (missing is left empty)")
    return plain


def whole(value: Any) -> int:
    plain = int(value)
    if not -(2**63) <= plain < 2**63:
        raise Unfit(f"is {str(plain)[:12]}…, which is too large to be kept")
    return plain


_ATOMS: dict[Any, Callable[[Any], Any]] = {str: same, int: whole, float: number, bool: bool}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How one kind of record is kept. The tuples name its fields by the rows they take."""

    kind: Kind
    cls: type[Any]
    table: Table
    has_id: bool
    columns: tuple[tuple[str, Callable[[Any], Any]], ...] = ()
    readings: tuple[str, ...] = ()
    reading_lists: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    markings: tuple[str, ...] = ()
    mentions: tuple[str, ...] = ()
    extras: tuple[str, ...] = ()
    edits: tuple[str, ...] = ()

    @property
    def lists(self) -> tuple[str, ...]:
        """Fields that hold a tuple."""
        return self.reading_lists + self.markings + self.mentions + self.extras + self.edits


_ROWS: dict[Any, str] = {
    Reading: "readings",
    tuple[Reading, ...]: "reading_lists",
    Word: "words",
    tuple[Marking, ...]: "markings",
    tuple[str, ...]: "mentions",
    tuple[tuple[str, str], ...]: "extras",
    tuple[Edit, ...]: "edits",
}


def _layout(kind: Kind, cls: type[Any], row: type[Base]) -> Layout:
    taken: dict[str, list[str]] = {name: [] for name in _ROWS.values()}
    columns = []
    hints = get_type_hints(cls)
    names = [field.name for field in fields(cls)]
    for name in names:
        hint = inner_hint(hints[name])
        if name == "id":
            continue
        if hint in _ATOMS:
            columns.append((name, _ATOMS[hint]))
        elif hint in _ROWS:
            taken[_ROWS[hint]].append(name)
        else:
            raise TypeError(f"the store has no place for {cls.__name__}.{name} of type {hint}")
    return Layout(
        kind=kind,
        cls=cls,
        table=table_of(row),
        has_id="id" in names,
        columns=tuple(columns),
        **{group: tuple(found) for group, found in taken.items()},
    )


LAYOUTS: dict[Kind, Layout] = {
    kind: _layout(kind, cls, row)
    for kind, cls, row in (
        (Kind.STUDY, StudyHead, t.StudyHeadRow),
        (Kind.SCENARIO, Scenario, t.ScenarioRow),
        (Kind.CHANGE, Change, t.ChangeRow),
        (Kind.CORRELATION, Correlation, t.CorrelationRow),
        (Kind.PACK, PackHead, t.PackRow),
        (Kind.ITEM, Item, t.ItemRow),
        (Kind.JOINT, Joint, t.JointRow),
        (Kind.STEP, Step, t.StepRow),
        (Kind.REMOVAL, Removal, t.RemovalRow),
        (Kind.FACT, Fact, t.FactRow),
        (Kind.QUESTION, Question, t.QuestionRow),
        (Kind.REJECTION, Rejection, t.RejectionRow),
    )
}


def keyed(kind: Kind, pack: str, records: Sequence[Record]) -> dict[RecordKey, Record]:
    """Records by their key, in order. Raises `StoreError` for an empty id or one carried twice.

    A rejection has no id of its own and takes one from its content, counted where it repeats.
    """
    found: dict[RecordKey, Record] = {}
    seen: dict[str, int] = {}
    for record in records:
        if isinstance(record, Rejection):
            mark = hashlib.sha256(to_text(record).encode(errors="replace")).hexdigest()[:16]
            seen[mark] = seen.get(mark, 0) + 1
            identity = mark if seen[mark] == 1 else f"{mark}-{seen[mark]}"
        else:
            identity = "scenario" if isinstance(record, Scenario) else record.id
        key = RecordKey(kind, pack, identity)
        if not identity:
            raise StoreError(f"a {kind} of pack {pack or '(none)'} has no id; nothing was written")
        if key in found:
            raise StoreError(f"{key} is there twice; nothing was written")
        found[key] = record
    return found
