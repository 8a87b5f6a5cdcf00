"""Attachments: files kept once under the hash of their content.

A file is written beside its place, synced and renamed before any transaction names it, so a name
in the database always has its content; a crash leaves at most a file that nothing names.
"""

from __future__ import annotations

import hashlib
import mimetypes
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import BinaryIO

from .faults import StoreError
from .terms import Attachment

Source = Path | bytes | BinaryIO

_CHUNK = 1 << 20
_PART = ".part"
#: A leftover of a crash is cleared after a day, when no writer can still be at it.
_LEFTOVER_AGE = 86_400.0

_TYPES = mimetypes.MimeTypes(filenames=())  # the built-in table, not this machine's
for _ending, _type in (
    (".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    (".ods", "application/vnd.oasis.opendocument.spreadsheet"),
    (".csv", "text/csv"),
    (".tsv", "text/tab-separated-values"),
    (".heic", "image/heic"),
    (".webp", "image/webp"),
):
    _TYPES.add_type(_type, _ending)


def keep(directory: Path, source: Source, name: str) -> Attachment:
    """Keep a file's content; its name is only told, never used as a path. Raises `StoreError`."""
    plain = PureWindowsPath(PurePosixPath(name).name).name
    if plain in ("", ".."):
        raise StoreError("an attachment needs a name; nothing was written")
    try:
        directory.mkdir(parents=True, exist_ok=True)
        _clear_leftovers(directory)
        digest, size = _write(directory, source)
    except OSError as fault:
        raise StoreError(f"the file {plain!r} cannot be kept: {fault.strerror or fault}") from fault
    return Attachment(
        hash=digest,
        size=size,
        media_type=_TYPES.guess_type(plain)[0] or "application/octet-stream",
        name=plain,
    )


def read(directory: Path, digest: str) -> bytes:
    """A kept file's content. Raises `StoreError` if it is not there or no longer what was kept."""
    try:
        content = _path(directory, digest).read_bytes()
    except OSError as fault:
        raise StoreError(
            f"the content of attachment {digest[:12]}… cannot be read: {fault.strerror}"
        ) from fault
    if hashlib.sha256(content).hexdigest() != digest:
        raise StoreError(f"the content of attachment {digest[:12]}… is no longer what was kept")
    return content


def _path(directory: Path, digest: str) -> Path:
    if len(digest) != 64 or set(digest) - set("0123456789abcdef"):
        raise StoreError(f"{digest[:20]!r} is not the hash of an attachment")
    return directory / digest[:2] / digest


def _write(directory: Path, source: Source) -> tuple[str, int]:
    handle, name = tempfile.mkstemp(suffix=_PART, dir=directory)
    part = Path(name)
    hasher, size = hashlib.sha256(), 0
    try:
        with os.fdopen(handle, "wb") as out:
            for chunk in _chunks(source):
                hasher.update(chunk)
                size += len(chunk)
                out.write(chunk)
            out.flush()
            os.fsync(out.fileno())
        place = _path(directory, hasher.hexdigest())
        place.parent.mkdir(exist_ok=True)
        part.replace(place)  # the same content again heals a copy that was damaged
        _sync_directory(place.parent)
        _sync_directory(directory)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return hasher.hexdigest(), size


def _chunks(source: Source) -> Iterator[bytes]:
    if isinstance(source, bytes):
        yield source
        return
    with _opened(source) as stream:
        while chunk := stream.read(_CHUNK):
            yield chunk


@contextmanager
def _opened(source: Path | BinaryIO) -> Iterator[BinaryIO]:
    if isinstance(source, Path):
        with source.open("rb") as stream:
            yield stream
    else:
        yield source


def _sync_directory(directory: Path) -> None:
    """Make a rename last; where directories cannot be opened the system sees to it."""
    with suppress(PermissionError):
        handle = os.open(directory, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _clear_leftovers(directory: Path) -> None:
    for part in directory.glob(f"*{_PART}"):
        with suppress(OSError):
            if time.time() - part.stat().st_mtime > _LEFTOVER_AGE:
                part.unlink()
