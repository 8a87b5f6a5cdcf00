"""A study as its single records, and back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from ..records import Pack, Study
from .faults import StoreError
from .layout import keyed
from .reading_back import Stored
from .terms import Kind, PackHead, Record, RecordKey, StudyHead

#: The tuples of a pack, by the kind of record in them.
PARTS: dict[Kind, str] = {
    Kind.ITEM: "items",
    Kind.JOINT: "joints",
    Kind.STEP: "steps",
    Kind.REMOVAL: "removals",
    Kind.FACT: "facts",
    Kind.QUESTION: "questions",
    Kind.REJECTION: "rejections",
}


def records_of_pack(pack: Pack) -> dict[RecordKey, Record]:
    """The records of a pack, in order. Raises `StoreError` where two carry one id."""
    if not pack.id:
        raise StoreError("a pack has no id; nothing was written")
    found = keyed(Kind.PACK, pack.id, [PackHead(id=pack.id, name=pack.name)])
    for kind, name in PARTS.items():
        found |= keyed(kind, pack.id, getattr(pack, name))
    return found


def records_of_study(study: Study) -> dict[RecordKey, Record]:
    """The records of a study with its packs, in order. Raises `StoreError` where two carry one id."""
    found = keyed(Kind.STUDY, "", [StudyHead(id=study.id, name=study.name)])
    found |= keyed(Kind.SCENARIO, "", [study.scenario])
    found |= keyed(Kind.CHANGE, "", study.changes)
    found |= keyed(Kind.CORRELATION, "", study.correlations)
    for pack in study.packs:
        records = records_of_pack(pack)
        if found.keys() & records.keys():
            raise StoreError(f"pack {pack.id} is there twice; nothing was written")
        found |= records
    return found


def study_of(identity: str, stored: Mapping[RecordKey, Stored], revision: int) -> Study:
    """The opposite of `records_of_study`, from records in the order of their kind and pack."""
    groups: dict[tuple[str, Kind], list[Any]] = defaultdict(list)
    for key, found in stored.items():
        groups[key.pack, key.kind].append(found.record)
    heads = sorted(
        ((found.place, found.record) for found in stored.values() if isinstance(found.record, PackHead)),
        key=lambda placed: placed[0],
    )
    packs = tuple(
        Pack(
            id=head.id,
            name=head.name,
            **{name: tuple(groups[head.id, kind]) for kind, name in PARTS.items()},
        )
        for _, head in heads
    )
    (head,) = groups["", Kind.STUDY]
    (scenario,) = groups["", Kind.SCENARIO]
    return Study(
        id=identity,
        name=head.name,
        packs=packs,
        scenario=scenario,
        changes=tuple(groups["", Kind.CHANGE]),
        correlations=tuple(groups["", Kind.CORRELATION]),
        revision=revision,
    )
