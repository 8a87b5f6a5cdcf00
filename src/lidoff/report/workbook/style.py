"""How cells look: ink on paper, inputs on the one blue tint, hairlines; number formats by size."""

from __future__ import annotations

import math
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format

from ...pictures.palette import LIGHT

#: A face that every spreadsheet has, or has a twin of.
FACE = "Arial"
SIZE = 9

_LINE = {"bottom": 7, "bottom_color": LIGHT.rule}
_SOFT = {**_LINE, "font_color": LIGHT.soft}
_WRAP = {"text_wrap": True, "valign": "top"}
_HEAD = {
    "font_color": LIGHT.soft,
    "bottom": 1,
    "bottom_color": LIGHT.ink,
    "text_wrap": True,
    "valign": "bottom",
}
_TOTAL = {"bold": True, "top": 1, "bottom": 1, "top_color": LIGHT.ink, "bottom_color": LIGHT.ink}
_INPUT = {"bg_color": LIGHT.fill, "font_color": LIGHT.blue, "border": 7, "border_color": LIGHT.blue}
_ITEM = {"top": 1, "top_color": LIGHT.ink, "bg_color": LIGHT.paper}
_RIGHT = {"align": "right"}
_LINK = {"font_color": LIGHT.blue, "underline": 1}
#: Looks by role. Inputs are told by tint and border, assumed ones by italics too: never by colour alone.
ROLES: dict[str, dict[str, Any]] = {
    "title": {"font_size": 16},
    "lead": {"font_color": LIGHT.soft, **_WRAP},
    "section": {"font_size": 12, "bottom": 1, "bottom_color": LIGHT.ink},
    "head": {**_HEAD, "align": "left"},
    "head number": {**_HEAD, **_RIGHT},
    "text": _LINE,
    "wrap": {**_LINE, **_WRAP},
    "soft": _SOFT,
    "prose": {**_SOFT, "text_wrap": True},
    "soft wrap": {**_SOFT, **_WRAP},
    "unit": _SOFT,
    "calc": {**_LINE, **_RIGHT},
    "default": {**_LINE, **_RIGHT, "italic": True},
    "issued": {**_SOFT, **_RIGHT},
    "figure": {**_LINE, **_RIGHT, "bold": True},
    "total": {**_TOTAL, **_RIGHT},
    "total text": _TOTAL,
    "input": {**_INPUT, **_RIGHT},
    "assumed": {**_INPUT, **_RIGHT, "italic": True},
    "input text": _INPUT,
    "link": {**_LINE, **_LINK},
    "way back": _LINK,
    "plain": {"font_color": LIGHT.soft},
    "plain wrap": _WRAP,
    "item": {**_ITEM, "bold": True},
    "item number": {**_ITEM, **_RIGHT, "bold": True},
    "item link": {**_ITEM, **_LINK},
    "step": {"bottom": 1, "bottom_color": LIGHT.soft, "italic": True},
}


class Style:
    """Formats of a workbook, each made once."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[tuple[str, str, int], Format] = {}

    def of(self, role: str, number: str = "", indent: int = 0) -> Format:
        key = (role, number, indent)
        if key not in self._made:
            look = {"font_name": FACE, "font_size": SIZE, "font_color": LIGHT.ink, **ROLES[role]}
            if number:
                look["num_format"] = number
            if indent:
                look["indent"] = indent
            self._made[key] = self._book.add_format(look)
        return self._made[key]


def by_size(value: float) -> str:
    """A format that shows about four digits of a calculated number of this size."""
    if value == 0.0 or not math.isfinite(value):
        return "General"
    size = math.floor(math.log10(abs(value)) + 1e-12)
    if size < -4:
        return "0.000E+00"
    decimals = max(0, 3 - size)
    if abs(value - round(value)) < 1e-9 * max(1.0, abs(value)):
        decimals = 0
    return ("#,##0" if size >= 4 else "0") + (f".{'0' * decimals}" if decimals else "")


def as_entered(value: float) -> str:
    """A format of an input: as it was typed, with thousands marked where it is large and whole."""
    return "#,##0" if abs(value) >= 10_000 and value == round(value) else "General"


def money(value: float) -> str:
    """Cents from ten cents on, a digit more below, thousands marked."""
    if 0.0 < abs(value) < 0.1:
        return "0.0000"
    return "#,##0.00" if abs(value) < 10_000 else "#,##0"
