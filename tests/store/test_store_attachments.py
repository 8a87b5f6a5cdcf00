"""Behaviour: files are kept once, under the hash of their content, and checked when read."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from store_samples import a_pack

from lidoff.store import Attachment, Store, StoreError

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def kept_files(workspace: Path) -> list[Path]:
    return [path for path in (workspace / "attachments").rglob("*") if path.is_file()]


def test_bytes_stream_and_path_are_one(store: Store, workspace: Path, tmp_path: Path) -> None:
    (tmp_path / "abc.csv").write_bytes(b"abc")
    with (tmp_path / "abc.csv").open("rb") as stream:
        kept = [
            store.attach(s, "abc.csv") for s in (b"abc", stream, tmp_path / "abc.csv", io.BytesIO(b"abc"))
        ]
    assert set(kept) == {Attachment(hash=ABC, size=3, media_type="text/csv", name="abc.csv")}
    assert [path.name for path in kept_files(workspace)] == [ABC]
    assert store.read_attachment(ABC) == b"abc"


def test_the_first_name_stands(store: Store) -> None:
    store.attach(b"abc", "first.txt")
    assert store.attach(b"abc", "second.csv").name == "first.txt"


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("../../etc/passwd", "passwd"),
        ("C:\\bench\\heron.xlsx", "heron.xlsx"),
        ('it\'s "so".jpg', 'it\'s "so".jpg'),
    ],
)
def test_a_name_is_never_a_path(store: Store, workspace: Path, name: str, plain: str) -> None:
    assert store.attach(b"abc", name).name == plain
    assert [path.name for path in kept_files(workspace)] == [ABC]


@pytest.mark.parametrize("name", ["", "/", "a/.."])
def test_a_file_needs_a_name(store: Store, name: str) -> None:
    with pytest.raises(StoreError, match="an attachment needs a name"):
        store.attach(b"abc", name)


def test_damage_is_told_and_healed(store: Store, workspace: Path) -> None:
    store.attach(b"abc", "abc.txt")
    (path,) = kept_files(workspace)
    path.write_bytes(b"abd")
    with pytest.raises(StoreError, match=r"attachment ba7816bf8f01… is no longer what was kept"):
        store.read_attachment(ABC)
    store.attach(b"abc", "abc.txt")
    assert store.read_attachment(ABC) == b"abc"
    path.unlink()
    with pytest.raises(StoreError, match=r"attachment ba7816bf8f01… cannot be read: No such file"):
        store.read_attachment(ABC)


@pytest.mark.parametrize("digest", ["../lidoff.db", "", "A" * 64, ABC[:-1] + "/"])
def test_only_a_hash_is_read(store: Store, digest: str) -> None:
    with pytest.raises(StoreError, match="is not the hash of an attachment"):
        store.read_attachment(digest)


def test_a_save_names_its_files(store: Store) -> None:
    bench, photo = store.attach(b"1", "heron.xlsx"), store.attach(b"2", "lid.jpg")
    pack = a_pack(1)
    assert store.save_pack("s", pack, who="Jo", summary="", files=[bench], make_study=True) == 1
    assert store.save_pack("s", pack, who="Jo", summary="", files=[bench]) == 1  # nothing new
    assert store.save_pack("s", pack, who="Jo", summary="", files=[photo, photo]) == 2
    assert store.attachments("s") == store.attachments("s", "heron") == (bench, photo)
    assert store.attachments("s", "marlin") == ()


def test_a_file_that_is_not_kept_is_refused(store: Store) -> None:
    ghost = Attachment(hash="0" * 64, size=1, media_type="text/csv", name="ghost.csv")
    with pytest.raises(StoreError, match="no attachment 000000000000… is kept"):
        store.save_pack("s", a_pack(1), who="Jo", summary="", files=[ghost], make_study=True)
    assert store.studies() == ()


def test_a_source_that_fails_leaves_nothing(store: Store, workspace: Path, tmp_path: Path) -> None:
    class Broken(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise OSError(5, "Input/output error")

    with pytest.raises(StoreError, match=r"the file 'a\.jpg' cannot be kept: Input/output error"):
        store.attach(Broken(), "a.jpg")
    with pytest.raises(StoreError, match=r"the file 'b\.jpg' cannot be kept: No such file"):
        store.attach(tmp_path / "b.jpg", "b.jpg")
    assert kept_files(workspace) == []


def test_leftovers_of_a_crash_go_after_a_day(store: Store, workspace: Path) -> None:
    store.attach(b"abc", "abc.txt")
    old, new = workspace / "attachments/old.part", workspace / "attachments/new.part"
    for part in (old, new):
        part.write_bytes(b"half")
    os.utime(old, (0, 0))
    store.attach(b"abc", "abc.txt")
    assert not old.exists() and new.exists()
