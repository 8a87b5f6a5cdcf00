"""Export and open through the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.app import Workspace


@pytest.fixture
def sent(birds, tmp_path: Path) -> Path:  # type: ignore[no-untyped-def]
    (tmp_path / "records" / "prices.toml").write_text("", encoding="utf-8")
    file = tmp_path / "birds.zip"
    status, out, err = birds("export", "birds", "--out", str(file))
    assert (status, out.strip()) == (0, str(file)), err
    return file


def test_a_study_opens_elsewhere_as_it_was(birds, sent: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    there, here = Workspace.open(tmp_path / "there"), Workspace.open(tmp_path / "records")
    status, out, err = birds("--workspace", str(tmp_path / "there"), "open", str(sent))
    assert status == 0 and "heron (65 lines)" in out, err
    assert there.study("birds").packs == here.study("birds").packs
    for pack in here.study("birds").packs:
        kept = here.store.attachments("birds", pack.id)
        assert kept and there.store.attachments("birds", pack.id) == kept
        assert there.store.read_attachment(kept[0].hash) == here.store.read_attachment(kept[0].hash)
    assert (tmp_path / "there" / "prices.toml").is_file()
    again = tmp_path / "again.zip"
    assert birds("--workspace", str(tmp_path / "there"), "export", "birds", "--out", str(again))[0] == 0
    assert again.read_bytes() == sent.read_bytes()


def test_a_study_that_is_there_is_not_overwritten(birds, sent: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    assert birds("open", str(sent))[0] == 1  # nothing to do: it is there as it is
    assert birds("accept", "birds", "--pack", "heron", "all")[0] == 0
    before = Workspace.open(tmp_path / "records").study("birds")
    assert "There is a study 'birds' already" in birds.refused("open", str(sent))
    assert Workspace.open(tmp_path / "records").study("birds") == before
    assert birds("open", str(sent), "--as", "birds as sent")[0] == 0
    assert birds("open", str(sent), "--replace")[0] == 0
    after = Workspace.open(tmp_path / "records")
    assert after.study("birds").packs == after.study("birds as sent").packs != before.packs


def test_another_price_file_in_the_workspace_is_kept(birds, sent: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    there = tmp_path / "there"
    there.mkdir()
    (there / "prices.toml").write_text("# mine\n", encoding="utf-8")
    told = birds.refused("--workspace", str(there), "open", str(sent))
    assert "The workspace has another prices.toml" in told
    assert (there / "prices.toml").read_text("utf-8") == "# mine\n"
    assert not (there / "lidoff.db").exists()


def test_what_is_no_bundle_is_refused(birds, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "no.zip"
    file.write_text("no", encoding="utf-8")
    assert "is not a study bundle" in birds.refused("open", str(file))
    assert "is not a study bundle" in birds.refused("open", str(tmp_path / "nowhere.zip"))
    assert "cannot be written" in birds.refused("export", "birds", "--out", str(tmp_path / "no" / "x.zip"))
