"""Import: a bench file into a pack, the questions it leaves, and their answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from ..records import Edit, Fact, Item, Joint, Pack, Question, Rejection, Removal, Step
from .errors import NothingToDo, UserError
from .names import checked_name

if TYPE_CHECKING:
    from .workspace import Workspace

Record = TypeVar("Record", Item, Joint, Step, Removal, Fact)


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportOutcome:
    """What was taken, what is still asked, and what could not be used."""

    study: str
    pack: Pack
    items: int
    joints: int
    steps: int
    removals: int
    facts: int
    questions: tuple[Question, ...]
    answered: tuple[Question, ...]
    rejected: tuple[Rejection, ...]
    notes: tuple[str, ...] = ()


def import_file(
    desk: Workspace, path: Path, study: str, pack: str, accept: Sequence[str] | str
) -> ImportOutcome:
    """Import a file into ``pack`` of ``study``, both made where they do not exist.

    ``accept`` is "all" or the ids of questions whose proposals are taken. Importing again updates:
    records keep their ids, earlier answers are kept, lines gone from the same file go.
    One transaction; raises `UserError` and writes nothing where the file cannot be used.
    """
    from ..exchange import BenchFileError
    from ..store import StoreError
    from .bench import read_pack

    pack_name = checked_name("pack", pack)
    record = desk.study_or_new(study)
    before = record.pack(pack_name)
    pack_id = before.id if before is not None else f"{record.id}/{pack_name}"
    desk.progress(f"reading {path.name}")
    try:
        imported = read_pack(path, pack_id=pack_id)
    except BenchFileError as error:
        raise UserError(str(error)) from error
    if not imported.pack.items and not imported.pack.facts:
        raise UserError(f"{path.name}: no parts list, log or notes were found in it; nothing was imported.")
    fresh = replace(imported.pack, id=pack_id, name=pack_name)
    fresh = _merge(before, fresh, path.name) if before is not None else fresh
    fresh, answered = _answer(fresh, accept, before)
    desk.progress(f"saving {len(fresh.items)} lines")
    try:
        kept = desk.store.attach(path, name=path.name)
        desk.store.save_pack(
            record.id,
            fresh,
            who=desk.who,
            summary=f"import {path.name}",
            based_on=record.revision or None,
            files=(kept,),
            make_study=True,
        )
    except StoreError as error:
        raise UserError(str(error)) from error
    return _outcome(record.name, fresh, answered, imported.notes)


def accept(desk: Workspace, study: str, pack: str, ids: Sequence[str]) -> ImportOutcome:
    """Take the proposals of open questions. Raises `UserError` for an id that is not open."""
    from ..store import StoreError

    record = desk.study(study)
    found = desk.pack(record, pack)
    if not any(q.answer is None for q in found.questions):
        raise NothingToDo(f"Pack {found.name!r} has no open question.")
    changed, answered = _answer(found, "all" if list(ids) == ["all"] else ids, None)
    try:
        desk.store.save_pack(
            record.id,
            changed,
            who=desk.who,
            summary="accept " + ", ".join(q.id for q in answered),
            based_on=record.revision,
        )
    except StoreError as error:
        raise UserError(str(error)) from error
    return _outcome(record.name, changed, answered, ())


def _answer(pack: Pack, accept: Sequence[str] | str, before: Pack | None) -> tuple[Pack, list[Question]]:
    """Carry out the accepted proposals, and those accepted at an earlier import."""
    from ..evaluate import ChangeError, apply_edits

    earlier = {q.id: q.answer for q in before.questions if q.answer} if before is not None else {}
    by_id = {question.id: question for question in pack.questions}
    wanted = (
        [q.id for q in pack.questions if q.answer is None]
        if accept == "all"
        else [part for part in accept if part]
    )
    for identity in wanted:
        if identity not in by_id:
            open_ids = ", ".join(q.id for q in pack.questions if q.answer is None) or "none"
            raise UserError(f"There is no question {identity!r} (open: {open_ids}).")
        if by_id[identity].answer == "accepted":
            raise UserError(f"Question {identity!r} has been accepted already.")
    take = [i for i in by_id if i in wanted or (by_id[i].answer is None and earlier.get(i) == "accepted")]
    edits: list[Edit] = [edit for identity in take for edit in by_id[identity].edits]
    try:
        changed = apply_edits(pack, edits) if edits else pack
    except ChangeError as error:
        raise UserError(str(error)) from error
    questions = tuple(
        replace(q, answer="accepted") if q.id in take else replace(q, answer=q.answer or earlier.get(q.id))
        for q in pack.questions
    )
    return replace(changed, questions=questions), [q for q in questions if q.id in take]


def _merged(old: Sequence[Record], new: Sequence[Record], file_name: str) -> tuple[Record, ...]:
    """The new records, and of the old those that another file brought."""
    ids = {record.id for record in new}
    return tuple(new) + tuple(r for r in old if r.id not in ids and not r.origin.startswith(f"{file_name}!"))


def _merge(before: Pack, fresh: Pack, file_name: str) -> Pack:
    """What the pack holds after a second import: this file's records, and those of other files."""
    asked = {question.id for question in fresh.questions}
    return replace(
        fresh,
        items=_merged(before.items, fresh.items, file_name),
        joints=_merged(before.joints, fresh.joints, file_name),
        steps=_merged(before.steps, fresh.steps, file_name),
        removals=_merged(before.removals, fresh.removals, file_name),
        facts=_merged(before.facts, fresh.facts, file_name),
        questions=fresh.questions
        + tuple(q for q in before.questions if q.id not in asked and q.file != file_name),
        rejections=fresh.rejections + tuple(r for r in before.rejections if r.file != file_name),
    )


def _outcome(study: str, pack: Pack, answered: Sequence[Question], notes: tuple[str, ...]) -> ImportOutcome:
    return ImportOutcome(
        study=study,
        pack=pack,
        items=sum(not item.held for item in pack.items),
        joints=len(pack.joints),
        steps=len(pack.steps),
        removals=len(pack.removals),
        facts=len(pack.facts),
        questions=tuple(q for q in pack.questions if q.answer is None),
        answered=tuple(answered),
        rejected=pack.rejections,
        notes=notes,
    )
