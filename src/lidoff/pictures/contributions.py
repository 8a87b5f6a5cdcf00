"""Contributions: what shares of one spread come from where, the largest first, and what is left to all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .numbers import percent
from .palette import LIGHT, Palette
from .svg import Drawing, shorten, text_width

LABEL_SHARE, VALUE, STEP, BAR = 0.5, 130.0, 19.0, 11.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One bar: its share (0 to 1), and what of it could be taken out by knowing better (0 to 1).

    ``all_together`` is the row that no single input answers for; it is drawn open.
    """

    label: str
    share: float
    removable: float = 0.0
    all_together: bool = False


def contributions(
    title: str, rows: Sequence[Contribution], *, width: float = 760.0, palette: Palette = LIGHT
) -> str:
    """Horizontal bars of shares on one scale; the part that knowing better would take out is solid.

    Shares below zero, which a remainder may have, are drawn as none and told as they are.
    """
    told = "; ".join(f"{row.label} {percent(row.share)}" for row in rows)
    drawing = Drawing(width, STEP * max(len(rows), 1) + 8.0, title, told)
    largest = max((row.share for row in rows), default=0.0)
    if largest <= 0.0:
        drawing.text(0.0, 14.0, "no spread", palette.soft)
        return drawing.svg()
    label = width * LABEL_SHARE
    scale = (width - label - VALUE) / largest
    for n, row in enumerate(rows):
        _row(drawing, row, 4.0 + n * STEP, label, scale, palette)
    drawing.line(label, 0.0, label, STEP * len(rows) + 4.0, palette.ink, 1.0)
    return drawing.svg()


def _row(d: Drawing, row: Contribution, y: float, label: float, scale: float, p: Palette) -> None:
    ink = p.soft if row.all_together else p.ink
    d.text(label - 9.0, y + 10.0, shorten(row.label, 12.5, label - 12.0), ink, size=12.5, anchor="end")
    long, solid = max(row.share, 0.0) * scale, max(row.share, 0.0) * min(row.removable, 1.0) * scale
    if long > 0.0:
        d.rect(label, y, long, BAR, fill=p.sheet if row.all_together else p.fill, stroke=p.blue, width=0.75)
    if solid > 0.0:
        d.rect(label, y, solid, BAR, fill=p.blue)
    value = percent(row.share)
    d.text(label + long + 7.0, y + 10.0, value, ink, size=11.5)
    if row.removable > 0.0:
        d.text(label + long + 13.0 + text_width(value, 11.5), y + 10.0, "can be known", p.soft, size=11.0)
