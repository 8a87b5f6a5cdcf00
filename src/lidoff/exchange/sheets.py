"""A bench file as raw sheets: rows of cells with their own types, and where each cell stands.

What the file is, is found from its first bytes, never from its name. A file that cannot be read is
refused whole with `BenchFileError`, one sentence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from pathlib import Path

Cell = str | float | int | bool | datetime | date | time | timedelta
Row = Sequence[Cell]

#: Limits of this project's own choosing: a teardown has hundreds of lines, rarely thousands.
MAX_BYTES = 200_000_000
MAX_ROWS = 200_000
MAX_COLUMNS = 1_000
MAX_CELLS = 5_000_000


class BenchFileError(ValueError):
    """A bench file that cannot be read; the message is one sentence for the user."""


@dataclass(slots=True)
class Sheet:
    """One sheet. ``rows`` start at the sheet's first row; an empty cell is "".

    ``lines`` gives each row's line in a text file, ``None`` for a workbook.
    """

    name: str
    rows: list[list[Cell]]
    lines: list[int] | None = None
    merged: list[tuple[tuple[int, int], tuple[int, int]]] = field(default_factory=list)

    @property
    def is_text(self) -> bool:
        return self.lines is not None

    def line(self, row: int) -> int:
        """The number people see for a row: its line in a text file, its row in a workbook."""
        return self.lines[row] if self.lines is not None else row + 1

    def place(self, row: int, column: int) -> str:
        """Where a cell stands, as spreadsheets write it: ``Parts!E31``."""
        return f"{self.name}!{letters(column)}{self.line(row)}"


def letters(column: int) -> str:
    """Column letters of a zero-based column: 0 → A, 27 → AB."""
    out = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        out = chr(65 + rest) + out
    return out


def too_large(name: str, what: str) -> BenchFileError:
    return BenchFileError(
        f"{name} {what}; the limit is {MAX_ROWS:,} rows, {MAX_COLUMNS:,} columns"
        f" and {MAX_CELLS:,} cells a sheet"
    )


def read_sheets(path: Path) -> list[Sheet]:
    """All sheets of a workbook, or the one sheet of a text file. Raises `BenchFileError`."""
    name = path.name
    try:
        if path.is_dir():
            raise BenchFileError(f"{name} is a folder, not a bench file")
        size = path.stat().st_size
        if size == 0:
            raise BenchFileError(f"{name} is empty")
        if size > MAX_BYTES:
            raise too_large(name, f"has {size / 1e6:.0f} MB, more than {MAX_BYTES / 1e6:.0f} MB")
        with path.open("rb") as file:
            head = file.read(4096)
    except FileNotFoundError:
        raise BenchFileError(f"{path} does not exist") from None
    except OSError as error:
        raise BenchFileError(f"{name} cannot be opened: {error.strerror or error}") from None
    kind = _foreign(head)
    if kind:
        raise BenchFileError(f"{name} is {kind}, not a workbook or a text table")
    from . import textfile, workbook

    if head.startswith((b"PK", b"\xd0\xcf\x11\xe0")):
        return workbook.read_workbook(path, is_zip=head.startswith(b"PK"))
    return textfile.read_text(path)


#: First bytes of what gets named .xlsx or .csv by mistake.
_SIGNATURES = (
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"{\\rtf", "an RTF document"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a RAR archive"),
    (b"SQLite format 3", "a database"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90", "a program"),
)


def _foreign(head: bytes) -> str:
    """What a file is when it is certainly no table, else ""."""
    for signature, kind in _SIGNATURES:
        if head.lstrip(b"\xef\xbb\xbf \r\n\t").startswith(signature):
            return kind
    low = head[:1024].lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    if low.startswith((b"<!doctype html", b"<html")):
        return "a web page"
    if low.startswith(b"<?xml"):
        return "an XML document"
    return ""
