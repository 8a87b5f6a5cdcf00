"""The workbook as a file: nothing in it runs or reaches out, every value is kept, links lead somewhere.

Behaviour; read back with openpyxl.
"""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import Workbook as Read
from openpyxl import load_workbook

from lidoff.evaluate import evaluate
from lidoff.methods import books
from lidoff.methods.book import UNCHECKED
from lidoff.pictures.palette import LIGHT
from lidoff.quantities import Basis, Reading, Word
from lidoff.records import Item, Pack, Study
from lidoff.report import write_report
from lidoff.report.workbook import workbook
from lidoff.sources import SOURCES

from . import sheets, studies
from .studies import ISSUED, Told

#: Functions that recalculate without need or reach outside, by their names in ISO/IEC 29500.
UNWANTED = "NOW|TODAY|RAND|RANDBETWEEN|RANDARRAY|OFFSET|INDIRECT|CELL|INFO|WEBSERVICE|HYPERLINK|RTD|DDE"


@pytest.fixture(scope="module")
def heron(tmp_path_factory: pytest.TempPathFactory) -> Told:
    return studies.heron(tmp_path_factory.mktemp("heron"))


@pytest.fixture(scope="module")
def path(heron: Told, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("file") / "heron.xlsx"
    file.write_bytes(heron.file)
    return file


@pytest.fixture(scope="module")
def book(path: Path) -> Read:
    return load_workbook(path)


def test_nothing_in_it_runs_or_reaches_out(path: Path) -> None:
    with zipfile.ZipFile(path) as archive:
        names = archive.namelist()
        outside = [n for n in names if b'TargetMode="External"' in archive.read(n)]
    assert not [n for n in names if re.search(r"vba|externalLink|connections|activeX|ctrlProp", n)]
    assert outside == []
    for cell, formula in sheets.formulas(path).items():
        assert re.search(rf"\b({UNWANTED})\(", formula) is None, cell
        assert "[" not in formula and "#REF" not in formula, cell


def test_every_formula_keeps_its_value(path: Path) -> None:
    values = sheets.cells(path)
    for cell in sheets.formulas(path):
        value = values[cell]
        assert isinstance(value, float) or not value.startswith("#"), (cell, value)
    assert sum(isinstance(values[cell], float) for cell in sheets.formulas(path)) > 3000


def test_links_lead_to_cells_that_are_there(book: Read) -> None:
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    places = {(cell.parent.title, cell.coordinate) for cell in cells}
    links = [cell.hyperlink for cell in cells if cell.hyperlink is not None]
    assert len(links) > 150
    for link in links:
        sheet, _, address = (link.location or "").rpartition("!")
        assert (sheet.strip("'"), address) in places, link.location
    targets = {(link.location or "").rpartition("!")[0].strip("'") for link in links}
    assert targets == set(book.sheetnames)  # every sheet can be reached


def test_a_figure_leads_to_its_lines_and_a_line_to_its_working_and_back(book: Read) -> None:
    figures, cost, working = book["Figures"], book["Heron cost"], book["Heron working"]
    row = next(r for r in range(1, figures.max_row) if figures.cell(r, 1).value == "Piece cost")
    assert figures.cell(row, 6).hyperlink.location == "'Heron cost'!A1"
    line = next(r for r in range(1, cost.max_row) if cost.cell(r, 1).value == "1.2.1")
    there = cost.cell(line, 2).hyperlink.location.rpartition("!")[2]
    assert working[there].value == "1.2.1 Side rail, 4 chamber"
    back = working.cell(working[there].row, 5).hyperlink.location
    assert back == f"'Heron cost'!B{line}"
    assert cost["B3"].hyperlink.location == "Figures!A1"


def test_heads_stay_in_view_and_sheets_are_set_up_for_print(book: Read) -> None:
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape" and sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.sheet_view.showGridLines is False
        if sheet.title not in ("Cover", "By function"):
            assert sheet.freeze_panes is not None, sheet.title
    levels = {d.outlineLevel for d in book["Heron working"].row_dimensions.values()}
    assert levels == {0, 1, 2}
    assert {d.outlineLevel for d in book["Heron parts"].row_dimensions.values()} >= {1, 2}


def test_inputs_are_marked_and_nothing_else_is(book: Read) -> None:
    tint = "FF" + LIGHT.fill.removeprefix("#").upper()
    parts = book["Heron parts"]
    marked = {cell.coordinate for row in parts.iter_rows() for cell in row if cell.fill.fgColor.rgb == tint}
    for row in parts.iter_rows(min_row=6):
        for cell in row:
            if isinstance(cell.value, int | float):
                assert cell.coordinate in marked, cell.coordinate
            elif isinstance(cell.value, str) and cell.value.startswith("="):
                assert cell.coordinate not in marked, cell.coordinate
    estimated = next(r for r in range(1, parts.max_row) if parts.cell(r, 1).value == "1.3.5")
    assert parts.cell(estimated, 11).value == "estimated" and parts.cell(estimated, 6).font.italic


def test_names_for_the_scenario(book: Read) -> None:
    assert set(book.defined_names) == {"packs_a_year", "years", "packs_of_programme"}
    assert book.defined_names["packs_a_year"].attr_text == "Scenario!$B$6"
    assert book["Scenario"]["B6"].value == 100_000


def test_only_sources_that_are_used_are_listed(book: Read) -> None:
    rows = list(book["Sources"].iter_rows(min_row=6, values_only=True))
    assert [row[1] for row in rows if row[2] == "user's own"] == ["quotation"]  # the user's own prices
    listed = [str(row[0]) for row in rows if row[0]]
    assert listed == sorted(set(listed)) and set(listed) <= SOURCES.keys()
    texts = {
        str(cell.value).split(",")[0].strip()
        for sheet in book
        if sheet.title not in ("Sources", "Cover")
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str)
    }
    assert {text for text in texts if text in SOURCES} <= set(listed)


def test_a_line_that_is_not_costed_has_no_cost_and_says_why(book: Read) -> None:
    cost = book["Heron cost"]
    row = next(r for r in range(1, cost.max_row) if cost.cell(r, 2).value == "Cell 21700")
    assert [cost.cell(row, column).value for column in range(6, 14)] == [None] * 8
    assert str(cost.cell(row, 17).value).startswith("not costed: ")


def test_a_book_without_a_check_is_marked_where_it_is_used() -> None:
    shelf = {**books(), "saw": replace(books()["saw"], checks=())}
    study = Study(id="birds", name="Birds", packs=(studies.heron_pack(),))
    found = evaluate(study, samples=20, books=shelf)
    book = load_workbook(io.BytesIO(workbook(study, found, None, ISSUED)))
    notes = {str(row[0]): row[6] for row in book["Heron working"].iter_rows(values_only=True) if row[6]}
    marked = {name for name, note in notes.items() if note == UNCHECKED}
    assert marked and all("Sawing" in name for name in marked)


def test_by_function_is_the_comparison_where_the_scope_is_its_own(tmp_path: Path) -> None:
    told = studies.demo(tmp_path)
    assert told.comparison is not None
    file = tmp_path / "demo.xlsx"
    file.write_bytes(told.file)
    values = sheets.cells(file)
    row = next(a for (s, a), v in values.items() if s == "By function" and v == "In the scope")[1:]
    scope = {values["By function", f"A{r}"] for r in range(6, 21) if values["By function", f"B{r}"] == 1.0}
    assert scope == set(map(str, told.comparison.scope))
    for name, columns in (("mass_rolled", "CG"), ("cost_piece", "DH"), ("tooling_investment", "FJ")):
        compared = told.comparison.row(name)
        assert compared is not None
        for column, figure in zip(columns, compared.values.values(), strict=True):
            assert figure is not None
            assert values["By function", f"{column}{row}"] == pytest.approx(figure.value, rel=1e-9)


def test_the_same_study_gives_the_same_bytes(heron: Told) -> None:
    again = workbook(heron.study, heron.findings, heron.comparison, ISSUED)
    assert again == heron.file


def test_what_a_bench_wrote_stays_text_and_odd_names_make_sheets() -> None:
    kg = Reading(value=2.0, unit="kg", basis=Basis.WEIGHED)
    items = (
        Item(
            id="a", number="1", name='=HYPERLINK("x","y")', mass=kg, function=Word(text="tray", means="tray")
        ),
        Item(id="b", number="2", name="no mass yet"),
    )
    packs = tuple(
        Pack(id=f"p{n}", name=name, items=tuple(replace(i, id=f"{i.id}{n}") for i in items))
        for n, name in enumerate(
            ("A/B [one]: a name far longer than a sheet may have", "a b one a name far longer", "")
        )
    )
    study = Study(id="odd", name="Odd", packs=packs)
    found = evaluate(study, samples=20)
    book = load_workbook(io.BytesIO(workbook(study, found, None, ISSUED)))
    assert all(len(name) <= 31 for name in book.sheetnames)
    parts = [sheet for sheet in book if sheet.title.endswith("parts")]
    assert len(parts) == 3
    for sheet in parts:
        assert sheet["B6"].value == '=HYPERLINK("x","y")' and sheet["B6"].data_type == "s"
        assert sheet["F7"].value is None and sheet["K7"].value == "missing"


def test_findings_of_mass_alone_make_a_workbook_without_costs() -> None:
    study = Study(id="birds", name="Birds", packs=(studies.heron_pack(),))
    found = evaluate(study, samples=0, topics=("mass", "energy"))
    book = load_workbook(io.BytesIO(workbook(study, found, None, ISSUED)))
    titles = [row[0] for row in book["Figures"].iter_rows(values_only=True)]
    assert "Dry mass, rolled up" in titles and "Piece cost" not in titles
    assert book["Heron working"].max_row < 10


def test_the_report_writes_it_beside_the_others(heron: Told, tmp_path: Path) -> None:
    (written,) = write_report(heron.study, heron.findings, None, tmp_path, ("xlsx",), issued=ISSUED)
    assert written.name == "birds-workbook.xlsx" and written.read_bytes() == heron.file
