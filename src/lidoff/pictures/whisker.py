"""A number's interval as a small whisker on a scale common to its row."""

from __future__ import annotations

from .palette import LIGHT, Palette
from .svg import Drawing

WIDTH, HEIGHT = 84.0, 14.0


def common_scale(*intervals: tuple[float | None, float | None]) -> tuple[float, float] | None:
    """The scale on which intervals of one row can be laid side by side, with a little air."""
    ends = [end for pair in intervals for end in pair if end is not None]
    if not ends:
        return None
    low, high = min(ends), max(ends)
    air = 0.08 * (high - low) if high > low else 0.05 * abs(high) or 1.0
    return low - air, high + air


def whisker(
    value: float,
    low: float | None,
    high: float | None,
    scale: tuple[float, float],
    *,
    told: str,
    zero: bool = False,
    palette: Palette = LIGHT,
) -> str:
    """Draw ``value`` with ``low`` … ``high`` on ``scale``; ``zero`` marks the zero line.

    ``told`` is the sentence read aloud. An end outside the scale is drawn at its edge.
    """
    drawing = Drawing(WIDTH, HEIGHT, told)
    left, right = scale
    middle = HEIGHT / 2.0

    def at(x: float) -> float:
        return 3.0 + (WIDTH - 6.0) * min(max((x - left) / (right - left), 0.0), 1.0)

    drawing.line(0.0, middle, WIDTH, middle, palette.rule, 0.75)
    if zero and left <= 0.0 <= right:
        drawing.line(at(0.0), 1.0, at(0.0), HEIGHT - 1.0, palette.ink, 0.75)
    if low is not None and high is not None and high > low:
        drawing.line(at(low), middle, at(high), middle, palette.blue, 1.4)
        for end in (low, high):
            drawing.line(at(end), middle - 3.0, at(end), middle + 3.0, palette.blue, 1.2)
    drawing.circle(at(value), middle, 2.4, fill=palette.blue)
    return drawing.svg()
