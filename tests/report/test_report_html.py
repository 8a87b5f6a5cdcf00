"""The HTML report: whole in itself, every link leads somewhere, nothing blank."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

import pytest

from lidoff.report.fonts import fonts

from .study_by_hand import NASTY

VOID = {"meta", "link", "br", "col", "hr", "img", "input"}


@dataclass
class Page(HTMLParser):
    """Anchors, links, visible text and balance of a page."""

    ids: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)
    open_tags: list[str] = field(default_factory=list)
    cells: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if named.get("id"):
            self.ids.append(str(named["id"]))
        if tag == "a" and named.get("href"):
            self.links.append(str(named["href"]))
        if tag not in VOID:
            self.open_tags.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Closed at once: nothing stays open."""

    def handle_endtag(self, tag: str) -> None:
        assert self.open_tags and self.open_tags.pop() == tag, f"</{tag}> closes another tag"

    def handle_data(self, data: str) -> None:
        if not {"style", "script"} & set(self.open_tags):
            self.text.append(data)


@pytest.fixture(scope="module")
def parsed(page: str) -> Page:
    reader = Page()
    reader.feed(page)
    return reader


def test_the_page_is_balanced(parsed: Page) -> None:
    assert parsed.open_tags == []


def test_every_link_leads_to_one_place(parsed: Page) -> None:
    assert len(parsed.links) > 50
    assert len(parsed.ids) == len(set(parsed.ids))
    lost = {link for link in parsed.links if not link.startswith("#") or link[1:] not in parsed.ids}
    assert lost == set()


def test_every_figure_of_the_tables_leads_to_its_working(parsed: Page) -> None:
    workings = {link for link in parsed.links if link.startswith("#working-")}
    for name in ("mass_rolled", "energy_nominal", "cost_piece", "tooling_investment", "mass_cover"):
        assert f"#working-{name}" in workings


def test_nothing_is_asked_from_outside(page: str) -> None:
    loads = re.findall(r"""(?:src|href|url)\s*[=(]\s*["']?([^"')>\s]+)""", page)
    assert [load for load in loads if not load.startswith(("#", "data:"))] == []
    # The name space of SVG is a name, not a request.
    addresses = set(re.findall(r"https?://[^\s\"'<)]+", page)) - {"http://www.w3.org/2000/svg"}
    assert addresses == set()
    assert "@import" not in page


def test_nothing_is_blank_or_python(parsed: Page) -> None:
    text = " ".join(parsed.text)
    for wrong in (
        r"\bNone\b",
        r"\bnan\b",
        r"\binf\b",
        r"Function\.",
        r"Basis\.",
        r"<lidoff",
        r"\{\{",
        r"\bundefined\b",
    ):
        assert re.search(wrong, text) is None, wrong


def test_never_called_by_the_forbidden_word(parsed: Page) -> None:
    assert "safe" not in " ".join(parsed.text).lower()


def test_names_are_printed_as_they_are(parsed: Page, page: str) -> None:
    assert NASTY in " ".join(parsed.text)
    assert "<b>_*" not in page


def test_missing_is_said(parsed: Page) -> None:
    text = " ".join(parsed.text)
    assert "missing" in text and "not costed" in text and "cells have no method yet" in text
    assert "not settled" in text and "not recorded" in text


def test_coverage_stands_beside_every_cost(parsed: Page) -> None:
    text = "".join(parsed.text)
    for found in re.finditer(r"Piece cost(?: per kWh)?(?=  )|Tooling investment(?=  )", text):
        assert "covers" in text[found.end() : found.end() + 20]
    assert text.count("covers 67") >= 8


def test_title_language_and_fonts(page: str) -> None:
    assert page.startswith("<!doctype html>") and '<html lang="en">' in page
    assert "<title>Coastal vans &lt;tray&gt; &amp; $cooling</title>" in page
    assert page.count("@font-face") == len(fonts())


def test_the_questions_the_import_left_are_there(parsed: Page) -> None:
    text = " ".join(parsed.text)
    assert "grams or <kilograms>?" in text and "n/a $" in text


def test_high_voltage_defers_to_local_rules(parsed: Page) -> None:
    text = " ".join(parsed.text)
    assert "local rules" in text and "licensed" in text and "If unsure, stop." in text
