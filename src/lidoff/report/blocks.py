"""What a report is made of, before it becomes HTML or PDF: plain data, no markup.

Text is kept as runs and is escaped (HTML) or handed over as data (PDF) by the writers, so a part's
name can hold any character.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum

from ..pictures import Palette

#: A picture is drawn when it is written, in the colours of the page it stands on.
Draw = Callable[[Palette], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A piece of text; ``link`` is the anchor it leads to."""

    text: str
    link: str | None = None
    strong: bool = False
    soft: bool = False


Text = tuple[Run, ...]


def say(*parts: str | Run) -> Text:
    """Text from strings and runs."""
    return tuple(Run(text=p) if isinstance(p, str) else p for p in parts)


def strong(text: str) -> Run:
    return Run(text=text, strong=True)


def soft(text: str) -> Run:
    return Run(text=text, soft=True)


def link(text: str, anchor: str | None) -> Run:
    return Run(text=text, link=anchor)


def plain(text: Text) -> str:
    """The words alone."""
    return "".join(run.text for run in text)


class Style(StrEnum):
    """``SENTENCE`` is the large answer, ``NOTE`` small and quiet."""

    PLAIN = "plain"
    SENTENCE = "sentence"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    text: Text
    style: Style = Style.PLAIN


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing with its words. ``share`` is its part of the text width."""

    draw: Draw
    alt: str
    caption: Text = ()
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """A formula as written and as both typesetters read it (``None``: shown as text)."""

    text: str
    typst: str | None = None
    mathml: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A table cell: text, or a small picture, or a formula; ``across`` columns wide."""

    text: Text = ()
    draw: Draw | None = None
    alt: str = ""
    formula: Formula | None = None
    across: int = 1
    tag: str = ""


class Kind(StrEnum):
    """How a row is set."""

    PLAIN = "plain"
    TOTAL = "total"
    GROUP = "group"
    UNDER = "under"  # belongs to the row above, small
    HIGH_VOLTAGE = "live"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    cells: tuple[Cell, ...]
    anchor: str | None = None
    kind: Kind = Kind.PLAIN


class Set(StrEnum):
    """How a column is set."""

    WORDS = "words"
    NUMBER = "number"
    UNIT = "unit"
    PICTURE = "picture"
    QUIET = "quiet"
    QUIET_NUMBER = "quiet-number"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """``width`` is a share of what the narrow columns leave; 0 takes what the content needs."""

    head: str
    set: Set = Set.WORDS
    width: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """``told`` names the table for who cannot see it."""

    told: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Points:
    """A numbered list."""

    items: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """High voltage; the only block in orange."""

    title: str
    texts: tuple[Text, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A small heading inside a section, with an anchor if links lead to it."""

    text: Text
    anchor: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Blocks side by side; ``shares`` are their widths."""

    parts: tuple[tuple[Block, ...], ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Blocks that a page may keep folded under a title; on paper they stand open."""

    title: Text
    blocks: tuple[Block, ...]
    anchor: str | None = None


Block = Paragraph | Picture | Table | Points | Caution | Heading | Beside | Fold


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section; ``own_sheet`` starts it on a new sheet, ``short`` names it in a page's head."""

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    own_sheet: bool = True
    short: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What every sheet says at its foot: label and text."""

    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A whole report. ``cover`` stands before the first section."""

    title: str
    subtitle: str
    cover: tuple[Block, ...]
    sections: tuple[Section, ...]
    title_block: TitleBlock
    issued: str
    language: str = "en"
    keywords: tuple[str, ...] = field(default=())
