"""Reading a 10,000-row workbook with mapping, against openpyxl's bare read of the same file.

Prints both times (the best of five) and their ratio; the aim is 5 or more. Exit status 1 below it.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROWS = 10_000
RUNS = 5
AIM = 5.0
HEADINGS = (
    "Lvl", "Find no.", "Description", "Qty", "Mass ea [g]", "Material", "How made",
    "L [mm]", "W [mm]", "T/H [mm]", "Fn", "Basis", "Photo", "Remarks",
)  # fmt: skip
_MATERIALS = ("steel 8.8", "Al extr.", "PA66 FR (marked)", "Cu", "bought-in", "EPDM")
_FUNCTIONS = ("frame", "screws etc", "bus bars", "cooling", "lid", "BMS + LV")


def write_workbook(path: Path, rows: int = ROWS) -> None:
    """A parts list of ``rows`` lines in groups of fifty under as many assemblies."""
    import xlsxwriter

    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Parts")
    sheet.write(0, 0, "parts 6 kg / 0.1 g; 60 kg / 5 g")
    sheet.write_row(2, 0, HEADINGS)
    sheet.write_row(3, 0, (0, "1", "Pack, complete", 1))
    for n in range(rows - 1):
        group, at = n // 50 + 1, n % 50
        row: tuple[object, ...]
        if at == 0:
            row = (1, f"1.{group}", f"  Assembly {group}", 1, "", "", "", 400 + group % 900, 200, 40, "frame")
        else:
            row = (
                2, f"1.{group}.{at}", f"    Part {group}-{at}", 1 + n % 7, round(5.0 + n * 0.37, 2),
                _MATERIALS[n % 6], "stamped", 100 + n % 300, 50 + n % 77, 1.2 + (n % 9) / 10.0,
                _FUNCTIONS[n % 6], "scale", f"IMG_{1000 + n}", "note" if n % 5 == 0 else "",
            )  # fmt: skip
        sheet.write_row(n + 4, 0, row)
    book.close()


def bare_read(path: Path) -> int:
    """Every cell by openpyxl, without using it."""
    import openpyxl

    count = 0
    for sheet in openpyxl.load_workbook(path):
        for row in sheet.iter_rows(values_only=True):
            count += len(row)
    return count


def mapped_read(path: Path) -> int:
    """The whole import: cells, tables, words, units, tree, records."""
    from lidoff.exchange import read_bench

    return len(read_bench(path, pack_id="benchmark").pack.items)


def timed(action: Callable[[Path], int], path: Path) -> tuple[float, int]:
    """How long an action takes [s], and what it returned."""
    start = time.perf_counter()
    result = action(path)
    return time.perf_counter() - start, result


def main() -> int:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.xlsx"
        write_workbook(path)
        # Turn about, so that a busy machine slows both.
        runs = [(timed(bare_read, path), timed(mapped_read, path)) for _ in range(RUNS)]
    peer, cells = min(peer for peer, _ in runs)
    ours, items = min(ours for _, ours in runs)
    ratio = peer / ours
    print(f"openpyxl, bare read of {cells:,} cells   {peer:7.3f} s")
    print(f"lidoff, {items:,} items mapped         {ours:7.3f} s")
    print(f"ratio {ratio:.2f}, aim {AIM:g}")
    return 0 if ratio >= AIM else 1


if __name__ == "__main__":
    sys.exit(main())
