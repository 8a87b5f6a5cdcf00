"""Where a difference between two packs comes from, function by function."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .axis import tick_decimals, ticks
from .numbers import by_interval, number
from .palette import LIGHT, Palette
from .svg import Drawing, shorten

LABEL, VALUE, STEP, BAR, TOP = 150.0, 84.0, 20.0, 12.0, 22.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One step of the difference, with its interval where known."""

    label: str
    value: float
    low: float | None = None
    high: float | None = None


def waterfall(
    title: str,
    unit: str,
    moves: Sequence[Move],
    total: Move,
    *,
    width: float = 760.0,
    palette: Palette = LIGHT,
) -> str:
    """Draw the steps one after the other from zero to the whole difference.

    Raises `ValueError` where the steps do not add up to the total (to 1e-6 of the largest).
    """
    size = max([abs(m.value) for m in moves] + [abs(total.value), 1e-12])
    if abs(sum(m.value for m in moves) - total.value) > 1e-6 * size * max(len(moves), 1):
        raise ValueError(f"the steps add to {sum(m.value for m in moves)}, not to {total.value}")
    told = "; ".join(f"{m.label} {by_interval(m.value, m.low, m.high, signed=True)}" for m in (*moves, total))
    drawing = Drawing(width, TOP + STEP * (len(moves) + 1) + 10.0, f"{title}, {unit}", told)
    low, high = _range(moves, total)
    scale = (width - LABEL - VALUE - 10.0) / (high - low)

    def at(x: float) -> float:
        return LABEL + (x - low) * scale

    marks = ticks(low, high, 6)
    decimals = tick_decimals(marks)
    for mark in marks:
        drawing.line(at(mark), TOP - 6.0, at(mark), TOP + STEP * (len(moves) + 1), palette.hair, 0.75)
        drawing.text(
            at(mark), 11.0, number(mark, decimals, signed=True), palette.soft, size=11.0, anchor="middle"
        )
    run = 0.0
    for row, move in enumerate(moves):
        y = TOP + row * STEP
        left, right = sorted((run, run + move.value))
        drawing.rect(at(left), y, (right - left) * scale, BAR, fill=palette.fill, stroke=palette.blue)
        run += move.value
        drawing.line(at(run), y + BAR, at(run), y + STEP, palette.blue, 0.75)
        _words(drawing, move, y, width, palette, bold=False)
    y = TOP + len(moves) * STEP
    left, right = sorted((0.0, total.value))
    drawing.rect(at(left), y, (right - left) * scale, BAR, fill=palette.blue)
    if total.low is not None and total.high is not None:
        middle = y + BAR / 2
        drawing.line(at(total.low), middle, at(total.high), middle, palette.ink, 1.2)
        for end in (total.low, total.high):
            drawing.line(at(end), middle - 5.0, at(end), middle + 5.0, palette.ink, 1.2)
    _words(drawing, total, y, width, palette, bold=True)
    drawing.line(at(0.0), TOP - 6.0, at(0.0), TOP + STEP * (len(moves) + 1) + 2.0, palette.ink, 1.2)
    return drawing.svg()


def _range(moves: Sequence[Move], total: Move) -> tuple[float, float]:
    ends, run = [0.0, total.value], 0.0
    ends += [end for end in (total.low, total.high) if end is not None]
    for move in moves:
        run += move.value
        ends.append(run)
    low, high = min(ends), max(ends)
    air = 0.04 * (high - low) or 1.0
    return low - air, high + air


def _words(d: Drawing, move: Move, y: float, width: float, p: Palette, *, bold: bool) -> None:
    d.text(
        LABEL - 9.0,
        y + 10.5,
        shorten(move.label, 12.5, LABEL - 12.0),
        p.ink,
        size=12.5,
        anchor="end",
        bold=bold,
    )
    value = by_interval(move.value, move.low, move.high, signed=True)
    d.text(width - 4.0, y + 10.5, value, p.ink, size=12.0, anchor="end", bold=bold)
