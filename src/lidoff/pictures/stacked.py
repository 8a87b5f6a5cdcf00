"""Stacked bars: what a total is made of, one bar a pack, all on one scale from zero."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .numbers import number
from .palette import LIGHT, Palette
from .svg import Drawing, shorten, text_width


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    label: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """One bar. ``total`` is the printed total, with the digits its interval supports."""

    name: str
    total: str
    segments: tuple[Segment, ...]


BAR, STEP, LEFT, RIGHT = 30.0, 58.0, 96.0, 84.0


def stacked(title: str, stacks: Sequence[Stack], *, width: float = 1000.0, palette: Palette = LIGHT) -> str:
    """Draw bars to one scale; a segment is named inside where its name fits, below where it nearly does.

    Segments keep the order given and must not be negative.
    """
    for stack in stacks:
        for segment in stack.segments:
            if segment.value < 0.0:
                raise ValueError(f"{stack.name}: {segment.label} is negative and cannot be stacked")
    largest = max((sum(s.value for s in k.segments) for k in stacks), default=0.0)
    drawing = Drawing(width, STEP * max(len(stacks), 1) + 4.0, title, "; ".join(_told(k) for k in stacks))
    if largest <= 0.0:
        drawing.text(0.0, 20.0, "nothing recorded", palette.soft)
        return drawing.svg()
    scale = (width - LEFT - RIGHT) / largest
    for row, stack in enumerate(stacks):
        _bar(drawing, stack, 4.0 + row * STEP, scale, palette)
    drawing.line(LEFT, 0.0, LEFT, STEP * len(stacks), palette.ink, 1.0)
    return drawing.svg()


def _told(stack: Stack) -> str:
    return f"{stack.name} {stack.total}: " + ", ".join(
        f"{s.label} {number(s.value, 1)}" for s in stack.segments
    )


def _bar(drawing: Drawing, stack: Stack, y: float, scale: float, palette: Palette) -> None:
    drawing.text(LEFT - 10.0, y + 20.0, shorten(stack.name, 13.0, LEFT - 12.0), palette.ink, size=13.0,
                 anchor="end", bold=True)  # fmt: skip
    x, free = LEFT, LEFT
    for index, segment in enumerate(stack.segments):
        wide = segment.value * scale
        drawing.rect(
            x, y, wide, BAR, fill=palette.fill if index % 2 == 0 else palette.sheet, stroke=palette.blue
        )
        label, value = segment.label, number(segment.value, 1 if segment.value < 100.0 else 0)
        needed = max(text_width(label, 12.0), text_width(value, 12.0)) + 8.0
        if wide >= needed:
            drawing.text(x + 5.0, y + 13.0, label, palette.ink, size=12.0)
            drawing.text(x + 5.0, y + 26.0, value, palette.soft, size=12.0)
        else:
            text = f"{label} {value}"
            room = text_width(text, 11.0)
            start = x + wide / 2 - room / 2
            if wide >= 6.0 and start >= free:
                drawing.line(x + wide / 2, y + BAR, x + wide / 2, y + BAR + 4.0, palette.soft, 0.75)
                drawing.text(start, y + BAR + 14.0, text, palette.soft, size=11.0)
                free = start + room + 8.0
        x += wide
    drawing.text(x + 8.0, y + 20.0, stack.total, palette.ink, size=13.0, bold=True)
