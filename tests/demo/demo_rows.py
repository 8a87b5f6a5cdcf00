"""Reads the demo's files with nothing of ours: openpyxl and csv, to check them from outside."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from openpyxl import load_workbook

HOME = Path(__file__).parents[2] / "src" / "lidoff" / "demo"


@dataclass(frozen=True)
class Row:
    """A line of a parts list: masses in kilograms, sizes in millimetres, ``pieces`` in the whole pack."""

    number: str
    name: str
    off: int
    pieces: int
    mass: float | None
    material: str
    how: str
    length: float | None
    width: float | None
    third: float | None
    wall: float | None
    function: str
    basis: str
    remarks: str
    leaf: bool


def quarry_table(sheet: str) -> list[list[object]]:
    book = load_workbook(HOME / "quarry.xlsx")
    return [list(row) for row in book[sheet].iter_rows(values_only=True)]


def orchard_table(title: str) -> list[list[str]]:
    """The rows under a title, down to the next empty row."""
    with (HOME / "orchard.csv").open(encoding="cp1252", newline="") as stream:
        rows = list(csv.reader(stream, delimiter=";"))
    start = next(i for i, row in enumerate(rows) if row and row[0] == title)
    end = next((i for i in range(start, len(rows)) if not rows[i]), len(rows))
    return rows[start:end]


def _number(text: object) -> float | None:
    found = re.search(r"-?\d+(?:[.,]\d+)?", str(text).replace(" ", "")) if text not in (None, "") else None
    return float(found.group().replace(",", ".")) if found else None


def _kilograms(cell: object, column: float) -> float | None:
    """A mass cell: a number in the column's unit, or with its own."""
    value = _number(cell)
    if value is None:
        return None
    text = str(cell).strip()
    return value if text.endswith("kg") else value * 1e-3 if text.endswith(" g") else value * column


def _counted(rows: list[tuple[int, list[object]]], column: float, places: tuple[int, ...]) -> list[Row]:
    """Rows with their level, and the places of number, name, off, mass … remarks in them."""
    out: list[Row] = []
    above: list[tuple[int, int]] = []
    for position, (level, cells) in enumerate(rows):
        number, name, off, mass, material, how, length, width, third, wall, function, basis, remarks = (
            cells[p] if p >= 0 else None for p in places
        )
        while above and above[-1][0] >= level:
            above.pop()
        pieces = int(str(off)) * (above[-1][1] if above else 1)
        above.append((level, pieces))
        leaf = position + 1 == len(rows) or rows[position + 1][0] <= level
        out.append(
            Row(
                str(number), str(name).strip(), int(str(off)), pieces, _kilograms(mass, column),
                str(material or ""), str(how or ""), _number(length), _number(width), _number(third),
                _number(wall), str(function or ""), str(basis or ""), str(remarks or ""), leaf,
            )
        )  # fmt: skip
    return out


def quarry_parts() -> list[Row]:
    """Every line as it stands, the doubled one too."""
    rows = [(int(r[0]), r) for r in quarry_table("Parts") if isinstance(r[0], int)]
    return _counted(rows, 1.0, (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14))


def orchard_parts() -> list[Row]:
    rows = [
        (r[0].count("."), list[object](r)) for r in orchard_table("Teile") if re.fullmatch(r"[\d.]+", r[0])
    ]
    return _counted(rows, 1e-3, (0, 1, 2, 3, 4, 5, 6, 7, 8, -1, 9, 10, 12))


def parts(pack: str) -> list[Row]:
    return quarry_parts() if pack == "quarry" else orchard_parts()
