"""The demo through the program: what the import takes from the files, asks and leaves open.

Behaviour; the expected numbers are counted in the files by openpyxl and csv (`demo_rows`).
"""

from __future__ import annotations

from functools import cache

import pytest
from demo_rows import parts

from lidoff.app.bench import read_pack
from lidoff.demo import STORY, DemoPack, files
from lidoff.evaluate import evaluate
from lidoff.records import Function, Pack, Question, Study

PACKS = {pack.name: pack for pack in files()}


@cache
def imported(name: str) -> Pack:
    demo = PACKS[name]
    return read_pack(demo.path, pack_id=demo.pack_id).pack


def question(pack: Pack, identity: str) -> Question:
    return next(q for q in pack.questions if q.id == identity)


def test_the_story_names_its_packs_and_terms() -> None:
    assert [pack.name for pack in files()] == ["quarry", "orchard"]
    assert all(isinstance(pack, DemoPack) and pack.path.is_file() for pack in files())
    assert STORY.question.endswith("?")
    assert (STORY.scenario.volume, STORY.scenario.life) == (60_000.0, 7.0)


@pytest.mark.parametrize("name", PACKS)
def test_every_line_is_taken(name: str) -> None:
    pack, rows = imported(name), parts(name)
    assert [(i.number, i.name) for i in pack.items] == [(r.number, r.name) for r in rows]
    for item, row in zip(pack.items, rows, strict=True):
        assert item.quantity is not None and item.quantity.value == row.off
        if row.leaf and row.mass is not None:
            assert item.mass is not None and item.mass.value == pytest.approx(row.mass, rel=1e-9)
        elif row.leaf:
            assert item.mass is None


@pytest.mark.parametrize("name", PACKS)
def test_the_story_accepts_questions_that_are_asked_and_leaves_others(name: str) -> None:
    pack = imported(name)
    asked = {q.id for q in pack.questions if q.answer is None}
    assert set(PACKS[name].accept) < asked
    assert all(question(pack, identity).edits for identity in PACKS[name].accept)


def test_figures_agree_with_the_files() -> None:
    study = Study(
        id="demo", name=STORY.study, packs=tuple(imported(n) for n in PACKS), scenario=STORY.scenario
    )
    findings = evaluate(study, topics=("mass", "energy"), samples=100)
    for name, energy in (("quarry", 96 * 56 * 4.95 * 3.60), ("orchard", 96 * 3 * 63.8 * 3.65)):
        found = findings.packs[PACKS[name].pack_id]
        rows = [r for r in parts(name) if r.leaf and r.mass is not None]
        held = 1 if name == "quarry" else 0  # the repeated side plate counts nowhere
        dry = sum(r.mass * r.pieces for r in rows if r.function not in ("coolant", "Kühlmittel"))  # type: ignore[operator]
        dry -= held * next(r.mass * r.pieces for r in rows if r.number == "3-09") if held else 0.0  # type: ignore[operator]
        assert found.figures["mass_rolled"].value == pytest.approx(dry, rel=1e-6)
        assert found.figures["energy_nominal"].value == pytest.approx(energy * 1e-3, rel=1e-6)
        assert 97.0 <= (found.figures["mass_closure"].value or 0.0) <= 100.0


def test_functions_differ_as_the_story_says() -> None:
    """Only Orchard carries its charger; both have everything else."""

    def functions(pack: Pack) -> set[str]:
        return {i.function.means for i in pack.items if i.function is not None and i.function.means}

    assert functions(imported("orchard")) - functions(imported("quarry")) == {Function.CONVERSION}
    assert functions(imported("quarry")) <= functions(imported("orchard"))
