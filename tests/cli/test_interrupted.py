"""Behaviour: an import that is killed, or finds the records locked, leaves nothing half-written."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

from conftest import DATA, Lidoff

LIDOFF = [sys.executable, "-c", "from lidoff.cli import main; main()"]


def started(workspace: Path, *arguments: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [*LIDOFF, *arguments],
        env={**os.environ, "LIDOFF_DATA": str(workspace)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_killed_in_the_middle(lidoff: Lidoff, tmp_path: Path) -> None:
    """Kill the second import at random moments: the first stays whole, or the second is whole."""
    workspace = tmp_path / "records"
    first = ("import", str(DATA / "heron.xlsx"), "--study", "birds", "--pack", "heron")
    second = ("import", str(DATA / "marlin.csv"), "--study", "birds", "--pack", "marlin")
    lidoff.json(*first)
    seed = random.randrange(10**6)
    draw = random.Random(seed)
    for _ in range(6):
        running = started(workspace, *second)
        time.sleep(draw.uniform(0.2, 2.5))
        running.send_signal(signal.SIGKILL)
        running.communicate()
        packs = {p: items for s in lidoff.json("studies") for p, items in [(tuple(s["packs"]), s["items"])]}
        assert packs in ({("heron",): 64}, {("heron", "marlin"): 97}), f"seed {seed}"
        with sqlite3.connect(workspace / "lidoff.db") as database:
            assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert lidoff.json(*second)["accepted"]["items"] == 33


def test_locked_records_are_told(lidoff: Lidoff, tmp_path: Path) -> None:
    lidoff.json("import", str(DATA / "heron.xlsx"), "--study", "birds", "--pack", "heron")
    blocker = sqlite3.connect(tmp_path / "records" / "lidoff.db", isolation_level=None)
    blocker.execute("BEGIN IMMEDIATE")
    try:
        said = lidoff.refused("import", str(DATA / "marlin.csv"), "--study", "birds", "--pack", "marlin")
    finally:
        blocker.execute("ROLLBACK")
        blocker.close()
    assert "another program" in said or "locked" in said or "in use" in said
    assert lidoff.json("studies")[0]["packs"] == ["heron"]


def test_a_file_that_is_no_database_is_told(lidoff: Lidoff, tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "lidoff.db").write_text("not a database, but long enough to be read as one\n" * 9)
    assert "lidoff.db" in lidoff.refused("studies")


def test_bad_file_leaves_no_workspace(lidoff: Lidoff, tmp_path: Path) -> None:
    bad = tmp_path / "report.xlsx"
    bad.write_bytes(b"%PDF-1.7 pretending")
    assert "report.xlsx" in lidoff.refused("import", str(bad), "--study", "s", "--pack", "p")
    assert not (tmp_path / "records").exists()
