"""The vendored fonts: as they are for HTML, unpacked in memory for PDF."""

from __future__ import annotations

import struct
import tomllib
import zlib
from base64 import b64encode
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory


@dataclass(frozen=True, slots=True, kw_only=True)
class Font:
    """One font file. ``stretch`` is in percent, as CSS and PDF name it."""

    file: str
    family: str
    weight: int
    stretch: int
    data: bytes


@cache
def fonts() -> tuple[Font, ...]:
    """The fonts listed in the manifest."""
    folder = files(__package__) / "fonts"
    manifest = tomllib.loads((folder / "MANIFEST.toml").read_text("utf-8"))
    return tuple(
        Font(
            file=entry["file"],
            family=entry["family"],
            weight=entry["weight"],
            stretch=entry["stretch"],
            data=(folder / entry["file"]).read_bytes(),
        )
        for entry in manifest["font"]
    )


def font_faces() -> str:
    """CSS rules that hold the fonts themselves."""
    return "\n".join(
        f'@font-face{{font-family:"{f.family}";font-weight:{f.weight};font-stretch:{f.stretch}%;'
        f"font-display:block;src:url(data:font/woff;base64,{b64encode(f.data).decode()}) format('woff')}}"
        for f in fonts()
    )


@cache
def font_folder() -> TemporaryDirectory[str]:
    """A folder with the fonts as TrueType, for a typesetter that reads neither WOFF nor memory.

    It is made once a process and goes with it.
    """
    folder = TemporaryDirectory(prefix="lidoff-fonts-")
    for font in fonts():
        (Path(folder.name) / font.file).with_suffix(".ttf").write_bytes(unpack(font.data))
    return folder


@cache
def covered() -> frozenset[int]:
    """Code points that the upright text font can show."""
    return characters(unpack(next(f.data for f in fonts() if f.weight == 400 and f.stretch == 100)))


# Layout of both containers: W3C, WOFF File Format 1.0 (2012), section 3, and the table directory
# of OpenType (ISO/IEC 14496-22).
_WOFF_HEAD, _WOFF_ENTRY = struct.Struct(">4sIIHHI"), struct.Struct(">4sIIII")
_WOFF_HEAD_SIZE, _SFNT_HEAD_SIZE, _ENTRY_SIZE = 44, 12, 16


def unpack(woff: bytes) -> bytes:
    """A WOFF file's tables in a plain font file. Raises ``ValueError`` for anything else."""
    signature, flavour, _, count, _, _ = _WOFF_HEAD.unpack_from(woff)
    if signature != b"wOFF":
        raise ValueError("not a WOFF file")
    tables = []
    for index in range(count):
        tag, offset, packed, length, checksum = _WOFF_ENTRY.unpack_from(
            woff, _WOFF_HEAD_SIZE + index * _WOFF_ENTRY.size
        )
        raw = woff[offset : offset + packed]
        tables.append((tag, checksum, zlib.decompress(raw) if packed < length else raw))
    power = 1 << (count.bit_length() - 1)
    search = power * _ENTRY_SIZE
    head = struct.pack(">IHHHH", flavour, count, search, count.bit_length() - 1, count * _ENTRY_SIZE - search)
    directory, body = b"", b""
    start = _SFNT_HEAD_SIZE + _ENTRY_SIZE * count
    for tag, checksum, raw in sorted(tables):
        directory += struct.pack(">4sIII", tag, checksum, start + len(body), len(raw))
        body += raw + b"\0" * (-len(raw) % 4)
    return head + directory + body


def characters(font: bytes) -> frozenset[int]:
    """Code points of the basic plane in a font's character map (``cmap`` format 4)."""
    count = struct.unpack_from(">H", font, 4)[0]
    for index in range(count):
        tag, _, table, _ = struct.unpack_from(">4sIII", font, _SFNT_HEAD_SIZE + _ENTRY_SIZE * index)
        if tag == b"cmap":
            return frozenset(_format_4(font, table))
    return frozenset()


def _format_4(font: bytes, table: int) -> set[int]:
    found: set[int] = set()
    for index in range(struct.unpack_from(">H", font, table + 2)[0]):
        start = table + struct.unpack_from(">I", font, table + 8 + 8 * index)[0]
        if struct.unpack_from(">H", font, start)[0] != 4:
            continue
        segments = struct.unpack_from(">H", font, start + 6)[0] // 2
        ends = struct.unpack_from(f">{segments}H", font, start + 14)
        starts = struct.unpack_from(f">{segments}H", font, start + 16 + 2 * segments)
        for first, last in zip(starts, ends, strict=True):
            found.update(range(first, last + 1))
    return found - {0xFFFF}
