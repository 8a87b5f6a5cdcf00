"""The PDF report, read back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from lidoff.report import write_report

from .study_by_hand import ISSUED, comparison, findings, study


@pytest.fixture(scope="module")
def reader(written: dict[str, Path]) -> PdfReader:
    return PdfReader(written["pdf"])


@pytest.fixture(scope="module")
def text(reader: PdfReader) -> str:
    return "\n".join(page.extract_text() for page in reader.pages)


def squeezed(text: str) -> str:
    return "".join(text.split())


def test_it_names_itself_and_is_tagged(reader: PdfReader) -> None:
    root: Any = reader.trailer["/Root"]
    assert reader.metadata is not None and reader.metadata.title == "Coastal vans <tray> & $cooling"
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]


def test_it_declares_the_accessibility_standard(written: dict[str, Path], reader: PdfReader) -> None:
    # ISO 14289-1:2014, clause 5: the metadata say pdfuaid:part 1.
    metadata: Any = reader.trailer["/Root"]["/Metadata"].get_object()  # type: ignore[index]
    assert b"pdfuaid:part" in metadata.get_data()


def test_bookmarks_lead_through_the_sections(reader: PdfReader) -> None:
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    for title in ("The answer on one page", "Mass", "Cost", "Like for like", "Workings", "Sources"):
        assert title in titles


def test_all_fonts_are_inside(reader: PdfReader) -> None:
    seen = set()
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            described = font.get_object()
            below = described.get("/DescendantFonts")
            descriptor = (below[0].get_object() if below else described)["/FontDescriptor"].get_object()
            assert any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            seen.add(str(described["/BaseFont"]).partition("+")[2])
    assert any(name.startswith("IBMPlexSans") for name in seen)
    assert any("Math" in name for name in seen)
    assert all("Plex" in name for name in seen)


def test_links_inside_lead_somewhere(reader: PdfReader) -> None:
    links = 0
    for page in reader.pages:
        for annotation in page.get("/Annots", []):
            entry = annotation.get_object()
            if entry["/Subtype"] == "/Link":
                links += 1
                assert "/URI" not in entry.get("/A", {})
    assert links > 50


def test_key_figures_are_in_the_text(text: str) -> None:
    words = squeezed(text)
    for wanted in (
        "Drymassinthescope",
        "notsettled",
        "missing",
        "covers67",
        "cellsarenotcosted",
        "100000packsayear",
    ):
        assert wanted in words.replace("\u202f", "").replace("\u00a0", ""), wanted


def test_names_are_printed_as_they_are(text: str) -> None:
    assert squeezed('#panic "x" $ <b>_*`@~') in squeezed(text)


def test_nothing_is_blank_or_forbidden(text: str) -> None:
    for wrong in ("None", "nan ", "safe"):
        assert wrong not in text


def test_pictures_have_words(reader: PdfReader) -> None:
    """Every figure of the structure tree has an alternative text (ISO 14289-1:2014, 7.3)."""
    found = 0

    def walk(node: Any) -> None:
        nonlocal found
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for kid in node:
                walk(kid)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                found += 1
                assert str(node.get("/Alt", "")).strip()
            if "/K" in node and node.get("/Type") != "/MCR":
                walk(node["/K"])

    walk(reader.trailer["/Root"]["/StructTreeRoot"])  # type: ignore[index]
    assert found > 20


def test_same_input_same_bytes(written: dict[str, Path], tmp_path: Path) -> None:
    again = write_report(study(), findings(), comparison(), tmp_path, issued=ISSUED)
    assert {path.name: path.read_bytes() for path in again} == {
        path.name: path.read_bytes() for path in written.values()
    }
