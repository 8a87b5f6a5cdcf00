"""Study bundle: a study whole in one file, to send, keep or open elsewhere.

An open format: a ZIP archive of JSON records (one file a pack, fields as `records` names them), the
attachments under the hash of their content, the user's own method books, prices and routes, and a
manifest with the version and the SHA-256 of every file. The same study gives the same bytes.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import zipfile
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from ..records import Pack, Study
from ..store.faults import StoreError
from ..store.plain import from_plain, to_plain

FORMAT = "lidoff study bundle"
VERSION = 1
MANIFEST, STUDY = "manifest.json", "study.json"
OWN = ("prices.toml", "routes.toml")

#: Limits against archives made to do harm, not against studies: bytes unpacked, files, and bytes unpacked per
#: byte packed.
LARGEST, MOST_FILES, DENSEST = 2_000_000_000, 20_000, 1_000
_ALWAYS = 20_000_000  # bytes unpacked that no density makes suspect
_STAMP = (1980, 1, 1, 0, 0, 0)  # the earliest a ZIP can hold: content alone decides its bytes
_BOOK = re.compile(r"books(?:/[\w+ -][\w.+ -]*)+\.toml")
_PATHS = (
    re.compile(r"manifest\.json|study\.json|prices\.toml|routes\.toml"),
    re.compile(r"packs/\d{3,6}\.json"),
    re.compile(r"attachments/[0-9a-f]{64}"),
    _BOOK,
)


class BundleError(ValueError):
    """A bundle that cannot be used; one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BundledFile:
    """An attachment: its name, the packs (ids) whose saves rest on it, and its content."""

    name: str
    packs: tuple[str, ...]
    content: bytes = field(repr=False)

    @property
    def hash(self) -> str:
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """What a bundle holds. ``own`` are the user's own files by path: books, prices, routes."""

    study: Study
    attachments: tuple[BundledFile, ...] = ()
    own: Mapping[str, bytes] = field(default_factory=dict)


def write_bundle(bundle: Bundle) -> bytes:
    """The bundle's bytes, the same for the same content. Raises `BundleError`."""
    files = _files(bundle)
    for path in files:
        _checked_path(path)
    manifest = {
        "format": FORMAT,
        "version": VERSION,
        "study": {"id": bundle.study.id, "name": bundle.study.name},
        "files": [
            {"path": path, "size": len(content), "sha256": hashlib.sha256(content).hexdigest()}
            for path, content in sorted(files.items())
        ],
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for path, content in ((MANIFEST, _json(manifest)), *sorted(files.items())):
            info = zipfile.ZipInfo(path, date_time=_STAMP)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o644 << 16
            archive.writestr(info, content)
    return out.getvalue()


def _files(bundle: Bundle) -> dict[str, bytes]:
    head = to_plain(replace(bundle.study, packs=(), revision=0))
    head["packs"] = [pack.id for pack in bundle.study.packs]
    head["attachments"] = [
        {"hash": one.hash, "name": one.name, "packs": list(one.packs)} for one in bundle.attachments
    ]
    files = {STUDY: _json(head)}
    for number, pack in enumerate(bundle.study.packs, start=1):
        files[f"packs/{number:03}.json"] = _json(to_plain(pack))
    files |= {f"attachments/{one.hash}": one.content for one in bundle.attachments}
    return {**files, **bundle.own}


def _json(data: Any) -> bytes:
    try:
        return (
            json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1, sort_keys=True).encode() + b"\n"
        )
    except (TypeError, ValueError) as error:
        raise BundleError(f"The study cannot be written as JSON: {error}.") from error


def read_bundle(path: Path) -> Bundle:
    """Read a bundle whole, checked against its manifest. Raises `BundleError`; nothing is written."""
    try:
        with zipfile.ZipFile(path) as archive:
            files = _unpacked(path, archive)
    except (OSError, zipfile.BadZipFile, zipfile.LargeZipFile, NotImplementedError, EOFError) as error:
        raise BundleError(f"{path.name} is not a study bundle or is damaged: {_told(error)}.") from error
    except BundleError:
        raise
    except (RuntimeError, ValueError, zlib.error) as error:
        raise BundleError(f"{path.name} is damaged: {_told(error)}.") from error
    return _bundle(path.name, files)


def _told(error: Exception) -> str:
    return " ".join(str(getattr(error, "strerror", None) or error).split())[:160].rstrip(".")


def _unpacked(path: Path, archive: zipfile.ZipFile) -> dict[str, bytes]:
    entries = archive.infolist()
    if len(entries) > MOST_FILES:
        raise BundleError(f"{path.name} holds {len(entries)} files, more than {MOST_FILES}.")
    if len({entry.filename for entry in entries}) != len(entries):
        raise BundleError(f"{path.name} holds a file twice.")
    unpacked, packed = sum(e.file_size for e in entries), sum(e.compress_size for e in entries)
    if unpacked > LARGEST or (unpacked > _ALWAYS and unpacked > DENSEST * max(packed, 1)):
        raise BundleError(f"{path.name} would unpack to {unpacked / 1e6:.0f} MB, which no study does.")
    files: dict[str, bytes] = {}
    for entry in entries:
        _checked_path(entry.filename, path.name)
        with archive.open(entry) as stream:
            content = stream.read(entry.file_size + 1)  # never more than it said, whatever it holds
        if len(content) != entry.file_size:
            raise BundleError(f"{path.name} is damaged: {entry.filename} has not the size it states.")
        files[entry.filename] = content
    return files


def _checked_path(path: str, bundle: str = "The bundle") -> None:
    if not any(pattern.fullmatch(path) for pattern in _PATHS):
        raise BundleError(f"{bundle} holds {path[:80]!r}, which no study bundle does.")


def _bundle(name: str, files: dict[str, bytes]) -> Bundle:
    manifest = _read_json(name, files, MANIFEST)
    if manifest.get("format") != FORMAT:
        raise BundleError(f"{name} is not a study bundle.")
    version = manifest.get("version")
    if not isinstance(version, int) or version > VERSION:
        raise BundleError(f"{name} is of version {version!r}; this program reads up to {VERSION}: update it.")
    _agree(name, manifest.get("files"), files)
    head = _read_json(name, files, STUDY)
    try:
        packs = tuple(
            _pack(name, files, number, identity) for number, identity in enumerate(head["packs"], 1)
        )
        study = replace(from_plain(Study, {k: v for k, v in head.items() if k != "packs"}), packs=packs)
        attachments = tuple(
            BundledFile(
                name=str(raw["name"]),
                packs=tuple(map(str, raw["packs"])),
                content=files[f"attachments/{raw['hash']}"],
            )
            for raw in head.get("attachments", ())
        )
    except BundleError:
        raise
    except (KeyError, TypeError, ValueError, AttributeError, AssertionError, StoreError) as error:
        raise BundleError(f"{name}: its records cannot be read: {_told(error)}.") from error
    own = {path: content for path, content in files.items() if path in OWN or _BOOK.fullmatch(path)}
    return Bundle(study=study, attachments=attachments, own=own)


def _pack(name: str, files: Mapping[str, bytes], number: int, identity: str) -> Pack:
    pack = from_plain(Pack, _read_json(name, files, f"packs/{number:03}.json"))
    if pack.id != identity:
        raise BundleError(f"{name}: pack {number} is {pack.id!r}, but the study names {identity!r}.")
    return pack


def _agree(name: str, stated: Any, files: Mapping[str, bytes]) -> None:
    """Every file is as the manifest says, and none is missing or beside it."""
    if not isinstance(stated, Sequence) or not all(isinstance(entry, dict) for entry in stated):
        raise BundleError(f"{name} is damaged: its manifest lists no files.")
    hashes = {str(entry.get("path")): entry.get("sha256") for entry in stated}
    odd = sorted(hashes.keys() ^ (files.keys() - {MANIFEST}))
    if odd:
        where = "is missing" if odd[0] in hashes else "is not in its manifest"
        raise BundleError(f"{name} is damaged: {odd[0]} {where}.")
    for path, wanted in hashes.items():
        if hashlib.sha256(files[path]).hexdigest() != wanted:
            raise BundleError(f"{name} is damaged: {path} is not what its manifest says.")


def _read_json(name: str, files: Mapping[str, bytes], path: str) -> dict[str, Any]:
    if path not in files:
        raise BundleError(f"{name} is not a study bundle: it has no {path}.")
    try:
        data = json.loads(files[path].decode("utf-8"))
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        raise BundleError(f"{name} is damaged: {path} is not JSON.") from error
    if not isinstance(data, dict):
        raise BundleError(f"{name} is damaged: {path} is not a record.")
    return data
