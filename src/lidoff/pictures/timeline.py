"""The strip log as a bar timeline by day, with people and breaks."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from .numbers import number
from .palette import LIGHT, Palette
from .svg import Drawing, shorten, text_width

LEFT, RIGHT, BAND, PERSON, TOP = 62.0, 24.0, 62.0, 13.0, 4.0
HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One logged action: day, start and finish [s after midnight], people, and what was done.

    ``live`` marks work over live high-voltage parts. ``finish`` may lie past midnight.
    """

    number: str
    does: str
    day: int
    start: float
    finish: float
    people: int | None = None
    is_break: bool = False
    live: bool = False


def timeline(title: str, spans: Sequence[Span], *, width: float = 1000.0, palette: Palette = LIGHT) -> str:
    """Draw one band a day on a common clock; a bar is as high as people worked on it."""
    days: dict[int, list[Span]] = defaultdict(list)
    for span in spans:
        days[span.day].append(span)
    if not spans:
        drawing = Drawing(width, 24.0, title, "no timed step recorded")
        drawing.text(0.0, 16.0, "no timed step recorded", palette.soft)
        return drawing.svg()
    first = math.floor(min(s.start for s in spans) / HOUR)
    last = math.ceil(max(s.finish for s in spans) / HOUR)
    drawing = Drawing(width, TOP + BAND * len(days) + 20.0, title, "; ".join(_told(s) for s in spans))
    scale = (width - LEFT - RIGHT) / ((last - first) * HOUR)

    def at(seconds: float) -> float:
        return LEFT + (seconds - first * HOUR) * scale

    foot = TOP + BAND * len(days)
    step = max(1, math.ceil((last - first) / 14))
    for hour in range(first, last + 1, step):
        drawing.line(at(hour * HOUR), TOP, at(hour * HOUR), foot, palette.hair, 0.75)
        label = f"{hour % 24:02d}:00"
        drawing.text(at(hour * HOUR), foot + 13.0, label, palette.soft, size=11.0, anchor="middle")
    for row, day in enumerate(sorted(days)):
        base = TOP + BAND * (row + 1) - 8.0
        drawing.text(0.0, base - 4.0, f"Day {day}", palette.ink, size=12.5, bold=True)
        drawing.line(LEFT, base, width - RIGHT, base, palette.rule, 0.75)
        for span in days[day]:
            _bar(drawing, span, at(span.start), at(span.finish), base, palette)
    return drawing.svg()


def _told(span: Span) -> str:
    told = f"{span.number} {span.does}, {number((span.finish - span.start) / 60.0)} min"
    return told + (", over live high voltage" if span.live else "")


def _bar(d: Drawing, span: Span, x0: float, x1: float, base: float, p: Palette) -> None:
    if span.is_break:
        d.line(x0, base - 3.0, x1, base - 3.0, p.soft, 0.75, dash="2 3")
        label = shorten(span.does.strip().lower() or "break", 11.0, x1 - x0)
        d.text((x0 + x1) / 2, base - 8.0, label, p.soft, size=11.0, anchor="middle")
        return
    high = PERSON * max(span.people or 1, 1)
    high = min(high, BAND - 26.0)
    colour = p.orange if span.live else p.blue
    dash = "3 2" if span.people is None else None
    d.rect(x0, base - high, x1 - x0, high, fill=p.sheet if span.live else p.fill, stroke=colour,
           width=1.3 if span.live else 0.75, dash=dash)  # fmt: skip
    for person in range(1, round(high / PERSON)):
        d.line(x0, base - person * PERSON, x1, base - person * PERSON, colour, 0.5)
    if x1 - x0 >= text_width(span.number, 11.5) + 2.0:
        d.text((x0 + x1) / 2, base - high - 4.0, span.number, colour if span.live else p.soft, size=11.5,
               anchor="middle")  # fmt: skip
    label = shorten(span.does, 11.0, x1 - x0 - 8.0)
    if len(label) > 5:
        d.text(x0 + 4.0, base - 3.5, label, colour if span.live else p.ink, size=11.0)
