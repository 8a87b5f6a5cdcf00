"""Turns a pack's lines and notes into the rows its bench wrote, each in its own style."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from .line import Line, pieces, scatter, true_total
from .parts import read_parts

Cell = str | int | float | None
Row = list[Cell]

#: Division of the bench scale and, above its range, of the floor scale [kg].
BENCH_RANGE, BENCH_DIVISION, FLOOR_DIVISION = 6.0, 0.0001, 0.005
CRANE_DIVISION = 0.5


class Bench:
    """One pack's lines, notes and what the scales showed of them."""

    def __init__(self, pack: str) -> None:
        self.pack = pack
        self.lines: Sequence[Line] = read_parts(pack)
        self.notes: dict[str, Any] = tomllib.loads(
            (Path(__file__).parent / f"{pack}.toml").read_text(encoding="utf-8")
        )
        self._pieces = pieces(self.lines)

    def word(self, basis: str) -> str:
        """The bench's own word for a basis."""
        word: str = self.notes["words"].get(basis, basis)
        return word

    def weighed(self, coolant: Sequence[str]) -> float:
        """The crane scale's reading [kg]; ``coolant`` is the function drained before it, if any."""
        loose = sum(self.notes["unlisted"].values())
        return _step(true_total(self.lines, self.pack, leave_out=coolant) + loose, CRANE_DIVISION)

    def below(self, number: str) -> float:
        """True mass [kg] of one piece of an assembly."""
        start = next(i for i, line in enumerate(self.lines) if line.number == number)
        level, whole = self.lines[start].level, self._pieces[number]
        total = 0.0
        for line in self.lines[start + 1 :]:
            if line.level <= level:
                break
            total += line.true_mass(self.pack) * self._pieces[line.number] / whole
        return total

    def modules(self, number: str) -> list[float]:
        """Each module on the floor scale [kg]; they differ by 0.1 %, as cells do."""
        count, mass = self._pieces[number], self.below(number)
        return [
            _step(mass * (1.0 + 0.001 * scatter(self.pack, number, str(n))), FLOOR_DIVISION)
            for n in range(count)
        ]

    def mass_of_whole(self) -> float:
        """The assembly that was also weighed as it came out [kg]."""
        mass = self.below(self.notes["parts"]["whole"])
        return _step(mass, BENCH_DIVISION if mass <= BENCH_RANGE else FLOOR_DIVISION)

    def mass(self, line: Line) -> float:
        """One piece as noted [kg], rounded to the division of the scale it was put on."""
        mass = line.noted_mass(self.pack)
        return _step(mass, BENCH_DIVISION if mass <= BENCH_RANGE else FLOOR_DIVISION)


def _step(value: float, division: float) -> float:
    return round(round(value / division) * division, 6)


def _rough(value: float) -> str:
    """Two figures, as one writes an estimate."""
    return f"{float(f'{value:.2g}'):g}"


def _photos(count: int, first: int, pattern: str, span: str) -> tuple[str, int]:
    if count == 0:
        return "", first
    if count == 1:
        return pattern.format(first), first + 1
    return pattern.format(first) + span + f"{first + count - 1}", first + count


def _filled(rows: Iterable[Sequence[Cell]], values: dict[str, str]) -> list[Row]:
    def put(cell: Cell) -> Cell:
        return cell.format(**values) if isinstance(cell, str) and "{" in cell else cell

    return [[put(cell) for cell in row] for row in rows]


def _table(page: dict[str, Any]) -> list[Row]:
    note = [[page["note"]]] if "note" in page else []
    head = [list(page["headings"])] if "headings" in page else []
    return [[page["title"]], *note, *head, *(list(row) for row in page["rows"])]


def quarry_sheets() -> dict[str, list[Row]]:
    """Quarry's workbook, sheet by sheet: numbers in kilograms, small parts as "6.3 g"."""
    bench = Bench("quarry")
    notes = bench.notes
    values = {"weighed": f"{bench.weighed(('coolant',)):.1f}"}
    front = [[notes["front"]["title"]], *_filled(notes["front"]["rows"], values)]
    return {
        "Cover": front,
        "Parts": _quarry_parts(bench),
        "Fixings": _table(notes["joints"]),
        "Strip log": _table(notes["log"]),
        "From the car": _table(notes["removals"]),
        "Rig notes": _table(notes["notes"]),
    }


def _quarry_parts(bench: Bench) -> list[Row]:
    page = bench.notes["parts"]
    rows: list[Row] = [[page["title"]], [], list(page["headings"])]
    photo = page["first_photo"]
    doubled: Row = []
    for line in bench.lines:
        if line.number in page["again_before"]:
            rows += [[], list(page["headings"])]
        pictures, photo = _photos(line.photos, photo, "P{:04d}", "-")
        size = line.shape
        sizes = (size.length, size.width, size.third, size.wall) if size else (None,) * 4
        words = (line.function, bench.word(line.basis), pictures, line.remark(bench.pack))
        name = "  " * line.level + line.name
        row: Row = [line.level, line.number, name, line.off, _quarry_mass(bench, line)]
        row += [line.material, line.how, *sizes, *words]
        if line.number == "4":
            rows.append([None, None, page["module_note"].format(modules=_modules(bench, "3", "."))])
        rows.append(row)
        if line.number == page["doubled"]:
            doubled = [*row[:13], "", "not sure if listed"]
        if line.number == page["doubled_after"]:
            rows.append(doubled)
    rows += [[], [None, None, "TOTAL", None, "see cover"]]
    return rows


def _quarry_mass(bench: Bench, line: Line) -> Cell:
    if line.is_assembly or line.no_mass:
        return None
    mass = bench.mass(line)
    if line.basis == "estimated":
        return f"~{_rough(mass * 1000)} g"
    return f"{mass * 1000:.1f} g" if mass < 0.5 else mass


def _modules(bench: Bench, number: str, point: str) -> str:
    return " ".join(f"{m:.3f}".replace(".", point) for m in bench.modules(number))


def orchard_rows() -> list[Row]:
    """Orchard's file: one sheet of text, its tables under each other, decimal commas, grams."""
    bench = Bench("orchard")
    notes = bench.notes
    whole = f"{bench.mass_of_whole():.3f} kg".replace(".", ",")
    values = {"weighed": f"{bench.weighed(()):.1f}".replace(".", ","), "whole": whole}
    rows: list[Row] = [[notes["front"]["title"]], *_filled(notes["front"]["rows"], values), []]
    rows += [*_orchard_parts(bench, whole), []]
    rows += [*_table(notes["joints"]), [], *_filled(_table(notes["log"]), values), []]
    rows += [*_table(notes["removals"]), [], *_table(notes["notes"])]
    return rows


def _orchard_parts(bench: Bench, whole: str) -> list[Row]:
    page = bench.notes["parts"]
    rows: list[Row] = [[page["title"]], list(page["headings"])]
    photo = page["first_photo"]
    for line in bench.lines:
        pictures, photo = _photos(line.photos, photo, "{:03d}", "-")
        size = line.shape
        sizes = (_comma(size.length), _comma(size.width), _comma(size.third)) if size else ("", "", "")
        mass, basis = _orchard_mass(bench, line), bench.word(line.basis)
        if line.number == page["whole"]:
            mass, basis = whole, bench.word("weighed")
        if line.no_mass:
            basis = "nicht gewogen"
        row: Row = [line.number, line.name, line.off, mass, line.material, line.how, *sizes]
        row += [line.function, basis, pictures, line.remark(bench.pack)]
        if line.number == "1.4":
            rows.append(["", page["module_note"].format(modules=_modules(bench, "1.3", ","))])
        rows.append(row)
    rows.append(["", "Summe", "", "siehe oben"])
    return rows


def _comma(value: float | None) -> str:
    return "" if value is None else f"{value:g}".replace(".", ",")


def _orchard_mass(bench: Bench, line: Line) -> str:
    if line.is_assembly or line.no_mass:
        return ""
    mass = bench.mass(line)
    if line.basis == "estimated":
        return f"ca. {_rough(mass * 1000)}"
    if line.slip != 1.0:
        return f"{mass * 1000 * line.slip:.4f}".replace(".", ",")
    if mass > BENCH_RANGE:
        return f"{mass:.3f} kg".replace(".", ",")
    return f"{mass * 1000:.1f}".replace(".", ",")
