"""Writing small bench files for the tests, and looking at what was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from lidoff.exchange import Imported, read_bench
from lidoff.records import Item, Pack

DATA = Path(__file__).parents[1] / "data"


def read_text(folder: Path, text: str, *, name: str = "bench.csv", encoding: str = "utf-8") -> Imported:
    path = folder / name
    path.write_bytes(text.encode(encoding))
    return read_bench(path, pack_id="p")


def read_book(
    folder: Path, sheets: Mapping[str, Sequence[Sequence[object]]], *, merged: Sequence[str] = ()
) -> Imported:
    """Write a workbook of the sheets' rows and read it; ``merged`` are ranges of the first sheet."""
    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append([None if cell == "" else cell for cell in row])
    for cells in merged:
        book.worksheets[0].merge_cells(cells)
    path = folder / "bench.xlsx"
    book.save(path)
    return read_bench(path, pack_id="p")


def by_number(pack: Pack) -> dict[str, Item]:
    return {item.number: item for item in pack.items if not item.held}


def by_name(pack: Pack) -> dict[str, Item]:
    return {item.name: item for item in pack.items if not item.held}


def tree(pack: Pack) -> dict[str, str | None]:
    """Name of every item → name of its parent."""
    names = {item.id: item.name for item in pack.items}
    return {item.name: None if item.parent is None else names[item.parent] for item in pack.items}


def masses(pack: Pack) -> dict[str, float | None]:
    """Name of every item → mass of one piece in grams, to a tenth of a milligram."""
    return {i.name: None if i.mass is None else round(i.mass.value * 1000.0, 4) for i in pack.items}


def sizes(item: Item) -> list[float | None]:
    """Length, width and third size in millimetres, to a micrometre."""
    return [
        None if r is None else round(r.value * 1000.0, 3) for r in (item.length, item.width, item.thickness)
    ]


def asked(imported: Imported) -> list[str]:
    return [f"{q.where}: {q.what}" for q in imported.pack.questions]


def rejected(imported: Imported) -> list[str]:
    return [f"{r.where}: {r.why}" for r in imported.pack.rejections]


def dry_mass(pack: Pack) -> float:
    """Sum of the leaves [kg], without coolant and held lines."""
    heads = {item.parent for item in pack.items}
    items = {item.id: item for item in pack.items}
    total = 0.0
    for item in pack.items:
        coolant = item.function is not None and item.function.means == "coolant"
        if item.id in heads or item.held or item.mass is None or coolant:
            continue
        pieces, at = 1.0, item
        while True:
            pieces *= at.quantity.value if at.quantity else 1.0
            if at.parent is None:
                break
            at = items[at.parent]
        total += pieces * item.mass.value
    return total
