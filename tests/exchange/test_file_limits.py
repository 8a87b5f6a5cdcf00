"""Behaviour: files that must be refused are refused quickly, whole, in one sentence."""

from __future__ import annotations

import time
import zipfile
from pathlib import Path

import pytest
from bench_files import read_book

from lidoff.exchange import BenchFileError, read_bench
from lidoff.exchange.sheets import MAX_ROWS


def refused(path: Path) -> str:
    with pytest.raises(BenchFileError) as caught:
        read_bench(path, pack_id="p")
    said = str(caught.value)
    assert "\n" not in said and path.name in said
    return said


def test_missing_folder_and_empty(tmp_path: Path) -> None:
    assert "does not exist" in refused(tmp_path / "none.xlsx")
    assert "folder" in refused(tmp_path)
    (tmp_path / "empty.csv").touch()
    assert "empty" in refused(tmp_path / "empty.csv")
    (tmp_path / "blank.csv").write_text("\n \n")
    assert "empty" in refused(tmp_path / "blank.csv")


@pytest.mark.parametrize(
    ("head", "what"), [(b"%PDF-1.7\n", "PDF"), (b"\x89PNG\r\n", "PNG"), (b"<!DOCTYPE html>", "web page")]
)
def test_other_files_by_another_name_are_called_what_they_are(tmp_path: Path, head: bytes, what: str) -> None:
    path = tmp_path / "bench.xlsx"
    path.write_bytes(head + b"x" * 100)
    assert what in refused(path)


def test_a_letter_is_no_bench_file(tmp_path: Path) -> None:
    path = tmp_path / "letter.txt"
    path.write_text("Dear colleague,\nthe pack came in today and looks fine.\nRegards\n")
    assert "no parts" in refused(path)


def _rewritten(folder: Path, old: bytes, new: bytes) -> Path:
    """A good workbook with one thing changed in its sheet."""
    read_book(folder, {"Parts": [["Pos", "Part", "Qty", "Mass g"], ["1", "Lid", 1, 9000]]})
    path = folder / "changed.xlsx"
    with (
        zipfile.ZipFile(folder / "bench.xlsx") as good,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        for member in good.infolist():
            data = good.read(member)
            if member.filename == "xl/worksheets/sheet1.xml":
                assert old in data
                data = data.replace(old, new)
            out.writestr(member.filename, data)
    return path


def test_a_cell_in_the_last_corner_asks_for_no_memory(tmp_path: Path) -> None:
    far = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    assert f"{MAX_ROWS:,} rows" in refused(_rewritten(tmp_path, b"</sheetData>", far))


def test_a_million_lines_are_refused_before_they_are_read(tmp_path: Path) -> None:
    path = tmp_path / "million.csv"
    path.write_text("Pos;Part;Qty;Mass g\n" + "1;Lid;1;9000\n" * 1_000_000)
    begun = time.perf_counter()
    assert "limit" in refused(path)
    assert time.perf_counter() - begun < 5.0


def test_an_archive_that_unpacks_without_end_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("xl/workbook.xml", b"<workbook/>")
        out.writestr("xl/worksheets/sheet1.xml", b" " * 80_000_000)
    assert path.stat().st_size < 1_000_000
    assert "unpacks" in refused(path)


def test_a_cut_workbook_is_refused(tmp_path: Path) -> None:
    read_book(tmp_path, {"Parts": [["Pos", "Part", "Qty", "Mass g"], ["1", "Lid", 1, 9000]]})
    whole = (tmp_path / "bench.xlsx").read_bytes()
    for share in (0.2, 0.5, 0.9):
        path = tmp_path / "cut.xlsx"
        path.write_bytes(whole[: int(len(whole) * share)])
        assert "damaged" in refused(path)
