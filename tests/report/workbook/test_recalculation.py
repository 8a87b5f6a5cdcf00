"""LibreOffice, an outside reckoner, works every formula out again and comes to the engine's nominal values.

Independent check: another program's arithmetic, from cells whose kept values were spoilt or left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from lidoff.evaluate import Figure

from . import sheets, studies
from .conftest import Cells

All = Mapping[str, Mapping[str, Cells]]
#: Relative, and an absolute floor: where masses of 1e3 kg leave nothing, rounding of 1e-13 remains.
REL, FLOOR = 1e-9, 1e-11


def differing(expected: Cells, found: Cells, formulas: Mapping[str, str]) -> list[str]:
    """Formula cells that differ, told with their formula."""
    wrong = []
    for cell, formula in formulas.items():
        want, got = expected[cell], found.get(cell, "")
        if isinstance(want, float):
            same = isinstance(got, float) and abs(got - want) <= REL * abs(want) + FLOOR
        else:
            same = got == want
        if not same:
            wrong.append(f"{cell}: {want!r} became {got!r} by ={formula[:200]}")
    return wrong


def formulas_of(path: Path) -> dict[str, str]:
    return {f"{sheet}!{address}": text for (sheet, address), text in sheets.formulas(path).items()}


@pytest.mark.parametrize(("name", "at_least"), [("heron", 3000), ("demo", 10_000)])
def test_a_workbook_comes_to_the_engines_values_cell_by_cell(
    folder: Path, recalculated: All, name: str, at_least: int
) -> None:
    formulas = formulas_of(folder / f"{name}.xlsx")
    assert len(formulas) >= at_least
    spoilt = {f"{s}!{a}": v for (s, a), v in sheets.cells(folder / "in" / f"{name}.xlsx").items()}
    assert all(spoilt[cell] == sheets.SPOILT for cell in formulas)  # nothing kept could be taken over
    assert differing(recalculated["expected"][name], recalculated["found"][name], formulas) == []


@pytest.mark.parametrize("name", ["heron", "demo"])
def test_after_inputs_are_changed_in_both_it_does_so_again(
    folder: Path, recalculated: All, name: str
) -> None:
    before, after = formulas_of(folder / f"{name}.xlsx"), formulas_of(folder / f"{name}-changed.xlsx")
    assert before == after  # the same workbook, so that cells may be held together
    expected = recalculated["expected"]
    moved = [c for c in before if expected[name][c] != expected[f"{name}-changed"][c]]
    assert len(moved) > 700  # the changes reach far
    assert differing(expected[f"{name}-changed"], recalculated["found"][f"{name}-changed"], before) == []


@pytest.mark.parametrize("name", ["edges", "random"])
def test_edges_and_formulas_at_random_come_to_the_same(folder: Path, recalculated: All, name: str) -> None:
    formulas = formulas_of(folder / "in" / f"{name}.xlsx")
    expected = recalculated["expected"][name]
    known = {cell: text for cell, text in formulas.items() if cell in expected}
    assert len(known) >= 700
    assert differing(expected, recalculated["found"][name], known) == []


def figures_of(cells: Cells) -> dict[str, list[float | str]]:
    """Rows of the sheet of figures by title: the values of its packs, low and high left out."""
    rows: dict[str, list[float | str]] = {}
    for cell, value in cells.items():
        sheet, address = cell.rsplit("!", 1)
        if sheet == "Figures" and address[0] == "A" and address[1:].isdigit() and isinstance(value, str):
            row = address[1:]
            rows[value] = [
                cells[f"Figures!{column}{row}"] for column in "CG" if f"Figures!{column}{row}" in cells
            ]
    return rows


def test_figures_after_recalculation_are_those_of_the_findings(folder: Path, recalculated: All) -> None:
    """Straight to the findings, not by way of the values that the workbook keeps."""
    for name, told in (("heron", studies.heron(folder)), ("demo", studies.demo(folder))):
        rows = figures_of(recalculated["found"][name])
        checked = 0
        for place, pack in enumerate(told.findings.packs.values()):
            for figure in pack.figures.values():
                checked += _agrees(figure, rows, place)
        assert checked >= 30 * len(told.findings.packs)


def _agrees(figure: Figure, rows: Mapping[str, list[float | str]], place: int) -> int:
    if figure.value is None:
        return 0
    got = rows[figure.title][place]
    assert isinstance(got, float) and got == pytest.approx(figure.value, rel=REL, abs=FLOOR), figure.name
    return 1
