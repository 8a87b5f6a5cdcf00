"""Damaged, locked and oversized containers."""

from __future__ import annotations

import struct
import zipfile
from pathlib import Path

import openpyxl
import xlwt

#: Compound file (MS-CFB, version 3): sector marks and sizes from its chapters 2.1 to 2.6.
_FREE, _END, _FAT = 0xFFFFFFFF, 0xFFFFFFFE, 0xFFFFFFFD
_SECTOR = 512
_NONE = 0xFFFFFFFF

_NAMESPACE = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def locked_xlsx(path: Path) -> Path:
    """A password-protected workbook: a compound file with EncryptionInfo and EncryptedPackage.

    Both streams are 4,096 bytes long, so that they lie in whole sectors and need no mini stream.
    """
    sectors = 8
    info = struct.pack("<HHI", 4, 4, 0x40) + b'<?xml version="1.0" encoding="UTF-8"?><encryption/>'
    package = struct.pack("<Q", 4000) + bytes(range(256)) * 15
    fat = [_FAT, _END]
    for first in (2, 2 + sectors):
        fat += [*range(first + 1, first + sectors), _END]
    fat += [_FREE] * (_SECTOR // 4 - len(fat))
    header = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16)
    header += struct.pack("<HHHHH6x", 0x3E, 3, 0xFFFE, 9, 6)
    header += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, _END, 0, _END, 0)
    header += struct.pack("<109I", 0, *[_FREE] * 108)
    entries = [
        _entry("Root Entry", 5, child=1, start=_END, size=0),
        _entry("EncryptionInfo", 2, right=2, start=2, size=4096),
        _entry("EncryptedPackage", 2, start=2 + sectors, size=4096),
        _entry("", 0, start=0, size=0),
    ]
    body = struct.pack(f"<{_SECTOR // 4}I", *fat) + b"".join(entries)
    body += info.ljust(4096, b"\0") + package.ljust(4096, b"\0")
    path.write_bytes(header + body)
    return path


def _entry(name: str, kind: int, *, start: int, size: int, child: int = _NONE, right: int = _NONE) -> bytes:
    text = name.encode("utf-16-le") + b"\0\0" if name else b""
    head = text.ljust(64, b"\0") + struct.pack("<HBB", len(text), kind, 1)
    return head + struct.pack("<III", _NONE, right, child) + bytes(36) + struct.pack("<IQ", start, size)


def small_book(path: Path) -> Path:
    book = openpyxl.Workbook()
    for row in (
        ["Pos", "Name", "Qty", "Mass ea [g]"],
        *([str(n), f"Part {n}", 1, 100.0 + n] for n in range(1, 400)),
    ):
        book.active.append(row)
    book.save(path)
    return path


def locked_xls(path: Path) -> Path:
    """An old workbook whose stream says that it is enciphered (record FILEPASS, number 0x2F)."""
    book = xlwt.Workbook()
    book.add_sheet("Parts").write(0, 0, "Name")
    book.save(str(path))
    data = bytearray(path.read_bytes())
    begin = data.index(struct.pack("<HHH", 0x0809, 16, 0x0600))  # the first record of the stream
    at = begin
    while struct.unpack_from("<H", data, at)[0] != 0x5C:  # the user's name, which nothing needs
        at += 4 + struct.unpack_from("<H", data, at + 2)[0]
    struct.pack_into("<H", data, at, 0x2F)
    path.write_bytes(data)
    return path


def cut_short(path: Path, *, share: float) -> Path:
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    return path


def flipped(path: Path, *, share: float) -> Path:
    """Forty bytes overwritten in the middle, as a bad disk leaves them."""
    data = bytearray(path.read_bytes())
    at = int(len(data) * share)
    data[at : at + 40] = b"\xa5" * 40
    path.write_bytes(data)
    return path


def zip_of_something_else(path: Path) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("holiday.txt", "not a workbook")
    return path


def _book_of_xml(path: Path, sheet: bytes) -> Path:
    """The least that is a workbook, around one sheet's text."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        archive.writestr(
            "[Content_Types].xml",
            f'<Types xmlns="{package}/content-types">'
            '<Default Extension="rels" '
            'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>'
            f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/></Types>',
        )
        archive.writestr(
            "_rels/.rels",
            f'<Relationships xmlns="{package}/relationships"><Relationship Id="r1" '
            f'Type="{office}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        )
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{_NAMESPACE}" xmlns:r="{office}"><sheets>'
            '<sheet name="Parts" sheetId="1" r:id="r1"/></sheets></workbook>',
        )
        archive.writestr(
            "xl/_rels/workbook.xml.rels",
            f'<Relationships xmlns="{package}/relationships"><Relationship Id="r1" '
            f'Type="{office}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>',
        )
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
    return path


def _row(number: int, *cells: str) -> str:
    inside = "".join(
        f'<c r="{chr(65 + at)}{number}" t="inlineStr"><is><t>{text}</t></is></c>'
        for at, text in enumerate(cells)
    )
    return f'<row r="{number}">{inside}</row>'


def bomb(path: Path) -> Path:
    """A workbook of some hundred kilobytes that unpacks to 150 MB of one row after another."""
    head = f'<worksheet xmlns="{_NAMESPACE}"><sheetData>' + _row(1, "Pos", "Name", "Qty", "Mass ea [g]")
    body = (
        '<row><c t="inlineStr"><is><t>Part</t></is></c><c><v>1</v></c><c><v>100</v></c><c><v>1</v></c></row>'
    )
    return _book_of_xml(path, head.encode() + body.encode() * 1_500_000 + b"</sheetData></worksheet>")


def far_cell(path: Path) -> Path:
    """Three lines of parts and one stray blank in the very last cell that a sheet can have."""
    rows = (
        _row(1, "Pos", "Name", "Qty", "Mass ea [g]")
        + _row(2, "1", "Cover", "1", "100")
        + _row(3, "2", "Tray", "1", "900")
    )
    stray = '<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t> </t></is></c></row>'
    text = f'<worksheet xmlns="{_NAMESPACE}"><sheetData>{rows}{stray}</sheetData></worksheet>'
    return _book_of_xml(path, text.encode())


def laughing(path: Path) -> Path:
    """Entities within entities, which a careless reader of XML unfolds without end."""
    entities = '<!ENTITY a0 "ha">' + "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))
    rows = _row(1, "Pos", "Name", "Qty", "Mass ea [g]") + _row(2, "1", "&a9;", "1", "100")
    head = f'<?xml version="1.0"?><!DOCTYPE worksheet [{entities}]><worksheet xmlns="{_NAMESPACE}">'
    text = f"{head}<sheetData>{rows}</sheetData></worksheet>"
    return _book_of_xml(path, text.encode())


def million_rows(path: Path) -> Path:
    with path.open("w", encoding="utf-8") as file:
        file.write("Pos;Name;Qty;Mass ea [g]\n")
        for start in range(1, 1_000_001, 10_000):
            file.writelines(f"{n};Part {n};1;{n % 977}\n" for n in range(start, start + 10_000))
    return path
