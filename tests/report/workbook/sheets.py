"""Reads workbooks cell by cell from their own XML, and spoils kept values so that none can pass unseen."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LINKS = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
#: What a kept value is spoilt with: no value of ours is this.
SPOILT = -77777.0

Value = float | str


def _parts(book: zipfile.ZipFile) -> dict[str, str]:
    """Sheet names and their files."""
    relations = ElementTree.fromstring(book.read("xl/_rels/workbook.xml.rels"))
    targets = {one.get("Id"): one.get("Target", "") for one in relations}
    sheets = ElementTree.fromstring(book.read("xl/workbook.xml")).find(f"{MAIN}sheets")
    assert sheets is not None
    return {
        sheet.get("name", ""): "xl/" + targets[sheet.get(f"{LINKS}id")].removeprefix("/xl/")
        for sheet in sheets
    }


def _shared(book: zipfile.ZipFile) -> list[str]:
    if "xl/sharedStrings.xml" not in book.namelist():
        return []
    root = ElementTree.fromstring(book.read("xl/sharedStrings.xml"))
    return ["".join(text.text or "" for text in one.iter(f"{MAIN}t")) for one in root]


def _value(cell: ElementTree.Element, shared: list[str]) -> Value:
    kept, kind = cell.findtext(f"{MAIN}v"), cell.get("t", "n")
    if kind == "inlineStr":
        return "".join(text.text or "" for text in cell.iter(f"{MAIN}t"))
    if not kept:
        return ""
    if kind == "s":
        return shared[int(kept)]
    return kept if kind in ("str", "e") else float(kept)


def cells(path: Path) -> dict[tuple[str, str], Value]:
    """Value of every cell by sheet and address; empty cells are the empty text."""
    with zipfile.ZipFile(path) as book:
        shared = _shared(book)
        return {
            (name, cell.get("r", "")): _value(cell, shared)
            for name, part in _parts(book).items()
            for cell in ElementTree.fromstring(book.read(part)).iter(f"{MAIN}c")
        }


def formulas(path: Path) -> dict[tuple[str, str], str]:
    """Text of every formula by sheet and address."""
    with zipfile.ZipFile(path) as book:
        return {
            (name, cell.get("r", "")): cell.findtext(f"{MAIN}f") or ""
            for name, part in _parts(book).items()
            for cell in ElementTree.fromstring(book.read(part)).iter(f"{MAIN}c")
            if cell.find(f"{MAIN}f") is not None
        }


_KEPT = re.compile(r"(<c [^>]*?)(?: t=\"str\")?(>\s*<f[^>]*>[^<]*</f>)\s*<v>[^<]*</v>")


def spoil(path: Path, out: Path) -> int:
    """Copy a workbook with the kept value of every formula spoilt; how many there were."""
    count = 0
    with zipfile.ZipFile(path) as book, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as copy:
        for name in book.namelist():
            data = book.read(name)
            if name.startswith("xl/worksheets/sheet"):
                text, done = _KEPT.subn(rf"\1\2<v>{SPOILT}</v>", data.decode())
                data, count = text.encode(), count + done
            copy.writestr(name, data)
    return count
