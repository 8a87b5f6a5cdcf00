"""Workbooks (xlsx, xlsm, xls, xlsb, ods) as raw sheets, read by calamine behind guards.

calamine lays a sheet out densely, so a single cell in the last corner would ask for gigabytes, and a
crafted archive could unpack without end: the archive is walked first, in bounded chunks.
"""

from __future__ import annotations

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
#: A cell or row reference of six digits or more, or a column of three letters.
_FAR = re.compile(rb'r="(?:([A-Z]{3})\d|[A-Z]{0,3}(\d{6,}))')
_ROW_LIMIT_ODS = re.compile(rb"<table:table-row")


def read_workbook(path: Path, *, is_zip: bool) -> list[Sheet]:
    """All worksheets of a workbook. Raises `BenchFileError`."""
    name = path.name
    if is_zip:
        _walk(path)
    import python_calamine

    try:
        with python_calamine.load_workbook(path) as book:
            return _sheets(book, name)
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


def _sheets(book: CalamineWorkbook, name: str) -> list[Sheet]:
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


def _walk(path: Path) -> None:
    """Unpack every table part of the archive in chunks and refuse what is too large or damaged."""
    name = path.name
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
                    _walk_part(archive, member, name)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError) as error:
        raise BenchFileError(f"{name} is damaged or cut short and cannot be unpacked ({error})") from None


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


def _walk_part(archive: zipfile.ZipFile, member: zipfile.ZipInfo, name: str) -> None:
    is_sheet = member.filename.startswith("xl/worksheets/")
    is_ods = member.filename == "content.xml"
    tail, ods_rows = b"", 0
    with archive.open(member) as part:
        while chunk := part.read(_CHUNK):
            window = tail + chunk
            if is_sheet:
                _refuse_far(window, name)
            elif is_ods:
                ods_rows += len(_ROW_LIMIT_ODS.findall(window))
                if ods_rows > MAX_ROWS:
                    raise too_large(name, f"has more than {MAX_ROWS:,} rows")
            tail = chunk[-32:]


def _refuse_far(window: bytes, name: str) -> None:
    """Refuse a cell beyond the limits before anything is laid out for it."""
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
