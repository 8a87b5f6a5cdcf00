"""A study out to one file and back in, with its attachments and the user's own books."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ..exchange import Bundle, BundledFile, BundleError, read_bundle, write_bundle
from ..exchange.bundle import OWN
from ..methods.shelf import own_files
from ..records import Study
from ..store import StoreError
from .errors import NothingToDo, UserError
from .names import checked_name

if TYPE_CHECKING:
    from .workspace import Workspace


def export(desk: Workspace, name: str, out: Path) -> Path:
    """Write a study to a bundle. Raises `UserError` and leaves no half file."""
    study = desk.study(name)
    try:
        content = write_bundle(
            Bundle(study=study, attachments=_attachments(desk, study), own=_own(desk.folder))
        )
        _write(out, content)
    except (BundleError, StoreError) as error:
        raise UserError(str(error)) from error
    except OSError as error:
        raise UserError(f"{out} cannot be written: {error.strerror or error}.") from error
    return out


def _attachments(desk: Workspace, study: Study) -> tuple[BundledFile, ...]:
    names: dict[str, str] = {}
    packs: dict[str, list[str]] = {}
    for pack in study.packs:
        for kept in desk.store.attachments(study.id, pack.id):
            names[kept.hash] = kept.name
            packs.setdefault(kept.hash, []).append(pack.id)
    read = desk.store.read_attachment
    return tuple(
        BundledFile(name=names[digest], packs=tuple(packs[digest]), content=read(digest))
        for digest in sorted(names)
    )


def _own(folder: Path) -> dict[str, bytes]:
    """The user's own books, prices and routes, whether they are in order or not."""
    files = [*own_files(folder), *(folder / name for name in OWN if (folder / name).is_file())]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def open_bundle(desk: Workspace, path: Path, *, name: str | None = None, instead: bool = False) -> Study:
    """Put a bundle's study into the workspace, under another ``name`` where given.

    A study there already is replaced only where ``instead`` says so. The user's own files in the bundle
    join those of the workspace; one that differs from the file there is refused. One transaction;
    raises `UserError` and writes nothing where something does not fit, `NothingToDo` where all is there.
    """
    try:
        bundle = read_bundle(path)
    except BundleError as error:
        raise UserError(str(error)) from error
    study = bundle.study
    if name is not None:
        tidy = checked_name("study", name)
        study = replace(study, id=tidy, name=tidy)
    there = next((s for s in desk.studies() if s.id == study.id), None)
    new = _new_files(desk.folder, bundle.own)
    if there is not None and not instead:
        if not new and replace(desk.study(study.id), revision=0) == replace(study, revision=0):
            raise NothingToDo(f"Study {study.id!r} is in the workspace as it is in {path.name}.")
        raise UserError(
            f"There is a study {study.id!r} already: give it another name (--as) or replace it (--replace)."
        )
    _keep(desk, study, bundle, new, path.name)
    return desk.study(study.id)


def _new_files(folder: Path, own: Mapping[str, bytes]) -> dict[Path, bytes]:
    """Files to write; those the workspace has already are the same or refused."""
    new = {}
    for path, content in own.items():
        place = folder / path
        if not place.exists():
            new[place] = content
        elif not place.is_file() or place.read_bytes() != content:
            raise UserError(f"The workspace has another {path}: move it away, or open in another workspace.")
    return new


def _keep(desk: Workspace, study: Study, bundle: Bundle, new: Mapping[Path, bytes], name: str) -> None:
    written: list[Path] = []
    try:
        ids = {pack.id for pack in study.packs}
        files = [
            (pack, desk.store.attach(one.content, name=one.name))
            for one in bundle.attachments
            for pack in one.packs
            if pack in ids
        ]
        for place, content in new.items():
            place.parent.mkdir(parents=True, exist_ok=True)
            _write(place, content)
            written.append(place)
        desk.store.save_study(study, who=desk.who, summary=f"opened {name}", files=files)
    except (StoreError, OSError) as error:
        for place in written:
            with suppress(OSError):
                place.unlink()
        raise UserError(f"{name} could not be opened: {error}") from error


def _write(place: Path, content: bytes) -> None:
    """Whole or not at all: beside its place, then renamed."""
    part = place.with_name(f".{place.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        part.replace(place)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
