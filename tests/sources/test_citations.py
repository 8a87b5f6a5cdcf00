"""Behaviour: the citation table, and that every id used anywhere is in it."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from lidoff.materials import MATERIALS
from lidoff.sources import SOURCES, Seen, SourceError, cite, load_sources, source

ROOM = Path(str(files("lidoff")))


def test_an_unknown_id_is_refused_by_name() -> None:
    with pytest.raises(KeyError, match="no source 'nobody_1999'"):
        source("nobody_1999")


def test_a_page_after_the_id_is_printed_and_memory_is_told() -> None:
    assert cite("groover, ex. 20.1").endswith("ex. 20.1 (from memory)")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[a]\ncite = "x"\nkind = "rumour"\nseen = "page"', "rumour"),
        ('[a]\nkind = "book"\nseen = "page"', "lacks a citation"),
        ('[a]\ncite = "x"\nkind = "book"\nseen = "page"\npage = 3', "unknown entries: page"),
        ('[a]\ncite = "x"\nkind = "book"\nseen = "page"\nyear = "2001"', "not a whole number"),
        ("[a", "citation table"),
    ],
)
def test_a_bad_entry_is_told_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(SourceError, match=says):
        load_sources(text)


def test_no_citation_holds_an_address() -> None:
    for entry in SOURCES.values():
        assert not re.search(r"https?:|www\.|\.(com|org|net)\b", f"{entry.cite} {entry.where}"), entry.id


def test_ours_is_only_said_of_our_own_choices() -> None:
    assert {s.id for s in SOURCES.values() if s.seen is Seen.OURS} == {"project_choice"}


def _ids_in(node: object) -> set[str]:
    """Every value of a `source` key, however deep."""
    if isinstance(node, dict):
        own = {node["source"]} if isinstance(node.get("source"), str) else set()
        return own.union(*(_ids_in(v) for v in node.values()))
    if isinstance(node, list):
        return set().union(*(_ids_in(v) for v in node))
    return set()


@pytest.mark.parametrize(
    "path", sorted(p for p in ROOM.rglob("*.toml") if p.name != "sources.toml"), ids=lambda p: p.stem
)
def test_every_id_used_in_data_exists(path: Path) -> None:
    for identity in _ids_in(tomllib.loads(path.read_text("utf-8"))):
        source(identity)


def test_every_source_of_a_material_exists() -> None:
    for material in MATERIALS.values():
        for prop in material.properties.values():
            assert source(prop.source).id == prop.source
