"""How long a pack took off its vehicle, the first time, the second time, and so on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .axis import ticks
from .bars import Amount
from .numbers import by_interval, number
from .palette import LIGHT, Palette
from .svg import Drawing

LEFT, RIGHT, TOP, FOOT = 40.0, 90.0, 14.0, 34.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One pack's removals: (ordinal, minutes)."""

    name: str
    points: tuple[tuple[int, Amount], ...]


def removals(
    series: Sequence[Series], *, width: float = 480.0, height: float = 220.0, palette: Palette = LIGHT
) -> str:
    """Draw minutes over the ordinal of the removal, from zero, each point with its value."""
    told = "; ".join(
        f"{s.name}: " + ", ".join(f"{n}. {number(a.value)} min" for n, a in s.points) for s in series
    )
    drawing = Drawing(width, height, "Minutes by removal", told or "no removal recorded")
    points = [(n, a) for s in series for n, a in s.points]
    if not points:
        drawing.text(0.0, 20.0, "no removal recorded", palette.soft)
        return drawing.svg()
    last = max(n for n, _ in points)
    reach = max(a.reach for _, a in points) * 1.08
    wide, deep = width - LEFT - RIGHT, height - TOP - FOOT

    def at(n: int, minutes: float) -> tuple[float, float]:
        return LEFT + wide * (n - 0.5) / last, TOP + deep * (1.0 - minutes / reach)

    for mark in ticks(0.0, reach, 4):
        y = at(1, mark)[1]
        drawing.line(LEFT, y, width - RIGHT, y, palette.ink if mark == 0.0 else palette.hair, 0.75)
        drawing.text(LEFT - 6.0, y + 4.0, number(mark), palette.soft, size=11.0, anchor="end")
    drawing.text(LEFT - 6.0, TOP - 3.0, "min", palette.soft, size=11.0, anchor="end")
    for n in range(1, last + 1):
        drawing.text(at(n, 0.0)[0], height - FOOT + 15.0, number(n), palette.soft, size=11.0, anchor="middle")
    drawing.text(LEFT + wide / 2, height - 4.0, "removal", palette.soft, size=11.0, anchor="middle")
    for index, one in enumerate(series):
        _series(drawing, one, at, index, palette)
    return drawing.svg()


def _series(
    d: Drawing, s: Series, at: Callable[[int, float], tuple[float, float]], index: int, p: Palette
) -> None:
    places = [(*at(n, a.value), a) for n, a in sorted(s.points, key=lambda point: point[0])]
    for (x1, y1, _), (x2, y2, _) in pairwise(places):
        d.line(x1, y1, x2, y2, p.blue, 0.75, dash="4 3" if index % 2 else None)
    for (x, y, amount), (n, _) in zip(places, sorted(s.points, key=lambda point: point[0]), strict=True):
        if amount.low is not None and amount.high is not None and amount.high > amount.low:
            d.line(x, at(n, amount.low)[1], x, at(n, amount.high)[1], p.blue, 1.2)
        d.circle(x, y, 3.4, fill=p.sheet if index % 2 else p.blue, stroke=p.blue)
        d.text(x + 8.0, y - 5.0, by_interval(amount.value, amount.low, amount.high), p.ink, size=12.0)
    if places:
        x, y, _ = places[-1]
        d.text(x + 8.0, y + 11.0, s.name, p.soft, size=12.0)
