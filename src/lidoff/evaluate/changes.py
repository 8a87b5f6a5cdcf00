"""Edits carried out on records: corrections as they stand, design changes with what follows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, TypeVar

from ..quantities import Reading
from ..records import FACTS, Change, Edit, EditKind, Fact, Item, Joint, Pack, Removal, Scenario, Step
from .edit_values import ChangeError, field_value, scaled, whole_record

__all__ = [
    "Applied",
    "ChangeConflict",
    "ChangeError",
    "apply_edits",
    "change_scenario",
    "conflicts",
    "correct",
    "redesign",
    "touches",
]

R = TypeVar("R", Item, Joint, Step, Removal, Fact)
T = TypeVar("T", Item, Joint, Step, Removal, Fact, Pack, Scenario)

#: Where each kind of record lives in a pack.
_SHELVES = {"item": "items", "joint": "joints", "step": "steps", "removal": "removals", "fact": "facts"}


class ChangeConflict(ChangeError):
    """Two changes that cannot both hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """The pack after the edits, and what became of the records that hung on the edited ones."""

    pack: Pack
    notes: tuple[str, ...] = ()


def apply_edits(pack: Pack, edits: Iterable[Edit]) -> Pack:
    """The pack with corrections carried out: what was misread is put right, nothing is rescaled.

    Raises `ChangeError` for a target, field or value that does not fit.
    """
    return correct(pack, edits).pack


def correct(pack: Pack, edits: Iterable[Edit]) -> Applied:
    """As `apply_edits`, telling what became of joints and steps of removed items."""
    notes: list[str] = []
    for edit in edits:
        pack = _apply(pack, edit, notes)
    return Applied(pack=pack, notes=tuple(notes))


def redesign(pack: Pack, edits: Sequence[Edit]) -> Applied:
    """The pack as it would be built: readings that depend on what changed follow by model.

    See `evaluate.rescale` for what follows from a size, gauge, material or count.
    """
    from .rescale import follow

    changed = correct(pack, edits)
    followed = follow(pack, changed.pack, edits)
    return Applied(pack=followed.pack, notes=(*changed.notes, *followed.notes))


def touches(pack: Pack, edit: Edit) -> bool:
    """Whether an edit aims at this pack."""
    if edit.record not in _SHELVES:
        return False
    if edit.kind is EditKind.ADD:
        home = _get(edit.value, "pack") or _get(edit.value, "parent") or edit.target
        return home in (pack.id, pack.name) or pack.item(str(home)) is not None
    if edit.record == "fact" and edit.target in (f"{pack.id}.{key}" for key in FACTS):
        return True
    return any(record.id == edit.target for record in getattr(pack, _SHELVES[edit.record]))


def _with(record: T, field: str, value: Any) -> T:
    values: dict[str, Any] = {field: value}
    return replace(record, **values)


def _get(value: Any, name: str) -> Any:
    return value.get(name) if isinstance(value, dict) else getattr(value, name, None)


def conflicts(changes: Sequence[Change]) -> None:
    """Raise `ChangeConflict` naming two changes that aim at the same thing and cannot both hold."""
    for one, other in combinations(changes, 2):
        for a in one.edits:
            for b in other.edits:
                if _clash(a, b):
                    thing = f"{a.record} {a.target} {a.field or b.field}".strip()
                    raise ChangeConflict(f"changes {one.title!r} and {other.title!r} both alter {thing}")


def _clash(a: Edit, b: Edit) -> bool:
    if (a.record, a.target) != (b.record, b.target):
        return False
    if EditKind.ADD in (a.kind, b.kind):
        return a.kind is b.kind and bool(a.target) and a.value != b.value
    whole = (EditKind.REMOVE, EditKind.REPLACE)
    if a.kind in whole or b.kind in whole:
        return not (a.kind is b.kind and a.value == b.value)
    if a.field != b.field or (a.kind is EditKind.SCALE and b.kind is EditKind.SCALE):
        return False
    return a.kind is not b.kind or a.value != b.value


def _apply(pack: Pack, edit: Edit, notes: list[str]) -> Pack:
    where = f"{edit.kind} {edit.record} {edit.target} {edit.field}".strip()
    if edit.record not in _SHELVES:
        raise ChangeError(f"{where}: records of kind {edit.record!r} are not part of a pack")
    shelf: tuple[Any, ...] = getattr(pack, _SHELVES[edit.record])
    if edit.kind is EditKind.ADD:
        return _add(pack, edit, shelf, where)
    target = _target(pack, edit)
    index = next((n for n, record in enumerate(shelf) if record.id == target), None)
    if index is None:
        raise ChangeError(f"{where}: there is no such {edit.record} in pack {pack.name}")
    if edit.kind is EditKind.REMOVE:
        return _remove(pack, edit.record, shelf[index], notes)
    if edit.kind is EditKind.REPLACE:
        record = whole_record(edit.record, edit.value, target, where)
    else:
        record = _set(edit, shelf[index], where)
    if edit.record == "item" and record.parent != shelf[index].parent:
        _check_parent(pack, record, where)
    return _with(pack, _SHELVES[edit.record], (*shelf[:index], record, *shelf[index + 1 :]))


def _target(pack: Pack, edit: Edit) -> str:
    """Facts may be named by their key."""
    if edit.record == "fact" and not any(f.id == edit.target for f in pack.facts):
        key = edit.target.removeprefix(f"{pack.id}.")
        named = next((f.id for f in pack.facts if f.key == key and (f.reading or f.word)), None)
        return named or edit.target
    return edit.target


def _set(edit: Edit, record: R, where: str) -> R:
    # A fact's one number may be named "value", as in the answers that scripts read.
    field = "reading" if edit.record == "fact" and edit.field in ("", "value") else edit.field
    before = getattr(record, field, None)
    if edit.kind is EditKind.SCALE:
        factor = edit.value
        if isinstance(factor, bool) or not isinstance(factor, int | float) or not factor > 0.0:
            raise ChangeError(f"{where}: {factor!r} is not a factor above zero")
        if not isinstance(before, Reading):
            raise ChangeError(f"{where}: there is no number to scale")
        return _with(record, field, scaled(before, float(factor)))
    return _with(record, field, field_value(edit.record, field, edit.value, before, where))


def _add(pack: Pack, edit: Edit, shelf: tuple[Any, ...], where: str) -> Pack:
    names_pack = edit.target in ("", pack.id, pack.name)
    identity = f"{pack.id}.{edit.record}.{len(shelf) + 1}" if names_pack else edit.target
    if any(record.id == identity for record in shelf):
        raise ChangeError(f"{where}: there is a {edit.record} of this id already")
    record = whole_record(edit.record, edit.value, identity, where)
    if edit.record == "item":
        _check_parent(pack, record, where)
    return _with(pack, _SHELVES[edit.record], (*shelf, record))


def _check_parent(pack: Pack, item: Item, where: str) -> None:
    if item.parent is None:
        return
    above: str | None = item.parent
    seen = {item.id}
    while above is not None:
        parent = pack.item(above)
        if parent is None:
            raise ChangeError(f"{where}: its assembly {above!r} is not in pack {pack.name}")
        if above in seen:
            raise ChangeError(f"{where}: the item would be part of itself")
        seen.add(above)
        above = parent.parent


def _remove(pack: Pack, kind: str, record: Any, notes: list[str]) -> Pack:
    if kind != "item":
        shelf = tuple(r for r in getattr(pack, _SHELVES[kind]) if r.id != record.id)
        return _with(pack, _SHELVES[kind], shelf)
    gone = {record.id}
    while more := {i.id for i in pack.items if i.parent in gone} - gone:
        gone |= more
    label = f"{record.number} {record.name.strip()}"
    if len(gone) > 1:
        notes.append(f"with {label} go the {len(gone) - 1} items below it")
    kept_joints = []
    for joint in pack.joints:
        if joint.first in gone or joint.second in gone:
            notes.append(f"with {label} goes the joint {joint.first_text}–{joint.second_text} ({joint.kind})")
        else:
            kept_joints.append(joint)
    steps = []
    for step in pack.steps:
        left = tuple(i for i in step.items if i not in gone)
        if step.items and not left:
            notes.append(
                f"step {step.number} ({step.does}) has nothing left to take off; it stays in the log"
            )
        steps.append(replace(step, items=left) if left != step.items else step)
    return replace(
        pack,
        items=tuple(i for i in pack.items if i.id not in gone),
        joints=tuple(kept_joints),
        steps=tuple(steps),
    )


def change_scenario(scenario: Scenario, edits: Iterable[Edit]) -> Scenario:
    """The scenario with the edits aimed at it. Raises `ChangeError`."""
    for edit in edits:
        if edit.record != "scenario":
            continue
        where = f"{edit.kind} scenario {edit.field}"
        if edit.kind not in (EditKind.SET, EditKind.SCALE) or not hasattr(scenario, edit.field):
            raise ChangeError(f"{where}: a scenario has no {edit.field!r} that could be changed so")
        value = edit.value
        if edit.kind is EditKind.SCALE:
            value = getattr(scenario, edit.field) * edit.value
        if edit.field in ("volume", "life") and not value > 0.0:
            raise ChangeError(f"{where}: {value!r} is not above zero")
        scenario = _with(scenario, edit.field, value)
    return scenario
