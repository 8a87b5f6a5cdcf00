"""A report as a tagged PDF, typeset by typst from data."""

from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

import typst

from ..pictures import LIGHT, Palette
from .blocks import (
    Beside,
    Block,
    Caution,
    Cell,
    Column,
    Draw,
    Fold,
    Formula,
    Heading,
    Paragraph,
    Picture,
    Points,
    Report,
    Row,
    Table,
    Text,
)
from .fonts import covered, font_folder

Plain = dict[str, Any]

TEMPLATE = Path(__file__).parent / "templates" / "report.typ"

#: The accessibility standard the file keeps (ISO 14289-1).
STANDARD: Literal["ua-1"] = "ua-1"

#: Family names inside the half-bold fonts' own name tables, which leave the weight in the name.
HALF_BOLD, HALF_BOLD_CONDENSED = "IBM Plex Sans SmBld", "IBM Plex Sans Cond SmBld"

_SIZE = re.compile(r'width="([0-9.]+)" height="([0-9.]+)"')


class PdfError(RuntimeError):
    """The typesetter refused the report; the message is its first sentence."""


def pdf(report: Report, issued: datetime) -> bytes:
    """The report as PDF bytes; the same report and time give the same bytes.

    The file keeps PDF/UA-1 unless a text holds characters that none of our fonts can show; then it
    is tagged all the same, and fonts of the machine are asked for those characters.
    """
    data = json.dumps(_report(report), ensure_ascii=False)
    known = covered()
    foreign = any(ord(c) not in known and not c.isspace() and ord(c) > 126 for c in data)
    try:
        made: bytes = typst.compile(
            TEMPLATE,
            format="pdf",
            sys_inputs={"report": data},
            font_paths=[Path(font_folder().name)],
            ignore_system_fonts=not foreign,
            pdf_standards=[] if foreign else [STANDARD],
            timestamp=issued,
        )
        return made
    except typst.TypstError as error:
        raise PdfError(f"{error.message} ({error.diagnostic.strip().splitlines()[0]})") from error


def _report(report: Report) -> Plain:
    return {
        "title": report.title,
        "subtitle": report.subtitle,
        "study": report.title_block.fields[0][1],
        "language": report.language,
        "keywords": list(report.keywords),
        "fields": [list(pair) for pair in report.title_block.fields],
        "colours": {name: getattr(LIGHT, name) for name in Palette.__dataclass_fields__},
        "cover": _blocks(report.cover),
        "sections": [
            {"anchor": s.anchor, "title": s.title, "own_sheet": s.own_sheet, "blocks": _blocks(s.blocks)}
            for s in report.sections
        ],
    }


def _svg(draw: Draw) -> str:
    """The drawing in the light palette. The typesetter knows the half-bold cuts by their own names."""
    svg = draw(LIGHT)
    condensed = 'font-weight="600" font-stretch="condensed"'
    svg = svg.replace(condensed, f'font-family="{HALF_BOLD_CONDENSED}" {condensed}')
    return svg.replace(' font-weight="600">', f' font-family="{HALF_BOLD}" font-weight="600">')


def _text(text: Text) -> list[Plain]:
    return [{"text": r.text, "link": r.link, "strong": r.strong, "soft": r.soft} for r in text]


def _formula(formula: Formula | None) -> Plain | None:
    return None if formula is None else {"text": formula.text, "typst": formula.typst}


def _cell(cell: Cell) -> Plain:
    svg = _svg(cell.draw) if cell.draw is not None else None
    size = _SIZE.search(svg) if svg is not None else None
    return {
        "text": _text(cell.text),
        "svg": svg,
        "width": float(size.group(1)) if size else 0.0,
        "height": float(size.group(2)) if size else 0.0,
        "alt": cell.alt,
        "formula": _formula(cell.formula),
        "across": cell.across,
        "tag": cell.tag,
    }


def _column(column: Column) -> Plain:
    return {"head": column.head, "set": column.set.value, "width": column.width}


def _row(row: Row) -> Plain:
    return {"cells": [_cell(c) for c in row.cells], "anchor": row.anchor, "kind": row.kind.value}


def _blocks(blocks: tuple[Block, ...]) -> list[Plain]:
    return [_block(block) for block in blocks]


def _block(block: Block) -> Plain:
    match block:
        case Paragraph(text=text, style=style):
            return {"kind": "paragraph", "text": _text(text), "style": style.value}
        case Picture(draw=draw, alt=alt, caption=caption, share=share):
            svg = _svg(draw)
            return {"kind": "picture", "svg": svg, "alt": alt, "caption": _text(caption), "share": share}
        case Table(columns=columns, rows=rows, small=small):
            return {
                "kind": "table",
                "columns": [_column(c) for c in columns],
                "rows": [_row(r) for r in rows],
                "small": small,
            }
        case Points(items=items):
            return {"kind": "points", "items": [_text(t) for t in items]}
        case Caution(title=title, texts=texts):
            return {"kind": "caution", "title": title, "texts": [_text(t) for t in texts]}
        case Heading(text=text, anchor=anchor):
            return {"kind": "heading", "text": _text(text), "anchor": anchor}
        case Beside(parts=parts, shares=shares):
            return {"kind": "beside", "parts": [_blocks(p) for p in parts], "shares": list(shares)}
        case Fold(title=title, blocks=inner, anchor=anchor):
            return {"kind": "fold", "title": _text(title), "blocks": _blocks(inner), "anchor": anchor}
