"""Writes the demo study's two bench files: ``python tools/make_demo.py [folder]``.

Same input, same bytes: the scatter of masses belongs to the part's number, the workbook's date is
fixed. The default folder is the package's own, ``src/lidoff/demo``.
"""

from __future__ import annotations

import csv
import sys
from datetime import UTC, datetime
from pathlib import Path

import xlsxwriter  # type: ignore[import-untyped]

sys.path.insert(0, str(Path(__file__).parent))

from demo_bench.pages import Row, orchard_rows, quarry_sheets

HOME = Path(__file__).parents[1] / "src" / "lidoff" / "demo"
DATED = datetime(2026, 9, 17, 12, 30, tzinfo=UTC).replace(tzinfo=None)
WIDE = {
    "Parts": (6, 8, 44, 6, 14, 28, 22, 9, 9, 9, 8, 18, 10, 14, 60),
    "Cover": (20, 70),
    "Rig notes": (28, 40),
}


def write_workbook(sheets: dict[str, list[Row]], path: Path) -> None:
    """Plain cells, a bold title, column widths: what a bench's own template has."""
    book = xlsxwriter.Workbook(str(path))
    book.set_properties({"created": DATED, "title": "Strip record"})
    bold = book.add_format({"bold": True})
    for name, rows in sheets.items():
        page = book.add_worksheet(name)
        for number, width in enumerate(WIDE.get(name, (12, 12, 36, 8, 24, 18, 28, 12, 10, 50))):
            page.set_column(number, number, width)
        for number, row in enumerate(rows):
            for column, cell in enumerate(row):
                if cell not in (None, ""):
                    page.write(number, column, cell, bold if number == 0 else None)
    book.close()


def write_text(rows: list[Row], path: Path) -> None:
    """Semicolons and the code page of the bench's own spreadsheet, lines ending as it ends them."""
    with path.open("w", encoding="cp1252", newline="") as stream:
        csv.writer(stream, delimiter=";", lineterminator="\r\n").writerows(rows)


def main(folder: Path = HOME) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    write_workbook(quarry_sheets(), folder / "quarry.xlsx")
    write_text(orchard_rows(), folder / "orchard.csv")


if __name__ == "__main__":
    main(*(Path(argument) for argument in sys.argv[1:2]))
