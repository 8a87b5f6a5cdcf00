"""The score of the files at random is itself held to account: full for a reader that knows the truth,
and lower for each thing that a reader gets wrong. Behaviour tests."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from generator.knowing import know
from generator.make import make
from generator.score import Reader, Score, place
from generator.slips import KINDS
from generator.truth import Truth

from lidoff.records import Item, Pack

START = 11


def _score(folder: Path, turns: range, spoil: Callable[[Pack], Pack] = lambda pack: pack) -> Score:
    score = Score()
    for turn in turns:
        truth = make(folder, START, turn)
        Reader(score, truth, spoil(know(truth)), truth.notes, START).read(geometry=True)
    return score


def test_a_reader_that_knows_the_truth_has_the_full_score(tmp_path: Path) -> None:
    score = _score(tmp_path, range(40))
    assert score.failures == []
    assert (score.lines_found, score.values_found, score.slips_found) == (
        score.lines,
        score.values,
        score.slips,
    )
    assert score.needless == score.invented == 0
    assert score.lines > 40 * 25 and score.values > 5 * score.lines


def test_every_kind_of_slip_is_planted_in_a_batch(tmp_path: Path) -> None:
    kinds = [slip.kind for turn in range(40) for slip in make(tmp_path, START, turn).slips]
    assert {kind: kinds.count(kind) >= 2 for kind in KINDS} == dict.fromkeys(KINDS, True)


def _first_part(pack: Pack, change: Callable[[Item], Item]) -> Pack:
    at = next(n for n, item in enumerate(pack.items) if item.mass is not None)
    return replace(pack, items=(*pack.items[:at], change(pack.items[at]), *pack.items[at + 1 :]))


def _heavier(item: Item) -> Item:
    assert item.mass is not None
    return replace(item, mass=replace(item.mass, value=item.mass.value * 1.001))


@pytest.mark.parametrize(
    ("spoil", "loses"),
    [
        (lambda pack: _first_part(pack, _heavier), "values"),
        (lambda pack: _first_part(pack, lambda item: replace(item, parent="i99999")), "lines"),
        (lambda pack: _first_part(pack, lambda item: replace(item, name=item.name + " x")), "lines"),
        (lambda pack: replace(pack, items=pack.items[:-1]), "lines"),
        (lambda pack: replace(pack, questions=(), rejections=()), "slips"),
        (lambda pack: replace(pack, items=tuple(map(_free, pack.items))), "invented"),
        (lambda pack: replace(pack, questions=(*pack.questions, _silly(pack))), "needless"),
    ],
)  # fmt: skip
def test_each_thing_got_wrong_costs(tmp_path: Path, spoil: Callable[[Pack], Pack], loses: str) -> None:
    score = _score(tmp_path, range(10), spoil)
    lost = {
        "values": score.values - score.values_found, "lines": score.lines - score.lines_found,
        "slips": score.slips - score.slips_found, "needless": score.needless, "invented": score.invented,
    }  # fmt: skip
    assert lost[loses] > 0 and score.failures


def _free(item: Item) -> Item:
    return replace(item, held=False)


def _silly(pack: Pack):  # type: ignore[no-untyped-def]
    from lidoff.records import Question

    return Question(id="q-silly", where="Parts!A9999", what="?", taken="", proposed="")


def test_the_same_start_gives_the_same_file(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    for turn in (3, 6):  # text files, whose bytes hold no time of saving
        first, second = make(tmp_path / "a", START, turn), make(tmp_path / "b", START, turn)
        assert [line.name for line in first.lines] == [line.name for line in second.lines]
        if _is_text(first):
            assert first.path.read_bytes() == second.path.read_bytes()


def _is_text(truth: Truth) -> bool:
    return truth.path.suffix in (".csv", ".tsv", ".txt")


@pytest.mark.parametrize(
    ("where", "sheet", "rows"),
    [("Parts!E31", "Parts", {31}), ("heron.xlsx!Parts!E6", "Parts", {6}), ("bench!row 12", "bench", {12}),
     ("C4, E4", "", {4}), ("Parts!A3:F9", "Parts", {3, 9})],
)  # fmt: skip
def test_places_are_read(where: str, sheet: str, rows: set[int]) -> None:
    assert place(where) == (sheet, rows)
