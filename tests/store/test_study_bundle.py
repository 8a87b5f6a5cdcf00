"""Study bundles: what goes out comes back exactly; what is damaged, newer or made to harm is refused."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from store_samples import a_pack, studies

from lidoff.exchange import Bundle, BundledFile, BundleError, read_bundle, write_bundle
from lidoff.records import Study

STUDY = Study(id="birds", name="Birds", packs=(a_pack(2), a_pack(3, identity="marlin")))
FILE = BundledFile(name="bench.csv", packs=("heron",), content=b"a;b\n")
OWN = {"books/cost/mine.toml": b"title = 'x'\n", "prices.toml": b"", "routes.toml": b"[processes]\n"}
BARE = b'{"format": "lidoff study bundle", "version": 1}'
WHOLE = Bundle(study=STUDY, attachments=(FILE,), own=OWN)


def read(content: bytes, folder: Path) -> Bundle:
    file = folder / "sent.zip"
    file.write_bytes(content)
    return read_bundle(file)


def refused(content: bytes, folder: Path) -> str:
    with pytest.raises(BundleError) as told:
        read(content, folder)
    text = str(told.value)
    assert "\n" not in text and text.startswith("sent.zip") and text.endswith(".")
    return text


def rewritten(change: Callable[[dict[str, bytes]], None], content: bytes | None = None) -> bytes:
    """The bundle with its files changed, its manifest as it was."""
    files: dict[str, bytes] = {}
    with zipfile.ZipFile(io.BytesIO(content or write_bundle(WHOLE))) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


def test_what_goes_out_comes_back(tmp_path: Path) -> None:
    assert read(write_bundle(WHOLE), tmp_path) == WHOLE


@given(study=studies("birds"))
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_study_comes_back_exactly(study: Study, tmp_path_factory: pytest.TempPathFactory) -> None:
    bundle = Bundle(study=replace(study, revision=0))
    try:
        content = write_bundle(bundle)
    except BundleError:  # half a letter pair, which no text file can hold
        return
    assert read(content, tmp_path_factory.mktemp("sent")) == bundle
    assert write_bundle(bundle) == content


def test_the_same_study_gives_the_same_bytes_whatever_its_revision() -> None:
    assert write_bundle(WHOLE) == write_bundle(replace(WHOLE, study=replace(STUDY, revision=7)))


def test_the_format_is_open(tmp_path: Path) -> None:
    """Any tool reads it: names and values of the records stand in JSON."""
    with zipfile.ZipFile(io.BytesIO(write_bundle(WHOLE))) as archive:
        manifest = json.loads(archive.read("manifest.json"))
        assert (manifest["format"], manifest["version"]) == ("lidoff study bundle", 1)
        assert {entry["path"] for entry in manifest["files"]} == set(archive.namelist()) - {"manifest.json"}
        assert json.loads(archive.read("packs/001.json"))["items"][0]["name"] == "bracket 1.1"


def damage(path: str, data: bytes) -> bytes:
    return rewritten(lambda files: files.update({path: data}))


def newer(files: dict[str, bytes]) -> None:
    files["manifest.json"] = files["manifest.json"].replace(b'"version": 1', b'"version": 2')


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (lambda: b"", "is not a study bundle or is damaged"),
        (lambda: b"PK\x03\x04 nothing", "is not a study bundle or is damaged"),
        (lambda: write_bundle(WHOLE)[:-200], "is not a study bundle or is damaged"),
        (lambda: rewritten(newer), "is of version 2; this program reads up to 1: update it"),
        (lambda: damage("study.json", b"{}"), "study.json is not what its manifest says"),
        (lambda: damage("packs/002.json", b"[]"), "packs/002.json is not what its manifest says"),
        (lambda: damage("books/more.toml", b""), "books/more.toml is not in its manifest"),
        (lambda: rewritten(lambda files: files.pop("prices.toml") and None), "prices.toml is missing"),
        (lambda: rewritten(lambda files: files.pop("manifest.json") and None), "it has no manifest.json"),
        (lambda: damage("manifest.json", b"no"), "manifest.json is not JSON"),
        (lambda: damage("manifest.json", b"[" * 100_000), "manifest.json is not JSON"),
        (
            lambda: damage("manifest.json", b'{"format": "lidoff study bundle", "version": 1}'),
            "lists no files",
        ),
        (lambda: damage("manifest.json", b'{"format": "other"}'), "is not a study bundle"),
    ],
)
def test_what_is_damaged_or_newer_is_refused(content: Callable[[], bytes], says: str, tmp_path: Path) -> None:
    assert says in refused(content(), tmp_path)


@pytest.mark.parametrize(
    "path",
    [
        "../evil.toml", "books/../../evil.toml", "/etc/passwd", "books/.hidden.toml", "books\\evil.toml",
        "C:/evil.toml", "books/a.py", "books//a.toml", "attachments/short", "lidoff.db", "books/a.toml/",
    ],
)  # fmt: skip
def test_paths_that_lead_elsewhere_are_refused(path: str, tmp_path: Path) -> None:
    assert "which no study bundle does" in refused(damage(path, b"x"), tmp_path)


def test_what_unpacks_to_far_too_much_is_refused(tmp_path: Path) -> None:
    bomb = damage("attachments/" + "0" * 64, b"\0" * 60_000_000)
    assert len(bomb) < 200_000
    assert "which no study does" in refused(bomb, tmp_path)


def test_every_slip_of_a_byte_is_noticed_or_harmless(tmp_path: Path) -> None:
    """Whatever single byte is flipped, a bundle reads as it was or is refused."""
    content = write_bundle(WHOLE)
    for place in range(0, len(content), 37):
        broken = bytearray(content)
        broken[place] ^= 0x41
        try:
            assert read(bytes(broken), tmp_path) == WHOLE
        except BundleError as error:
            assert "\n" not in str(error)


def test_records_that_cannot_be_read_are_refused(tmp_path: Path) -> None:
    import hashlib

    def slip(files: dict[str, bytes]) -> None:
        files["packs/001.json"] = files["packs/001.json"].replace(b'"weighed"', b'"guessed at"')
        manifest = json.loads(files["manifest.json"])
        for entry in manifest["files"]:
            entry["sha256"] = hashlib.sha256(files[entry["path"]]).hexdigest()
        files["manifest.json"] = json.dumps(manifest).encode()

    assert "its records cannot be read" in refused(rewritten(slip), tmp_path)


def test_what_no_bundle_may_hold_is_not_written() -> None:
    with pytest.raises(BundleError, match="which no study bundle does"):
        write_bundle(replace(WHOLE, own={"../prices.toml": b""}))
