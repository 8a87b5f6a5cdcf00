"""The whole way: two bench files to a report. Import and evaluation are checked in their own rooms."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from lidoff.compare import compare
from lidoff.evaluate import evaluate
from lidoff.exchange import read_bench
from lidoff.records import Study
from lidoff.report import write_report

from .study_by_hand import ISSUED

DATA = Path(__file__).parent.parent / "data"


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    files = {"heron": DATA / "heron.xlsx", "marlin": DATA / "marlin.csv"}
    packs = tuple(read_bench(path, pack_id=name).pack for name, path in files.items())
    study = Study(id="birds", name="Birds", packs=packs)
    found = evaluate(study, samples=400)
    told = compare(found, study, like_for_like=True)
    out = tmp_path_factory.mktemp("birds")
    return {p.suffix.lstrip("."): p for p in write_report(study, found, told, out, issued=ISSUED)}


def test_the_page_holds_what_the_benches_wrote(written: dict[str, Path]) -> None:
    page = written["html"].read_text("utf-8")
    # Sums of the bench files by hand: 64 lines as entered, and 33 lines with the charger inside.
    for wanted in ("447.6", "453.5", "Heron", "Marlin", "Ribbon gap filler", "Strukturkleber"):
        assert wanted in page
    assert "without conversion" in page  # the charger inside one pack does not decide the comparison
    ids = set(re.findall(r'\bid="([^"]+)"', page))
    assert {link for link in re.findall(r'href="#([^"]+)"', page) if link not in ids} == set()
    text = re.sub(r"<(style|script).*?</\1>|<[^>]+>", " ", page, flags=re.S)
    assert re.search(r"\bNone\b|\bnan\b|\binf\b", text) is None and "safe" not in text.lower()


def test_the_answer_fits_one_sheet(written: dict[str, Path]) -> None:
    pages = PdfReader(written["pdf"]).pages
    second, third = pages[1].extract_text(), pages[2].extract_text()
    for wanted in ("The answer on one page", "Looks wrong", "Measure next", "If unsure, stop."):
        assert wanted in second
    assert "The answer on one page" not in third
