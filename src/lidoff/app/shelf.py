"""A workspace's own method books: read when asked for, again when their files have changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from ..methods import Shelf, own_shelf
from ..methods.shelf import OWN_ROUTES, own_files

Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A shelf with the stamp of the files it was read from."""

    shelf: Shelf
    stamp: Stamp


def current(folder: Path, kept: Kept | None, tell: Callable[[str], None]) -> Kept:
    """The shelf of a folder: the one kept where no file has changed, else read and its faults told."""
    stamp = _stamp(folder)
    if kept is not None and kept.stamp == stamp:
        return kept
    shelf = own_shelf(folder)
    for fault in shelf.faults:
        tell(fault)
    return Kept(shelf, stamp)


def _stamp(folder: Path) -> Stamp:
    files = [*own_files(folder), *(path for path in (folder / OWN_ROUTES,) if path.is_file())]
    found = []
    for path in files:
        status = path.stat()
        found.append((str(path), status.st_size, status.st_mtime_ns))
    return tuple(found)
