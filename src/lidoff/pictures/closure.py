"""How far rolled-up mass accounts for the weighed mass: a bar to scale and its end enlarged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from .axis import tick_decimals, ticks
from .bars import Amount
from .numbers import by_interval, number
from .palette import LIGHT, Palette
from .svg import Drawing

LEFT, RIGHT = 8.0, 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """A pack's masses [kg]. ``coolant`` is what the weighing held besides the dry pack."""

    name: str
    rolled: Amount
    weighed: Amount
    coolant: float | None = None

    @property
    def accounted(self) -> float:
        return self.rolled.value + (self.coolant or 0.0)

    @property
    def unexplained(self) -> float:
        """Weighed less what is accounted for; negative where the parts outweigh the pack."""
        return self.weighed.value - self.accounted


def closure(c: Closing, *, width: float = 480.0, palette: Palette = LIGHT) -> str:
    """Draw rolled → coolant → unexplained → weighed, whole above, the end enlarged as detail A."""
    told = f"rolled {by_interval(c.rolled.value, c.rolled.low, c.rolled.high)} kg"
    if c.coolant is not None:
        told += f", coolant {number(c.coolant, 2)} kg"
    weighed = by_interval(c.weighed.value, c.weighed.low, c.weighed.high)
    told += f", unexplained {_gap(c)} kg, weighed {weighed} kg"
    drawing = Drawing(width, 152.0, f"Closure of {c.name}", told)
    top = max(c.weighed.reach, c.rolled.reach, c.accounted)
    scale = (width - LEFT - RIGHT) / (1.02 * top)
    low, high = _window(c)
    _whole(drawing, c, scale, low, high, palette)
    _detail(drawing, c, low, high, width, palette)
    return drawing.svg()


def _gap(c: Closing) -> str:
    ends = [e for a in (c.rolled, c.weighed) for e in (a.low, a.high) if e is not None]
    half = (max(ends) - min(ends)) / 2.0 if ends else None
    return number(c.unexplained, 1 if half is None or half < 10 else 0, signed=True)


def _window(c: Closing) -> tuple[float, float]:
    ends = [c.accounted, c.rolled.value, c.weighed.value]
    ends += [e for a in (c.rolled, c.weighed) for e in (a.low, a.high) if e is not None]
    low, high = min(ends), max(ends)
    air = 0.18 * (high - low) or 0.01 * high
    return low - 1.6 * air, high + air


def _whole(d: Drawing, c: Closing, scale: float, low: float, high: float, p: Palette) -> None:
    y, bar = 16.0, 16.0
    d.rect(LEFT, y, c.rolled.value * scale, bar, fill=p.fill, stroke=p.blue)
    rolled = f"rolled {by_interval(c.rolled.value, c.rolled.low, c.rolled.high)} kg"
    d.text(LEFT + 6.0, y + 12.0, rolled, p.ink, size=12.0)
    end = LEFT + c.rolled.value * scale
    if c.coolant is not None:
        d.rect(end, y, c.coolant * scale, bar, fill=p.sheet, stroke=p.blue)
    x0, x1 = LEFT + max(low, 0.0) * scale, min(LEFT + high * scale, d.width - 2.0)
    d.rect(x0, y - 5.0, max(x1 - x0, 3.0), bar + 10.0, stroke=p.ink, width=0.75, dash="3 2")
    d.text(x0 - 4.0, y - 3.0, "A", p.ink, size=12.0, bold=True, anchor="end")
    d.line(LEFT, y - 4.0, LEFT, y + bar + 4.0, p.ink, 1.0)


def _detail(d: Drawing, c: Closing, low: float, high: float, width: float, p: Palette) -> None:
    y, bar = 74.0, 22.0
    scale = (width - LEFT - RIGHT) / (high - low)

    def at(x: float) -> float:
        return LEFT + (x - low) * scale

    d.text(LEFT, 58.0, "A, enlarged", p.soft, size=12.0)
    d.rect(at(low), y, (c.rolled.value - low) * scale, bar, fill=p.fill)
    d.path(
        f"M{at(low):.1f} {y:.1f} H{at(c.rolled.value):.1f} V{y + bar:.1f} H{at(low):.1f}",
        stroke=p.blue,
        width=0.9,
    )
    # A break line: the bar goes on to the left.
    d.path(f"M{at(low):.1f} {y - 3:.1f} l3 9 l-6 9 l3 10", stroke=p.soft)
    d.text(at(c.rolled.value) - 6.0, y + 15.0, "rolled", p.ink, size=12.0, anchor="end")
    if c.coolant is not None:
        wide = c.coolant * scale
        d.rect(at(c.rolled.value), y, wide, bar, fill=p.sheet, stroke=p.blue, width=0.9)
        if wide > 60.0:
            d.text(at(c.rolled.value) + 6.0, y + 15.0, f"coolant {number(c.coolant, 2)}", p.ink, size=12.0)
    gap = c.unexplained * scale
    start = min(at(c.accounted), at(c.weighed.value))
    d.rect(start, y, abs(gap), bar, stroke=p.ink, width=1.0, dash="3 2")
    d.text(
        start + abs(gap) / 2, y - 5.0, f"unexplained {_gap(c)}", p.ink, size=12.0, anchor="middle", bold=True
    )
    _mark(d, c.rolled, at, y + bar + 9.0, p)
    _mark(d, c.weighed, at, y + bar + 22.0, p)
    d.text(at(c.weighed.reach) + 8.0, y + bar + 26.0, "weighed", p.ink, size=12.0)
    _axis(d, low, high, y + bar + 34.0, scale, p)


def _mark(d: Drawing, a: Amount, at: Callable[[float], float], y: float, p: Palette) -> None:
    d.circle(at(a.value), y, 2.6, fill=p.blue)
    if a.low is not None and a.high is not None and a.high > a.low:
        d.line(at(a.low), y, at(a.high), y, p.blue, 1.4)
        for end in (a.low, a.high):
            d.line(at(end), y - 3.5, at(end), y + 3.5, p.blue, 1.2)


def _axis(d: Drawing, low: float, high: float, y: float, scale: float, p: Palette) -> None:
    marks = ticks(low, high, 6)
    decimals = tick_decimals(marks)
    d.line(LEFT, y, LEFT + (high - low) * scale, y, p.rule, 0.75)
    for mark in marks:
        x = LEFT + (mark - low) * scale
        d.line(x, y, x, y + 3.0, p.soft, 0.75)
        if 14.0 < x < LEFT + (high - low) * scale - 10.0:
            d.text(x, y + 14.0, number(mark, decimals), p.soft, size=11.0, anchor="middle")
    d.text(LEFT + (high - low) * scale, y + 14.0, "kg", p.soft, size=11.0, anchor="end")
