"""LibreOffice, an outside reckoner, works every formula out again and comes to the engine's nominal values.

Independent check: another program's arithmetic, from cells whose kept values were spoilt or left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from . import sheets
from .conftest import Cells, Recalculated

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


@pytest.mark.parametrize(("name", "at_least"), [("heron", 3000), ("demo", 10_000)])
def test_a_workbook_comes_to_the_engines_values_cell_by_cell(
    folder: Path, recalculated: Recalculated, name: str, at_least: int
) -> None:
    formulas = recalculated.formulas[name]
    assert len(formulas) >= at_least
    spoilt = {f"{s}!{a}": v for (s, a), v in sheets.cells(folder / "in" / f"{name}.xlsx").items()}
    assert all(spoilt[cell] == sheets.SPOILT for cell in formulas)  # nothing kept could be taken over
    assert differing(recalculated.expected[name], recalculated.found[name], formulas) == []


@pytest.mark.parametrize("name", ["heron", "demo"])
def test_after_inputs_are_changed_in_both_it_does_so_again(recalculated: Recalculated, name: str) -> None:
    formulas, changed = recalculated.formulas[name], f"{name}-changed"
    assert formulas == recalculated.formulas[changed]  # the same workbook, so cells may be held together
    before, after = recalculated.expected[name], recalculated.expected[changed]
    assert sum(before[cell] != after[cell] for cell in formulas) > 700  # the changes reach far
    assert differing(after, recalculated.found[changed], formulas) == []


@pytest.mark.parametrize("name", ["edges", "random"])
def test_edges_and_formulas_at_random_come_to_the_same(recalculated: Recalculated, name: str) -> None:
    expected = recalculated.expected[name]
    known = {cell: text for cell, text in recalculated.formulas[name].items() if cell in expected}
    assert len(known) >= 700
    assert differing(expected, recalculated.found[name], known) == []


@pytest.mark.parametrize("name", ["heron", "demo"])
def test_figures_after_recalculation_are_those_of_the_findings(recalculated: Recalculated, name: str) -> None:
    """Straight to the findings, not by way of the values that the workbook keeps."""
    found = recalculated.found[name]
    rows = {
        value: cell.removeprefix("Figures!A") for cell, value in found.items() if cell.startswith("Figures!A")
    }
    for column, figures in zip("CG", recalculated.figures[name], strict=False):
        known = {title: value for title, value in figures.items() if value is not None}
        assert len(known) >= 30
        for title, value in known.items():
            got = found[f"Figures!{column}{rows[title]}"]
            assert isinstance(got, float) and got == pytest.approx(value, rel=REL, abs=FLOOR), title
