"""Binder: what all sheets of a workbook share: the study, its findings, and where things stand."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from xlsxwriter import Workbook

from ...compare import Comparison
from ...evaluate import Findings, PackFindings
from ...evaluate.cost.model import CostModel
from ...evaluate.tree import Tree
from ...methods import Book
from ...methods.amounts import plain_unit
from ...methods.spreadsheet import Held
from ...prices import PriceBook
from ...quantities import Unit, parse_unit
from ...records import Pack, Study
from .page import Page, Ref
from .style import Style


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell with the unit of what it holds."""

    ref: Ref
    unit: Unit

    def held(self, sheet: str) -> Held:
        return Held(self.ref.seen_from(sheet), self.unit)


@dataclass(frozen=True, slots=True)
class Range:
    """A column of cells with the unit of what they hold."""

    first: Ref
    last: Ref
    unit: Unit


@dataclass(slots=True)
class PackSheets:
    """One pack: its records, findings and model, the names of its sheets, and where its values stand."""

    pack: Pack
    found: PackFindings
    tree: Tree
    model: CostModel
    names: Mapping[str, str]
    items: dict[tuple[str, str], Cell] = field(default_factory=dict)  # (item, "mass" …)
    counts: dict[str, Cell] = field(default_factory=dict)  # item → pieces in the pack
    joints: dict[tuple[str, str], Cell] = field(default_factory=dict)
    facts: dict[str, Cell] = field(default_factory=dict)
    lines: dict[tuple[str, str], Cell] = field(default_factory=dict)  # (item, "material" …) per good piece
    blocks: dict[str, Ref] = field(default_factory=dict)  # item → head of its working
    cost_rows: dict[str, Ref] = field(default_factory=dict)  # item → its cost line
    part_rows: dict[str, Ref] = field(default_factory=dict)
    columns: dict[str, Range] = field(default_factory=dict)  # "parts mass", "cost piece" …
    figures: dict[str, Cell] = field(default_factory=dict)

    @property
    def name(self) -> str:
        return self.pack.name


@dataclass(slots=True, kw_only=True)
class Binder:
    """The workbook in the making."""

    study: Study
    findings: Findings
    comparison: Comparison | None
    issued: datetime
    prices: PriceBook
    shelf: Mapping[str, Book]
    book: Workbook
    style: Style
    packs: tuple[PackSheets, ...]
    pages: dict[str, Page] = field(default_factory=dict)
    scenario: dict[str, Cell] = field(default_factory=dict)
    rows: dict[str, Cell] = field(default_factory=dict)  # price rows
    materials: dict[str, Cell] = field(default_factory=dict)  # "material.property"
    tables: dict[tuple[str, str], Range] = field(default_factory=dict)  # (table, column)
    table_rows: dict[str, Ref] = field(default_factory=dict)
    sources: dict[str, None] = field(default_factory=dict)  # ids, or a user's own words, in order of use

    def page(self, name: str, widths: Sequence[float]) -> Page:
        """The page of a sheet that was added at the start."""
        sheet = self.book.get_worksheet_by_name(name)
        if sheet is None:
            raise KeyError(name)
        page = self.pages[name] = Page(sheet, self.style, name, widths)
        return page

    def cite(self, text: str | None) -> str:
        """Note a citation ("groover, p. 441") as used, and give it as it is printed."""
        if not text:
            return ""
        from ...sources import SOURCES

        identity = text.split(",", 1)[0].strip()
        self.sources.setdefault(identity if identity in SOURCES else text)
        return text

    def unit(self, unit: Unit | str) -> str:
        """A unit as it is read here: money in the book's currency."""
        text = unit if isinstance(unit, str) else unit.text
        return re.sub(r"\bmoney\b", self.prices.currency, plain_unit(text))

    @property
    def back(self) -> tuple[tuple[str, Ref], ...]:
        return ("Cover", Ref("Cover", 0, 0)), ("Figures", Ref("Figures", 0, 0))


def sheet_names(packs: Sequence[Pack]) -> list[dict[str, str]]:
    """Names of every pack's sheets: short, allowed, and each once."""
    kinds = ("cost", "parts", "joints", "working")
    taken: set[str] = set()
    found = []
    for pack in packs:
        stem = re.sub(r"[\[\]:*?/\\']+", " ", pack.name or pack.id).strip()[:20].strip() or "Pack"
        free, number = stem, 1
        while any(f"{free} {kind}".casefold() in taken for kind in kinds):
            number += 1
            free = f"{stem} {number}"
        names = {kind: f"{free} {kind}" for kind in kinds}
        taken |= {name.casefold() for name in names.values()}
        found.append(names)
    return found


PART = parse_unit("part")
PLAIN = parse_unit("")
