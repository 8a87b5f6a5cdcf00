"""Bad files and bad cells: told in one sentence, with nothing half-taken. Behaviour tests."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from hostile import containers

from lidoff.exchange import BenchFileError, read_bench
from lidoff.records import Pack

#: What a reader may use of a small machine: address space and seconds (this file's own choice).
_BYTES, _SECONDS = 2_500_000_000, 30


def _write(data: bytes) -> Callable[[Path], Path]:
    def write(path: Path) -> Path:
        path.write_bytes(data)
        return path

    return write


def _cut(path: Path, share: float) -> Path:
    return containers.cut_short(containers.small_book(path), share=share)


_PDF = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<< /Type /Catalog >>\nendobj\ntrailer\n<< >>\n%%EOF\n"
_JUNK = bytes((n * 197 + n * n * 31) % 256 for n in range(20_000))
_PICTURE = b"\x89PNG\r\n\x1a\n" + _JUNK[:3000]

REFUSED: dict[str, tuple[str, Callable[[Path], Path]]] = {
    "empty workbook": ("a.xlsx", _write(b"")),
    "empty text": ("a.csv", _write(b"")),
    "blanks only": ("a.csv", _write(b"\n \n\r\n\t\n")),
    "mark only": ("a.csv", _write(b"\xef\xbb\xbf")),
    "print file": ("report.xlsx", _write(_PDF)),
    "print file as text": ("report.csv", _write(_PDF)),
    "picture": ("photo.xls", _write(_PICTURE)),
    "picture as text": ("photo.csv", _write(_PICTURE)),
    "junk workbook": ("junk.xlsx", _write(_JUNK)),
    "junk text": ("junk.csv", _write(_JUNK)),
    "junk behind a zip head": ("junk.xlsx", _write(b"PK\x03\x04" + _JUNK)),
    "junk behind a compound head": ("junk.xls", _write(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + _JUNK)),
    "other zip": ("a.xlsx", containers.zip_of_something_else),
    "locked xlsx": ("a.xlsx", containers.locked_xlsx),
    "locked xls": ("a.xls", containers.locked_xls),
    "cut at half": ("a.xlsx", lambda path: _cut(path, 0.5)),
    "cut near the end": ("a.xlsx", lambda path: _cut(path, 0.97)),
    "overwritten": ("a.xlsx", lambda path: containers.flipped(containers.small_book(path), share=0.3)),
    "cut utf-16": ("a.csv", _write("Pos;Name;Qty\n1;Länge;1\n".encode("utf-16")[:-1])),
    "prose": ("a.txt", _write(b"Dear all,\nthe pack came on Monday and we start tomorrow.\nBest regards\n")),
}  # fmt: skip


def _sentence(error: BenchFileError, path: Path) -> None:
    said = str(error)
    assert said.strip() and "\n" not in said and "\r" not in said, said
    assert path.name in said, said
    assert len(said) <= 300, said
    assert "Traceback" not in said and "object at 0x" not in said, said


@pytest.mark.parametrize("case", REFUSED)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(tmp_path: Path, case: str) -> None:
    name, write = REFUSED[case]
    path = write(tmp_path / name)
    with pytest.raises(BenchFileError) as caught:
        read_bench(path, pack_id="p")
    _sentence(caught.value, path)


@pytest.mark.parametrize("case", ["locked xlsx", "locked xls"])
def test_a_locked_workbook_is_called_locked(tmp_path: Path, case: str) -> None:
    name, write = REFUSED[case]
    with pytest.raises(BenchFileError, match=r"(?i)password|protected|encrypted|locked"):
        read_bench(write(tmp_path / name), pack_id="p")


def test_a_folder_and_a_missing_file_are_refused(tmp_path: Path) -> None:
    folder = tmp_path / "folder.xlsx"
    folder.mkdir()
    for path in (folder, tmp_path / "missing.csv"):
        with pytest.raises(BenchFileError) as caught:
            read_bench(path, pack_id="p")
        _sentence(caught.value, path)


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="the rights of a file bind no superuser")
def test_a_file_one_may_not_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "closed.csv"
    path.write_text("Pos;Name;Qty\n1;Cover;1\n", encoding="utf-8")
    path.chmod(0)
    with pytest.raises(BenchFileError) as caught:
        read_bench(path, pack_id="p")
    _sentence(caught.value, path)


_PROBE = """
import resource, sys
from pathlib import Path
limit = int(sys.argv[2])
resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
from lidoff.exchange import BenchFileError, read_bench
try:
    print("read", len(read_bench(Path(sys.argv[1]), pack_id="p").pack.items))
except BenchFileError as error:
    print("refused", error)
"""


@pytest.mark.parametrize(
    ("name", "write", "lines"),
    [
        ("million.csv", containers.million_rows, 1_000_000),
        ("bomb.xlsx", containers.bomb, 1_500_000),
        ("far.xlsx", containers.far_cell, 2),
        ("laughing.xlsx", containers.laughing, 1),
    ],
)
def test_an_oversized_file_is_refused_or_read_whole_in_bounded_memory(
    tmp_path: Path, name: str, write: Callable[[Path], Path], lines: int
) -> None:
    path = write(tmp_path / name)
    begun = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-c", _PROBE, str(path), str(_BYTES)],
        capture_output=True, text=True, timeout=_SECONDS, check=False,
    )  # fmt: skip
    assert done.returncode == 0, f"{name} after {time.monotonic() - begun:.0f} s: {done.stderr[-400:]}"
    kind, _, rest = done.stdout.strip().partition(" ")
    assert "\n" not in rest
    assert (kind == "read" and int(rest) == lines) or (kind == "refused" and name in rest), done.stdout


# Cells


def _text(folder: Path, *rows: str, head: str = "Pos;Name;Qty;Mass ea [g];L [mm];W [mm];T/H [mm]") -> Pack:
    path = folder / "cells.csv"
    path.write_bytes(
        "\n".join([head, "1;Cover;1;9900;1800;900;1.2", *rows, "9;Tray;1;29400;2000;1500;1.2", ""]).encode()
    )
    pack = read_bench(path, pack_id="p").pack
    names = [item.name for item in pack.items]
    assert names[0] == "Cover" and names[-1] == "Tray", names  # the rest of the file is taken
    return pack


def _rejected(pack: Pack, cell: str) -> None:
    """The cell is rejected with its place, its text, and a reason in one line."""
    found = [r for r in pack.rejections if cell in r.where]
    assert found, [(r.where, r.why) for r in pack.rejections]
    assert all(r.why.strip() and "\n" not in r.why for r in found)


@pytest.mark.parametrize(
    "mass",
    [
        "1e400", "-1e400", "nan", "NaN", "inf", "-inf", "Infinity", "-12.5", "−12.5", "-3 g", "1e400 g",
        "=1+1", "=cmd|' /C calc'!A0", "twelve", "#REF!", "#DIV/0!",
    ],
)  # fmt: skip
def test_a_mass_that_cannot_be_used_is_rejected_with_its_place(tmp_path: Path, mass: str) -> None:
    pack = _text(tmp_path, f"2;Rail;1;{mass};1000;50;2")
    _rejected(pack, "D3")
    (rail,) = [item for item in pack.items if item.name == "Rail"]
    assert rail.mass is None and rail.length is not None and rail.length.value == 1.0


@pytest.mark.parametrize("mass", ["12..5", "1.2.3", "12 apples", "5 mm", "0x1F", "1,2,3", "1e308 kg"])
def test_a_mass_that_is_not_plain_is_told_and_not_guessed_in_silence(tmp_path: Path, mass: str) -> None:
    pack = _text(tmp_path, f"2;Rail;1;{mass};1000;50;2")
    told = " ".join([r.where for r in pack.rejections] + [q.where for q in pack.questions])
    assert "D3" in told, told


@pytest.mark.parametrize("count", ["-3", "nan", "1e400", "many", "inf"])
def test_a_count_that_cannot_be_used_is_rejected_with_its_place(tmp_path: Path, count: str) -> None:
    pack = _text(tmp_path, f"2;Rail;{count};500;1000;50;2")
    _rejected(pack, "C3")
    (rail,) = [item for item in pack.items if item.name == "Rail"]
    assert rail.mass is not None and rail.mass.value == 0.5


@pytest.mark.parametrize("size", ["-10", "nan", "1e400", "wide", "10 kg"])
def test_a_size_that_cannot_be_used_is_rejected_with_its_place(tmp_path: Path, size: str) -> None:
    pack = _text(tmp_path, f"2;Rail;1;500;1000;{size};2")
    _rejected(pack, "F3")
    (rail,) = [item for item in pack.items if item.name == "Rail"]
    assert rail.width is None and rail.length is not None


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/shadow", "..\\..\\boot.ini", "/dev/null", "C:\\temp\\x", "O'Brien rail", 'rail "x"',
        "rail'; --", "<b>rail</b>", "{{ 7*7 }}", "%s%n", "=1+1", "+49 rail", "@rail", "rail 🚗",
        "Rail\u202eelbat", "rail, left", "ﬁtting", "rail\u00a0left", "x" * 300,
    ],
)  # fmt: skip
def test_a_name_is_only_a_name(tmp_path: Path, name: str) -> None:
    quoted = '"' + name.replace('"', '""') + '"'
    pack = _text(tmp_path, f"2;{quoted};1;500;1000;50;2")
    assert [" ".join(item.name.split()) for item in pack.items][1] == " ".join(name.split())
    assert all("/" not in item.id and "\\" not in item.id and ".." not in item.id for item in pack.items)
    assert pack.rejections == ()


def test_control_characters_do_not_reach_a_name(tmp_path: Path) -> None:
    pack = _text(tmp_path, "2;Rail\x07\x1b[31m left;1;500;1000;50;2")
    name = pack.items[1].name
    assert name.startswith("Rail") and name.endswith("left")
    assert all(ord(sign) >= 32 for sign in name)


def test_a_very_long_cell_is_kept_or_refused_but_never_cuts_the_rest(tmp_path: Path) -> None:
    """200,000 characters, more than the text module's own limit for a cell."""
    pack = _text(
        tmp_path,
        "2;Rail;1;500;1000;50;2;" + "remark " * 30_000,
        head="Pos;Name;Qty;Mass ea [g];L [mm];W [mm];T/H [mm];Remarks",
    )
    assert [item.name for item in pack.items] == ["Cover", "Rail", "Tray"]


@pytest.mark.parametrize(
    "row", ['2;"5 inch rail;1;500;1000;50;2', '2;5" rail;1;500;1000;50;2', '2;rail;1;500;1000;50;"2']
)
def test_a_stray_quote_swallows_no_lines(tmp_path: Path, row: str) -> None:
    """An inch mark or a forgotten quote; the lines after it are there, or the file is refused."""
    path = tmp_path / "quote.csv"
    tail = [f"{n};Part {n};1;100;10;10;1" for n in range(3, 9)]
    path.write_text(
        "\n".join(
            ["Pos;Name;Qty;Mass ea [g];L [mm];W [mm];T/H [mm]", "1;Cover;1;9900;1800;900;1.2", row, *tail, ""]
        ),
        encoding="utf-8",
    )
    try:
        pack = read_bench(path, pack_id="p").pack
    except BenchFileError as error:
        return _sentence(error, path)
    assert [item.name for item in pack.items][-6:] == [f"Part {n}" for n in range(3, 9)]


def test_lines_of_other_widths_lose_nothing(tmp_path: Path) -> None:
    pack = _text(tmp_path, "2;Rail;1", "3;Node;4;668;160;120;90;;;stray remark;;")
    assert [item.name for item in pack.items] == ["Cover", "Rail", "Node", "Tray"]
    assert pack.items[2].mass is not None and pack.items[2].mass.value == pytest.approx(0.668, rel=1e-12)


def test_errors_of_the_spreadsheet_are_rejected_and_not_taken_for_blanks(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in (
        ["Pos", "Name", "Qty", "Mass ea [g]"],
        ["1", "Cover", 1, 9900],
        ["2", "Rail", 2, "#REF!"],
        ["3", "Node", 4, "#DIV/0!"],
        ["4", "Bush", True, 148],
        ["5", "Tray", 1, 29400],
    ):
        book.active.append(row)
    for cell in ("D3", "D4"):
        book.active[cell].data_type = "e"
    path = tmp_path / "errors.xlsx"
    book.save(path)
    pack = read_bench(path, pack_id="p").pack
    told = " ".join([r.where for r in pack.rejections] + [q.where for q in pack.questions])
    assert "D3" in told and "D4" in told and "C5" in told, told
    assert [item.name for item in pack.items] == ["Cover", "Rail", "Node", "Bush", "Tray"]


def test_find_numbers_that_the_spreadsheet_took_for_dates_are_told(tmp_path: Path) -> None:
    """ "1-2" typed into a spreadsheet becomes the first of February."""
    import datetime as dt

    book = openpyxl.Workbook()
    for row in (
        ["Pos", "Name", "Qty", "Mass ea [g]"], ["1", "Cover assembly", 1, None], ["1-1", "Cover", 1, 9900],
        [dt.datetime(2026, 2, 1), "Rail", 2, 500], ["1-3", "Node", 4, 668],
    ):  # fmt: skip
        book.active.append(row)
    path = tmp_path / "dates.xlsx"
    book.save(path)
    pack = read_bench(path, pack_id="p").pack
    told = " ".join([r.where for r in pack.rejections] + [q.where for q in pack.questions])
    assert "A4" in told, told
    assert "Rail" in [item.name for item in pack.items]


def test_a_heading_without_lines_gives_no_pack_of_parts(tmp_path: Path) -> None:
    path = tmp_path / "bare.csv"
    path.write_text("Pos;Name;Qty;Mass ea [g]\n", encoding="utf-8")
    try:
        assert read_bench(path, pack_id="p").pack.items == ()
    except BenchFileError as error:
        _sentence(error, path)
