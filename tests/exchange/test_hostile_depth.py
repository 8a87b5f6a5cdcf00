"""Cells and trees made to exhaust a reader: it reads or refuses within seconds. Behaviour tests."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

_HEAD = "Pos;Name;Qty;Mass ea [g];Size [mm];Fn;Remarks"
_GOOD = ["1;Cover;1;9900;1800 x 900 x 1.2;lid;", "2;Tray;1;29400;2000 x 1500 x 1.2;frame;"]
_SECONDS = 20  # starting python and the unit library takes two of them on a busy machine

LONG = {
    "digits": "9" * 100_000,
    "commas": "1," * 30_000,
    "points": "1." * 30_000,
    "blanks": " " * 60_000 + "1",
    "brackets": "(" * 30_000,
    "signs": "~" * 30_000 + "1",
    "by": "1 x " * 15_000,
    "ranges": "1-" * 30_000,
    "units": "1 kg " * 15_000,
    "exponents": "1e" * 30_000,
    "letters": "ab " * 30_000,
}

_PROBE = """
import sys
from pathlib import Path
from lidoff.exchange import BenchFileError, read_bench
try:
    pack = read_bench(Path(sys.argv[1]), pack_id="p").pack
    print("read", [item.name for item in pack.items if item.name in ("Cover", "Tray")], len(pack.items))
except BenchFileError as error:
    print("refused", error)
"""


def _read(path: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-c", _PROBE, str(path)],
        capture_output=True, text=True, encoding="utf-8", timeout=_SECONDS, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-600:]
    assert len(done.stdout.splitlines()) == 1, done.stdout[-600:]
    return done.stdout.strip()


@pytest.mark.parametrize("text", LONG)
def test_long_cells_in_every_column_end_in_seconds(tmp_path: Path, text: str) -> None:
    path = tmp_path / "long.csv"
    rows = []
    for column in range(7):
        cells = ["3", "Rail", "2", "500", "100 x 20 x 3", "frame", ""]
        cells[column] = LONG[text]
        rows.append(";".join(cells))
    path.write_text("\n".join([_HEAD, _GOOD[0], *rows, _GOOD[1], ""]), encoding="utf-8")
    answer = _read(path)
    assert answer.startswith(("read ['Cover', 'Tray']", "refused")), answer


def test_a_very_deep_tree_by_find_numbers_is_read_or_refused(tmp_path: Path) -> None:
    path = tmp_path / "deep.csv"
    rows = [f"{'.'.join(['1'] * depth)};Part {depth};1;10;;;" for depth in range(2, 3_000)]
    path.write_text("\n".join([_HEAD, _GOOD[0], *rows, _GOOD[1], ""]), encoding="utf-8")
    assert _read(path).startswith(("read", "refused"))


def test_a_very_deep_tree_by_indentation_is_read_or_refused(tmp_path: Path) -> None:
    path = tmp_path / "deep.csv"
    rows = [f"{' ' * depth}Part {depth};1;10" for depth in range(3_000)]
    path.write_text("\n".join(["Name;Qty;Mass ea [g]", *rows, ""]), encoding="utf-8")
    assert _read(path).startswith(("read", "refused"))


def test_very_many_columns_are_read_or_refused(tmp_path: Path) -> None:
    path = tmp_path / "wide.csv"
    path.write_text(
        "\n".join([_HEAD + ";x" * 60_000, *(row + ";" * 60_000 for row in _GOOD), ""]), encoding="utf-8"
    )
    assert _read(path).startswith(("read", "refused"))


@pytest.mark.parametrize("lines", [3_000])
def test_lines_all_alike_are_asked_about_in_seconds(tmp_path: Path, lines: int) -> None:
    path = tmp_path / "alike.csv"
    path.write_text("\n".join([_HEAD, *["1;Cover;1;9900;;lid;"] * lines, ""]), encoding="utf-8")
    assert _read(path).startswith(("read", "refused"))


def test_ids_do_not_depend_on_the_run(tmp_path: Path) -> None:
    """The interpreter salts its hashes anew at each start; ids of records and questions must not move."""
    path = tmp_path / "ids.csv"
    odd = ["3;Rail;2.5;500;;zz-3;", "4;Nut;26;11.2;;screws etc;", "4;Nut;26;11.2;;screws etc;"]
    path.write_text("\n".join([_HEAD, *_GOOD, *odd, ""]), encoding="utf-8")
    program = (
        "import sys; from pathlib import Path; from lidoff.exchange import read_bench; "
        "pack = read_bench(Path(sys.argv[1]), pack_id='p').pack; "
        "print([r.id for r in (*pack.items, *pack.questions)], [q.where for q in pack.questions])"
    )
    answers = {
        subprocess.run(
            [sys.executable, "-c", program, str(path)], env={"PYTHONHASHSEED": salt}, timeout=_SECONDS,
            capture_output=True, text=True, check=True,
        ).stdout
        for salt in ("1", "2", "3")
    }  # fmt: skip
    assert len(answers) == 1 and "q" in answers.pop()
