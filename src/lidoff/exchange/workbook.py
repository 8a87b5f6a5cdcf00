"""Workbooks (xlsx, xlsm, xls, xlsb, ods) as raw sheets, read by calamine behind guards.

calamine lays a sheet out densely, so a single cell in the last corner would ask for gigabytes, and a
crafted archive could unpack without end: the archive is walked first, in bounded chunks.
"""

from __future__ import annotations

import html
import re
import zipfile
import zlib
from pathlib import Path
from typing import TYPE_CHECKING

from .sheets import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, BenchFileError, Sheet, too_large

if TYPE_CHECKING:
    from python_calamine import CalamineWorkbook

_CHUNK = 1 << 20
_MAX_UNPACKED = 600_000_000
_MAX_RATIO = 200  # XML tables pack 10 to 30 times
#: A cell or row reference of six digits or more, or a column of three letters; and what it says.
_MAY_BE_FAR = re.compile(rb'r="(?:[A-Z]{3}\d|[A-Z]{0,2}\d{6})')
_FAR = re.compile(rb'r="([A-Z]{0,3})(\d*)"')
_ERROR = re.compile(
    rb'<c r="([A-Z]{1,3})(\d{1,7})"[^>]*\bt="e"[^>]*>(?:<f[^>]*>[^<]*</f>|<f[^>]*/>)?<v>([^<]{1,20})</v>'
)
_SHEET = re.compile(rb'<sheet\b[^>]*?\bname="([^"]*)"[^>]*?\br:id="([^"]*)"')
_TARGET = re.compile(rb"<Relationship\b[^>]*>")
#: Sheet name → row, column and text of cells with a spreadsheet error, which the reader leaves blank.
Errors = dict[str, list[tuple[int, int, str]]]
_ROW_LIMIT_ODS = re.compile(rb"<table:table-row")


def read_workbook(path: Path, *, is_zip: bool) -> list[Sheet]:
    """All worksheets of a workbook. Raises `BenchFileError`."""
    name = path.name
    errors = _walk(path) if is_zip else {}
    import python_calamine

    try:
        with python_calamine.load_workbook(path) as book:
            return _sheets(book, name, errors)
    except python_calamine.PasswordError:
        raise BenchFileError(f"{name} is protected by a password; save it without one") from None
    except BenchFileError:
        raise
    except (python_calamine.CalamineError, OSError, ValueError) as error:
        said = str(error)
        if "password" in said.lower() or "encrypt" in said.lower() or _encrypted(path):
            raise BenchFileError(f"{name} is protected by a password; save it without one") from None
        if "limit exceeded" in said.lower():
            raise too_large(name, "has more cells than can be read") from None
        raise BenchFileError(f"{name} is damaged or not a workbook ({said})") from None
    except BaseException as error:  # a panic in the reader arrives as a bare BaseException
        if type(error).__name__ != "PanicException":
            raise
        raise BenchFileError(f"{name} is damaged and cannot be read as a workbook") from None


def _sheets(book: CalamineWorkbook, name: str, errors: Errors) -> list[Sheet]:
    from python_calamine import SheetTypeEnum

    sheets: list[Sheet] = []
    for meta in book.sheets_metadata:
        if meta.typ is not SheetTypeEnum.WorkSheet:
            continue
        raw = book.get_sheet_by_name(meta.name)
        start, end = raw.start, raw.end
        if start is None or end is None:
            continue
        height, width = end[0] + 1, end[1] + 1
        if height > MAX_ROWS or width > MAX_COLUMNS or height * width > MAX_CELLS:
            raise too_large(name, f"has {height:,} rows and {width:,} columns on sheet {meta.name!r}")
        rows = raw.to_python(skip_empty_area=False)
        for row, column, text in errors.get(meta.name, ()):
            if row < len(rows) and column < len(rows[row]):
                rows[row][column] = text
        sheets.append(Sheet(meta.name, rows, merged=_merged(raw)))
    if not sheets:
        raise BenchFileError(f"{name} has no cells in it")
    return sheets


def _merged(raw: object) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    ranges = getattr(raw, "merged_cell_ranges", None)
    return list(ranges) if ranges else []


def _encrypted(path: Path) -> bool:
    """Whether an OLE container holds an encrypted package (its stream names are UTF-16)."""
    with path.open("rb") as file:
        head = file.read(_CHUNK)
    return "EncryptedPackage".encode("utf-16-le") in head or "EncryptionInfo".encode("utf-16-le") in head


def _walk(path: Path) -> Errors:
    """Unpack every table part of the archive in chunks and refuse what is too large or damaged.

    Returns the cells that hold spreadsheet errors.
    """
    name = path.name
    errors: Errors = {}
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            names = {m.filename for m in members}
            if any(m.flag_bits & 1 for m in members):
                raise BenchFileError(f"{name} is protected by a password; save it without one")
            _known_package(names, name)
            unpacked = sum(m.file_size for m in members)
            packed = sum(m.compress_size for m in members)
            if unpacked > _MAX_UNPACKED or (unpacked > 50_000_000 and unpacked > _MAX_RATIO * packed):
                raise too_large(name, f"unpacks to {unpacked / 1e6:,.0f} MB")
            for member in members:
                if member.filename.endswith((".xml", ".bin", ".rels")):
                    found = _walk_part(archive, member, name)
                    if found:
                        errors[_sheet_name(archive, member.filename)] = found
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError) as error:
        raise BenchFileError(f"{name} is damaged or cut short and cannot be unpacked ({error})") from None
    return errors


def _sheet_name(archive: zipfile.ZipFile, part: str) -> str:
    """The name people see of a sheet's part in the archive, or "" where it is not told."""
    try:
        book = archive.read("xl/workbook.xml")
        links = archive.read("xl/_rels/workbook.xml.rels")
    except KeyError:
        return ""
    for link in _TARGET.findall(links):
        target, identity = re.search(rb'Target="([^"]*)"', link), re.search(rb'\bId="([^"]*)"', link)
        if target and identity and part.endswith(target.group(1).decode().lstrip("/").removeprefix("xl/")):
            for name, reference in _SHEET.findall(book):
                if reference == identity.group(1):
                    return html.unescape(name.decode("utf-8", "replace"))
    return ""


def _known_package(names: set[str], name: str) -> None:
    """Refuse archives that are no workbook."""
    if any(n.startswith("xl/") for n in names):
        return
    if "content.xml" in names:
        return
    if any(n.startswith("word/") for n in names):
        raise BenchFileError(f"{name} is a text document, not a workbook or a text table")
    if any(n.startswith("ppt/") for n in names):
        raise BenchFileError(f"{name} is a slide deck, not a workbook or a text table")
    raise BenchFileError(f"{name} is a zip archive without a workbook in it")


def _walk_part(archive: zipfile.ZipFile, member: zipfile.ZipInfo, name: str) -> list[tuple[int, int, str]]:
    """Read one part through; returns a sheet's cells with errors."""
    is_sheet = member.filename.startswith("xl/worksheets/")
    is_ods = member.filename == "content.xml"
    tail, ods_rows = b"", 0
    errors: list[tuple[int, int, str]] = []
    with archive.open(member) as part:
        while chunk := part.read(_CHUNK):
            window = tail + chunk
            if is_sheet:
                _refuse_far(window, name)
                if b't="e"' in window:
                    errors += [
                        (int(row) - 1, _column(column) - 1, html.unescape(text.decode("utf-8", "replace")))
                        for column, row, text in _ERROR.findall(window)
                    ]
            elif is_ods:
                ods_rows += len(_ROW_LIMIT_ODS.findall(window))
                if ods_rows > MAX_ROWS:
                    raise too_large(name, f"has more than {MAX_ROWS:,} rows")
            tail = chunk[-256:]
    return errors


def _refuse_far(window: bytes, name: str) -> None:
    """Refuse a cell beyond the limits before anything is laid out for it."""
    if not _MAY_BE_FAR.search(window):
        return
    for column, row in _FAR.findall(window):
        if row and int(row) > MAX_ROWS:
            raise too_large(name, f"has a row {int(row):,}")
        if column and _column(column) > MAX_COLUMNS:
            raise too_large(name, f"has a column {column.decode()}")


def _column(word: bytes) -> int:
    number = 0
    for byte in word:
        number = number * 26 + byte - 64
    return number
