"""The commands with books of the user's own in the workspace."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.app import Workspace

OWN = """\
title = "Bonding of wires"
topic = "cost.join"
[inputs]
mass = { unit = "g", from = "item.mass", about = "wire" }
price = { unit = "money/kg", from = "material.price", about = "wire" }
[[lines]]
name = "material"
unit = "money/part"
formula = "price*mass/quantity(1, \\"part\\")"
source = "Our own log, p. 3"
"""
ROUTES = '[processes.wire_bonding]\nmethods = ["wire_bonds"]\n'


@pytest.fixture
def own(birds, tmp_path: Path):  # type: ignore[no-untyped-def]
    folder = tmp_path / "records" / "books"
    folder.mkdir()
    (folder / "wire_bonds.toml").write_text(OWN, encoding="utf-8")
    (folder / "saw.toml").write_text(OWN, encoding="utf-8")
    (tmp_path / "records" / "routes.toml").write_text(ROUTES, encoding="utf-8")
    return birds


def test_methods_lists_own_books_and_says_they_are_unchecked(own) -> None:  # type: ignore[no-untyped-def]
    status, out, err = own("methods")
    assert status == 0
    (line,) = [line for line in out.splitlines() if line.startswith("wire_bonds")]
    assert "unchecked" in line and "your own" in line
    assert "a shipped book is named 'saw' already" in err
    found = {book["name"]: book for book in own.json("methods")}
    assert (found["wire_bonds"]["own"], found["wire_bonds"]["checked"]) == (True, False)
    assert (found["saw"]["own"], found["saw"]["checked"]) == (False, True)
    assert "no check stands behind" in own("methods", "wire_bonds")[1]


def test_calc_says_that_a_method_is_unchecked(own) -> None:  # type: ignore[no-untyped-def]
    answer = own.json("calc", "wire_bonds", "mass=10g", "price=4 money/kg")
    assert answer["outputs"]["material"]["value"] == pytest.approx(0.04, rel=1e-12)
    assert answer["warnings"] == ["unchecked: no check stands behind this method"]
    assert answer["checked"] is False


def test_a_line_costed_by_an_own_book_says_so(own) -> None:  # type: ignore[no-untyped-def]
    line = own.json("cost", "birds", "--pack", "heron", "--item", "1.3.5")
    assert [step["method"] for step in line["route"]] == ["wire_bonds"]
    assert any("unchecked" in text for text in line["warnings"])


def test_a_report_says_that_a_method_is_unchecked(own, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    status, _, err = own("report", "birds", "--out", str(tmp_path / "out"), "--format", "html")
    assert status == 0, err
    text = next((tmp_path / "out").glob("*.html")).read_text("utf-8")
    assert "Bonding of wires" in text and "no check stands behind this method" in text


def test_books_changed_on_disk_are_read_again(own, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    desk = Workspace.open(tmp_path / "records")
    first = desk.shelf
    assert desk.shelf is first
    (tmp_path / "records" / "books" / "wire_bonds.toml").unlink()
    assert "wire_bonds" in first and "wire_bonds" not in desk.shelf
