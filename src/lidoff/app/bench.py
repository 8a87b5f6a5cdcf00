"""Reading a pack from a bench file: what the file says, and what looks impossible in it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from ..evaluate import check_pack
from ..exchange import Imported, read_bench
from ..records import Question

#: Kinds of doubt that are slips of the pen: they become questions at import, with a correction.
SLIPS = frozenset({"mass against size", "mass unit", "size unit"})


def read_pack(path: Path, *, pack_id: str) -> Imported:
    """Read a bench file and ask about readings that size and material contradict.

    Raises `lidoff.exchange.BenchFileError` where the file cannot be read at all.
    """
    imported = read_bench(path, pack_id=pack_id)
    pack = imported.pack
    asked = {(edit.target, edit.field) for question in pack.questions for edit in question.edits}
    slips = tuple(
        Question(
            id=doubt.id,
            where=doubt.where,
            what=doubt.says,
            taken="as written",
            proposed=doubt.proposed,
            edits=doubt.edits,
        )
        for doubt in check_pack(pack)
        if doubt.edits and not asked & {(edit.target, edit.field) for edit in doubt.edits}
    )
    questions = tuple(replace(question, file=path.name) for question in pack.questions + slips)
    rejections = tuple(replace(rejection, file=path.name) for rejection in pack.rejections)
    return replace(imported, pack=replace(pack, questions=questions, rejections=rejections))
