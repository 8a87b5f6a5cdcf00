"""Reading a pack from a bench file: what the file says, and what looks impossible in it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from hashlib import blake2b
from pathlib import Path

from ..evaluate import Doubt, check_pack
from ..exchange import Imported, read_bench
from ..records import Edit, EditKind, Item, Pack, Question

#: Kinds of doubt that are slips of the pen: they become questions at import, with a correction.
SLIPS = frozenset({"mass against size", "mass unit", "size unit"})

#: From so many like slips on, and from this share of the lines that could show one, the column is
#: what is wrong and not its cells: one question instead of one a line (project choice).
COLUMN_LEAST, COLUMN_SHARE = 3, 0.5


def read_pack(path: Path, *, pack_id: str) -> Imported:
    """Read a bench file and ask about readings that size and material contradict.

    Raises `lidoff.exchange.BenchFileError` where the file cannot be read at all.
    """
    imported = read_bench(path, pack_id=pack_id)
    pack = imported.pack
    asked = {(edit.target, edit.field) for question in pack.questions for edit in question.edits}
    doubts = [
        doubt
        for doubt in check_pack(pack)
        if doubt.edits and not asked & {(edit.target, edit.field) for edit in doubt.edits}
    ]
    whole, single = _columns(pack, doubts)
    open_units = [q for q in pack.questions if not q.edits and "names no unit" in q.what] if whole else []
    if open_units:  # the sizes have answered which unit the column is in
        whole = [replace(whole[0], where=open_units[0].where), *whole[1:]]
    questions = tuple(q for q in pack.questions if q not in open_units)
    questions = (*questions, *whole, *(_question(doubt) for doubt in single))
    return replace(
        imported,
        pack=replace(
            pack,
            questions=tuple(replace(question, file=path.name) for question in questions),
            rejections=tuple(replace(rejection, file=path.name) for rejection in pack.rejections),
        ),
    )


def _question(doubt: Doubt) -> Question:
    return Question(
        id=doubt.id,
        where=doubt.where,
        what=doubt.says,
        taken="as written",
        proposed=doubt.proposed,
        edits=doubt.edits,
    )


def _columns(pack: Pack, doubts: Sequence[Doubt]) -> tuple[list[Question], list[Doubt]]:
    """Questions about whole mass columns in the wrong unit, and the doubts that stand alone."""
    items = {item.id: item for item in pack.items}
    groups: dict[tuple[str, str, float], list[Doubt]] = defaultdict(list)
    for doubt in doubts:
        factor = _factor(items, doubt)
        if factor is not None:
            groups[*_column(items[doubt.edits[0].target]), factor].append(doubt)
    whole: list[Question] = []
    taken: set[str] = set()
    for (place, unit, factor), group in groups.items():
        column = [i for i in pack.items if _column(i) == (place, unit)]
        sized = sum(i.length is not None and i.width is not None for i in column)
        if len(group) < max(COLUMN_LEAST, COLUMN_SHARE * sized):
            continue
        whole.append(_column_question(group, column, unit, factor))
        taken |= {doubt.id for doubt in group}
    return whole, [doubt for doubt in doubts if doubt.id not in taken]


def _column(item: Item) -> tuple[str, str]:
    """Sheet and column of an item's mass, and the unit it was read in."""
    if item.mass is None:
        return "", ""
    return item.mass.origin.rstrip("0123456789"), item.mass.unit


def _factor(items: dict[str, Item], doubt: Doubt) -> float | None:
    """By what a doubt would multiply its item's mass, to three digits; ``None`` for other doubts."""
    edit = doubt.edits[0]
    item = items.get(edit.target)
    if len(doubt.edits) != 1 or edit.field != "mass" or item is None or item.mass is None:
        return None
    if not item.mass.value > 0.0 or not isinstance(edit.value, float):
        return None
    return float(f"{edit.value / item.mass.value:.3g}")


def _column_question(group: Sequence[Doubt], column: Sequence[Item], unit: str, factor: float) -> Question:
    digest = blake2b(f"{unit}:{factor}:{len(column)}".encode(), digest_size=6).hexdigest()
    return Question(
        id=f"mass-column-{digest}",
        where=group[0].where,
        what=(
            f"{len(group)} masses read in {unit or 'no unit'} fit size and material only when multiplied by "
            f"{factor:g}, the first: {group[0].says}"
        ),
        taken=f"{unit or 'no unit'}, as read",
        proposed=f"multiply the whole column, {len(column)} lines, by {factor:g}",
        edits=tuple(
            Edit(
                kind=EditKind.SET, record="item", target=item.id, field="mass", value=item.mass.value * factor
            )
            for item in column
            if item.mass is not None
        ),
    )
