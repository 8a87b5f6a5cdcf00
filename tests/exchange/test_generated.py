"""Bench files written at random, as different workshops would leave them, read back.

Behaviour tests. The truth is kept by the generator in ``generator/``, which knows nothing of the
reader: it writes what an engineer would understand without asking, and plants slips that one would
ask about. The start is drawn at run time and printed; ``LIDOFF_SEED`` sets it again and
``LIDOFF_FILES`` sets how many files are written.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from generator.make import make
from generator.score import Reader, Score

from lidoff.exchange import Imported, read_bench

START = int(os.environ.get("LIDOFF_SEED") or random.SystemRandom().randrange(1_000_000))
FILES = int(os.environ.get("LIDOFF_FILES") or 40)

#: Required of a batch, as shares of lines and of values, and the most needless questions a line.
LINES, VALUES, NEEDLESS = 0.99, 0.99, 0.02


def run(folder: Path, read: Callable[[Path], Imported], *, geometry: bool) -> Score:
    score = Score()
    for turn in range(FILES):
        truth = make(folder, START, turn)
        got = read(truth.path)
        Reader(score, truth, got.pack, got.notes, START).read(geometry=geometry)
    return score


def judge(score: Score) -> None:
    said = f"LIDOFF_SEED={START} LIDOFF_FILES={FILES}: {score.summary()}"
    print(said)
    said += "\n" + "\n".join(score.failures[:60])
    assert score.lines > 0 and score.values > 0 and score.slips > 0, said
    assert score.slips_found == score.slips, said
    assert score.lines_found >= LINES * score.lines, said
    assert score.values_found >= VALUES * score.values, said
    assert score.invented <= (1 - LINES) * score.lines, said
    assert score.needless <= NEEDLESS * score.lines, said


def test_files_at_random_are_read_as_their_bench_meant_them(tmp_path: Path) -> None:
    judge(run(tmp_path, lambda path: read_bench(path, pack_id="p"), geometry=False))


def test_slips_that_sizes_and_material_make_plain_are_asked_about(tmp_path: Path) -> None:
    from lidoff.app.bench import read_pack

    judge(run(tmp_path, lambda path: read_pack(path, pack_id="p"), geometry=True))


@pytest.mark.parametrize("turn", [0, 1, 2, 4])
def test_reading_twice_gives_the_same_ids_and_questions(tmp_path: Path, turn: int) -> None:
    truth = make(tmp_path, START, turn)
    first, second = (read_bench(truth.path, pack_id="p") for _ in range(2))
    assert first == second, f"LIDOFF_SEED={START} file {turn}"
    ids = [record.id for record in (*first.pack.items, *first.pack.joints, *first.pack.questions)]
    assert len(ids) == len(set(ids)), f"LIDOFF_SEED={START} file {turn}: ids are not unique"
