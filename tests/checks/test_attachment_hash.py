"""Published check: the hash that names an attachment is SHA-256."""

from __future__ import annotations

from pathlib import Path

from lidoff.store import Store

#: NIST, FIPS 180-2, Secure Hash Standard (2002), appendix B.1: the digest of "abc". From memory.
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_the_hash_of_an_attachment_is_the_printed_one(tmp_path: Path) -> None:
    with Store.open(tmp_path) as store:
        assert store.attach(b"abc", "abc.txt").hash == ABC
