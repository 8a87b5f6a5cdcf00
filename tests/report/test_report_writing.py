"""Writing: whole files or none, odd studies, clear refusals."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from lidoff.compare import compare
from lidoff.report import ReportError, write, write_report
from lidoff.report.fonts import fonts, unpack

from .study_by_hand import ISSUED, comparison, findings, study


def test_a_format_nobody_knows_is_refused(tmp_path: Path) -> None:
    for formats in ((), ("html", "docx")):
        with pytest.raises(ReportError, match="format"):
            write_report(study(), findings(), comparison(), tmp_path, formats=formats)
    assert list(tmp_path.iterdir()) == []


def test_a_time_without_zone_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ReportError, match="zone"):
        write_report(study(), findings(), None, tmp_path, issued=datetime(2026, 1, 1))


def test_a_failure_leaves_the_old_file_and_no_scraps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (target,) = write_report(study(), findings(), comparison(), tmp_path, formats=("html",), issued=ISSUED)
    before = target.read_bytes()

    def full(handle: int) -> None:
        raise OSError("no space left on device")

    monkeypatch.setattr(write.os, "fsync", full)
    changed = replace(study(), revision=15)
    with pytest.raises(OSError, match="no space"):
        write_report(changed, findings(), comparison(), tmp_path, formats=("html",), issued=ISSUED)
    assert [path.name for path in tmp_path.iterdir()] == [target.name]
    assert target.read_bytes() == before


def test_progress_is_told_for_each_file(tmp_path: Path) -> None:
    said: list[str] = []
    write_report(study(), findings(), comparison(), tmp_path, progress=said.append, issued=ISSUED)
    assert len(said) == 2 and "HTML" in said[0] and "PDF" in said[1]


def test_a_file_name_never_leaves_the_folder(tmp_path: Path) -> None:
    odd = replace(study(), name='../../etc/"x" $(rm) 名')
    (path,) = write_report(odd, findings(), comparison(), tmp_path, formats=("html",), issued=ISSUED)
    assert path.parent == tmp_path and path.name == "etc-x-rm-report.html"


def test_one_pack_needs_no_comparison(tmp_path: Path) -> None:
    one = replace(study(), packs=study().packs[:1])
    told = findings()
    alone = replace(told, packs={"p-Tern": told.packs["p-Tern"]})
    html, pdf = write_report(one, alone, None, tmp_path, issued=ISSUED)
    text = html.read_text("utf-8")
    assert "Like for like" not in text and "Plover" not in text and pdf.read_bytes().startswith(b"%PDF")


def test_three_packs_are_told_with_differences_to_the_first(tmp_path: Path) -> None:
    told, base = findings(), study()
    third = replace(base.packs[1], id="p-Dunlin", name="Dunlin")
    more = replace(
        told,
        packs={**told.packs, "p-Dunlin": replace(told.packs["p-Plover"], pack="p-Dunlin", name="Dunlin")},
    )
    three = replace(base, packs=(*base.packs, third))
    html, pdf = write_report(three, more, compare(more, three), tmp_path, issued=ISSUED)
    text = html.read_text("utf-8")
    assert "Tern less Plover" in text and "Tern less Dunlin" in text and pdf.read_bytes().startswith(b"%PDF")


def test_a_pack_with_nothing_known_is_told_as_missing(tmp_path: Path) -> None:
    told, base = findings(), study()
    bare = replace(base.packs[1], items=(), joints=(), steps=(), facts=(), questions=(), rejections=())
    empty = replace(told.packs["p-Plover"], figures={}, mass_lines=(), cost_lines=(), doubts=())
    packs = {**told.packs, "p-Plover": empty}
    both = replace(base, packs=(base.packs[0], bare))
    html, pdf = write_report(both, replace(told, packs=packs), None, tmp_path, issued=ISSUED)
    text = html.read_text("utf-8")
    assert "Plover has no figure yet" in text and "closure cannot be shown" in text
    assert pdf.read_bytes().startswith(b"%PDF")


def test_letters_beyond_our_fonts_still_give_a_pdf(tmp_path: Path) -> None:
    odd = replace(study(), name="電池 study")
    (path,) = write_report(odd, findings(), comparison(), tmp_path, formats=("pdf",), issued=ISSUED)
    assert path.read_bytes().startswith(b"%PDF")


def test_fonts_are_the_listed_files() -> None:
    import hashlib
    import tomllib
    from importlib.resources import files

    folder = files("lidoff.report") / "fonts"
    listed = tomllib.loads((folder / "MANIFEST.toml").read_text("utf-8"))["font"]
    for entry in listed:
        assert hashlib.sha256((folder / entry["file"]).read_bytes()).hexdigest() == entry["sha256"]
    present = {entry.name for entry in folder.iterdir() if entry.name.endswith(".woff")}
    assert present == {entry["file"] for entry in listed}
    assert "SIL OPEN FONT LICENSE Version 1.1" in (folder / "OFL.txt").read_text("utf-8")


def test_unpacked_fonts_keep_their_tables() -> None:
    """The font file's checksum adds up over all tables (ISO/IEC 14496-22, 'head' table)."""
    import struct

    for font in fonts():
        raw = unpack(font.data)
        count = struct.unpack_from(">H", raw, 4)[0]
        for index in range(count):
            tag, checksum, start, length = struct.unpack_from(">4sIII", raw, 12 + 16 * index)
            padded = raw[start : start + length] + b"\0" * (-length % 4)
            words = list(struct.unpack(f">{len(padded) // 4}I", padded))
            if tag == b"head":
                words[2] = 0  # checkSumAdjustment counts as zero
            assert sum(words) & 0xFFFFFFFF == checksum, (font.file, tag)
    with pytest.raises(ValueError, match="WOFF"):
        unpack(b"OTTO" + bytes(60))
