"""A sample of the whole pipeline against a sample of the same model in a spreadsheet.

Four packs of 300 lines, made of the demo's parts. Ours: `evaluate` with 10,000 samples, from records to
figures with their intervals. The peer: LibreOffice with the exported workbook of the same study; every
sample sets all input cells again, recalculates what depends on them and reads the figures. Only a few dozen
of its samples are timed and the rest extrapolated; loading is not counted. First both are held together:
the figures of the recalculated workbook are those of the engine at nominal values.

Needs LibreOffice with its Python bridge (Debian: libreoffice-calc, python3-uno), run by the system's Python.
Run: python benchmarks/workbook.py
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from itertools import cycle
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from lidoff.app.bench import read_pack
from lidoff.demo import STORY, files
from lidoff.evaluate import evaluate
from lidoff.evaluate.tree import build
from lidoff.pictures.palette import LIGHT
from lidoff.records import Item, Pack, Study
from lidoff.report.workbook import workbook

PACKS, LINES = 4, 300
SAMPLES = 10_000
#: Samples of the spreadsheet that are timed.
TIMED = 24
RUNS = 3
#: The margin that this project asks of itself.
WANTED = 100.0
_PYTHON = "/usr/bin/python3"  # the one that the distribution's bridge belongs to


def pack_of(parts: list[Item], source: Pack, number: int) -> Pack:
    """A flat pack of so many lines, taken in turn from real ones with ids of their own."""
    taken = zip(range(LINES), cycle(parts), strict=False)
    items = tuple(
        replace(part, id=f"{number}-{n}", parent=None, position=n, number=f"{n + 1}") for n, part in taken
    )
    return replace(
        source, id=f"p{number}", name=f"Pack {number}", items=items, joints=(), steps=(), questions=()
    )


def study() -> Study:
    packs = [read_pack(one.path, pack_id=one.pack_id).pack for one in files()]
    made = []
    for number in range(PACKS):
        source = packs[number % len(packs)]
        leaves = [node.item for node in build(source).leaves if node.item.mass is not None]
        made.append(pack_of(leaves[number:] + leaves[:number], source, number + 1))
    return Study(id="four", name="Four packs", packs=tuple(made), scenario=STORY.scenario)


def inputs_of(sheet: Worksheet) -> Iterator[tuple[int, int, list[float]]]:
    """Input cells of a sheet, told by their tint, as runs down a column: column, first row, values."""
    tint = "FF" + LIGHT.fill.removeprefix("#").upper()
    for number, column in enumerate(sheet.iter_cols()):
        run: list[float] = []
        for row, cell in enumerate([*column, None]):
            is_input = (
                isinstance(cell, Cell)
                and isinstance(cell.value, int | float)
                and cell.fill.fgColor.rgb == tint
            )
            if is_input and cell is not None:
                run.append(float(cell.value))
            elif run:
                yield number, row - len(run), run
                run = []


def spreadsheet(data: bytes, folder: Path) -> dict[str, float]:
    """Seconds a sample of the spreadsheet, and its nominal piece costs."""
    file = folder / "four.xlsx"
    file.write_bytes(data)
    book = load_workbook(io.BytesIO(data))
    figures = book["Figures"]
    row = next(r for r in range(1, figures.max_row + 1) if figures.cell(r, 1).value == "Piece cost")
    formulas = sum(c.data_type == "f" for sheet in book for cells in sheet.iter_rows() for c in cells)
    runs = [(sheet.title, *run) for sheet in book for run in inputs_of(sheet)]
    task = {"file": str(file), "profile": str(folder / "profile"), "runs": runs, "timed": TIMED}
    task |= {"row": row - 1, "columns": [2 + 4 * n for n in range(PACKS)], "rows": figures.max_row}
    (folder / "task.json").write_text(json.dumps(task), "utf-8")
    script = Path(__file__).parent / "office" / "samples.py"
    done = subprocess.run(
        [_PYTHON, str(script), str(folder / "task.json")], capture_output=True, text=True, check=False
    )
    if done.returncode:
        sys.exit(f"the spreadsheet could not be driven: {done.stderr.strip().splitlines()[-1]}")
    told: dict[str, float] = json.loads(done.stdout)
    return told | {"formulas": formulas, "inputs": sum(len(run[3]) for run in runs)}


def main() -> int:
    if shutil.which("soffice") is None or not Path(_PYTHON).exists():
        print("needs LibreOffice with its Python bridge: nothing was measured", file=sys.stderr)
        return 1
    four = study()
    began = time.perf_counter()
    found = evaluate(four, samples=SAMPLES)
    cold = time.perf_counter() - began
    times = []
    for turn in range(RUNS):  # another scenario each time, so that nothing computed before is taken again
        changed = replace(four.scenario, volume=four.scenario.volume + turn + 1.0)
        began = time.perf_counter()
        evaluate(four, changed, samples=SAMPLES)
        times.append(time.perf_counter() - began)
    ours = min(times)
    lines = sum(len(pack.cost_lines) for pack in found.packs.values())
    print(f"ours: {lines} lines, {SAMPLES:,} samples, whole pipeline: {ours:.2f} s (first {cold:.2f} s)")
    data = workbook(four, found, None, datetime(2024, 1, 1, tzinfo=UTC))
    with tempfile.TemporaryDirectory() as folder:
        theirs = spreadsheet(data, Path(folder))
    for number, pack in enumerate(found.packs.values()):
        piece = pack.figures["cost_piece"].value or 0.0
        apart = abs(theirs[f"piece {number}"] - piece) / piece
        if apart > 1e-9:
            print(f"{pack.name}: the spreadsheet's piece cost is {apart:.1e} apart", file=sys.stderr)
            return 1
    print(
        f"spreadsheet: {theirs['formulas']:,.0f} formulas, {theirs['inputs']:,.0f} inputs set a sample; "
        f"{1e3 * theirs['median']:.0f} ms a sample (median of {TIMED}), of which recalculation at best "
        f"{1e3 * theirs['recalculation']:.0f} ms; {SAMPLES:,} would take "
        f"{theirs['median'] * SAMPLES / 60.0:.0f} min (extrapolated)"
    )
    each = ours / SAMPLES
    ratio = theirs["recalculation"] / each
    print(
        f"a sample of ours {1e6 * each:.0f} µs: {theirs['median'] / each:,.0f} times faster than setting and "
        f"recalculating, {ratio:,.0f} times faster than recalculating alone ({WANTED:.0f} wanted)"
    )
    return 0 if ratio >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
