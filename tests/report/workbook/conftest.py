"""Workbooks written once, recalculated by LibreOffice once, and shared by all workers of a test run."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from . import edges, office, random_formulas, sheets, studies

#: Sheet and address, in one word for JSON.
Cells = Mapping[str, float | str]


@dataclass(frozen=True)
class Recalculated:
    """Cells by workbook: as the engine has them, their formulas, and as LibreOffice has them; and the
    values of the findings' figures by title, pack by pack."""

    expected: Mapping[str, Cells]
    formulas: Mapping[str, Mapping[str, str]]
    found: Mapping[str, Cells]
    figures: Mapping[str, list[Mapping[str, float | None]]]


def _flat(cells: Mapping[tuple[str, str], float | str]) -> dict[str, float | str]:
    return {f"{sheet}!{address}": value for (sheet, address), value in cells.items()}


def _once(place: Path, make: Callable[[Path], None]) -> Path:
    """Make a folder's content once, whoever comes first; the others wait for it."""
    ready, failed = place / "ready", place / "failed"
    try:
        place.mkdir(parents=True)
    except FileExistsError:
        while not ready.exists():
            assert not failed.exists(), "another worker could not make it"
            time.sleep(0.1)
        return place
    try:
        make(place)
    except BaseException:
        failed.touch()
        raise
    ready.touch()
    return place


def _make(place: Path) -> None:
    """Every workbook with spoilt or no kept values, what the engine has for it, and what comes out."""
    spoilt, out = place / "in", place / "out"
    spoilt.mkdir()
    out.mkdir()
    expected: dict[str, Cells] = {}
    formulas: dict[str, Cells] = {}
    figures: dict[str, list[dict[str, float | None]]] = {}
    for name, told, edit in (
        ("heron", studies.heron, studies.edit_heron),
        ("demo", studies.demo, studies.edit_demo),
    ):
        file, other = place / f"{name}.xlsx", place / f"{name}-changed.xlsx"
        first = told(place)
        packs = first.findings.packs.values()
        figures[name] = [{f.title: f.value for f in pack.figures.values()} for pack in packs]
        file.write_bytes(first.file)
        other.write_bytes(told(place, changed=True).file)
        for one in (file, other):
            expected[one.stem] = _flat(sheets.cells(one))
            formulas[one.stem] = _flat(sheets.formulas(one))
        assert sheets.spoil(file, spoilt / file.name) == len(formulas[name])
        edit(file, spoilt / other.name)
    expected["edges"] = _flat(edges.edge_cases(spoilt / "edges.xlsx"))
    expected["random"] = _flat(random_formulas.random_formulas(spoilt / "random.xlsx"))
    formulas |= {name: _flat(sheets.formulas(spoilt / f"{name}.xlsx")) for name in ("edges", "random")}
    office.recalculate(sorted(spoilt.iterdir()), out, place / "profile")
    found = {file.stem: _flat(sheets.cells(file)) for file in out.iterdir()}
    told_all = {"expected": expected, "formulas": formulas, "found": found, "figures": figures}
    (place / "cells.json").write_text(json.dumps(told_all), "utf-8")


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory, worker: str | None) -> Path:
    """Where the workbooks are: as written, spoilt, and recalculated."""
    if office.SOFFICE is None:
        pytest.skip("LibreOffice is not installed")
    base = tmp_path_factory.getbasetemp()
    return _once((base.parent if worker else base) / "workbooks", _make)


@pytest.fixture(scope="session")
def worker(request: pytest.FixtureRequest) -> str | None:
    """The worker's name where tests run in several processes."""
    told = getattr(request.config, "workerinput", None)
    return None if told is None else str(told["workerid"])


@pytest.fixture(scope="session")
def recalculated(folder: Path) -> Recalculated:
    """What became of every workbook."""
    return Recalculated(**json.loads((folder / "cells.json").read_text("utf-8")))
