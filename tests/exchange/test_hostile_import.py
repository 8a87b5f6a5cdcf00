"""The command ``lidoff import`` on bad files: exit status 2, one line, and nothing written."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from test_hostile import REFUSED

LIDOFF = Path(sys.executable).with_name("lidoff")


def _run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    command = [str(LIDOFF), "--workspace", str(folder / "data"), *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


def _import(folder: Path, path: Path) -> subprocess.CompletedProcess[str]:
    return _run(folder, "import", str(path), "--study", "s", "--pack", "p", "--json")


BAD = ("empty workbook", "print file", "locked xlsx", "cut at half", "junk text", "prose")


def test_bad_files_leave_status_2_one_line_and_no_trace(tmp_path: Path) -> None:
    good = tmp_path / "good.csv"
    good.write_text("Pos;Name;Qty;Mass ea [g]\n1;Cover;1;9900\n2;Tray;1;29400\n", encoding="utf-8")
    assert _import(tmp_path, good).returncode == 0
    before = _run(tmp_path, "studies", "--json").stdout
    for case in BAD:
        name, write = REFUSED[case]
        done = _import(tmp_path, write(tmp_path / name))
        assert done.returncode == 2 and done.stdout == "", (case, done.stdout, done.stderr)
        told = [line for line in done.stderr.splitlines() if not line.startswith("…")]
        assert len(told) == 1 and name in told[0], (case, done.stderr)
    assert _run(tmp_path, "studies", "--json").stdout == before != ""


def test_a_missing_file_leaves_status_2_and_one_line(tmp_path: Path) -> None:
    done = _import(tmp_path, tmp_path / "nowhere.xlsx")
    assert done.returncode == 2 and done.stdout == ""
    assert len([line for line in done.stderr.splitlines() if not line.startswith("…")]) == 1, done.stderr


def test_a_bad_cell_is_told_while_the_rest_is_taken(tmp_path: Path) -> None:
    path = tmp_path / "cells.csv"
    path.write_text(
        "Pos;Name;Qty;Mass ea [g]\n1;Cover;1;1e400\n2;../../etc;1;-5\n3;Tray;1;29400\n", encoding="utf-8"
    )
    done = _import(tmp_path, path)
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    assert answer["accepted"]["items"] == 3
    assert [cell in " ".join(r["where"] for r in answer["rejected"]) for cell in ("D2", "D3")] == [True, True]
