"""Where a plan view puts modules and boxes when their places were not recorded."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .parts import Block, PlanParts

#: Wall taken on each side where no rail was recorded, as a share of the width: for drawing only.
WALL_SHARE = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """A rectangle in the plan [m], from the pack's upper left corner."""

    x: float
    y: float
    w: float
    h: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    inner: Rect
    modules: tuple[Rect, ...] = ()
    members: tuple[Rect, ...] = ()
    boxes: tuple[Rect, ...] = ()
    left_out: tuple[str, ...] = ()


def _grid(block: Block, inner: Rect) -> tuple[int, int, float, float] | None:
    """Columns, rows and the module's sides along x and y that fill the width best."""
    best: tuple[float, tuple[int, int, float, float]] | None = None
    for along, across in ((block.length, block.width), (block.width, block.length)):
        for rows in range(1, block.count + 1):
            columns = math.ceil(block.count / rows)
            if rows * across > inner.h or columns * along > inner.w:
                continue
            spare = columns * rows - block.count
            fill = rows * across / inner.h - 0.5 * spare / block.count
            if best is None or fill > best[0]:
                best = (fill, (columns, rows, along, across))
    return best[1] if best else None


def _inner(parts: PlanParts, length: float, width: float) -> Rect:
    """The inside; the recorded rail, or the assumed wall, thinned where the modules need the room."""
    wall = parts.rail or WALL_SHARE * width
    inner = Rect(x=wall, y=wall, w=length - 2 * wall, h=width - 2 * wall)
    if parts.modules is not None and _grid(parts.modules, inner) is None:
        wall = 0.008 * width
        inner = Rect(x=wall, y=wall, w=length - 2 * wall, h=width - 2 * wall)
    return inner


def _boxes(boxes: tuple[Block, ...], bay: Rect) -> tuple[tuple[Rect, ...], tuple[str, ...]]:
    """Stack boxes down the free bay, turned where they only fit so."""
    placed: list[Rect] = []
    out: list[str] = []
    air = 0.02 * bay.h
    y = bay.y + air
    for box in boxes:
        for _ in range(box.count):
            sides = ((box.width, box.length), (box.length, box.width))
            fits = [(w, h) for w, h in sides if w <= bay.w and y + h <= bay.y + bay.h]
            if not fits:
                out.append(box.name)
                continue
            w, h = fits[0]
            placed.append(Rect(x=bay.x + (bay.w - w) / 2, y=y, w=w, h=h, name=box.name))
            y += h + air
    return tuple(placed), tuple(dict.fromkeys(out))


def arrange(parts: PlanParts) -> Arrangement | None:
    """Arrange a pack's blocks in its envelope, or ``None`` where no outer sizes were recorded.

    Modules stand in the grid that fills the width best, cross members in the gaps between columns,
    boxes in the bay that is left at the right. What does not fit is named in ``left_out``.
    """
    if parts.length is None or parts.width is None:
        return None
    inner = _inner(parts, parts.length, parts.width)
    if parts.modules is None:
        boxes, out = _boxes(parts.boxes, inner)
        return Arrangement(inner=inner, boxes=boxes, left_out=out)
    grid = _grid(parts.modules, inner)
    if grid is None:
        boxes, out = _boxes(parts.boxes, inner)
        return Arrangement(inner=inner, boxes=boxes, left_out=(parts.modules.name, *out))
    return _filled(parts, inner, grid)


def _filled(parts: PlanParts, inner: Rect, grid: tuple[int, int, float, float]) -> Arrangement:
    columns, rows, along, across = grid
    assert parts.modules is not None  # a grid is only made of modules
    beams = min(parts.members.count, columns) if parts.members is not None else 0
    gaps = max(columns - 1, beams)
    slack = inner.w - columns * along
    # The bay keeps room for the widest box at its narrow side; what is over goes between columns.
    spare = max(slack - 1.06 * max((b.width for b in parts.boxes), default=0.0), 0.0)
    gap_x = spare / gaps if gaps else 0.0
    gap_x = min(gap_x, parts.members.width if parts.members is not None and beams else 0.05 * along)
    gap_y = (inner.h - rows * across) / (rows + 1)
    used = columns * along + gaps * gap_x
    lead = 0.0 if parts.boxes else (inner.w - used) / 2.0
    pitch = along + gap_x
    modules = tuple(
        Rect(
            x=inner.x + lead + column * pitch,
            y=inner.y + gap_y + row * (across + gap_y),
            w=along,
            h=across,
            name=parts.modules.name,
        )
        for column, row in (divmod(index, rows) for index in range(parts.modules.count))
    )
    members = tuple(
        Rect(x=inner.x + lead + place * pitch + along, y=inner.y, w=gap_x, h=inner.h, name="cross member")
        for place in _spread(beams, gaps)
        if gap_x > 0.0
    )
    bay = Rect(x=inner.x + lead + used, y=inner.y, w=inner.w - lead - used, h=inner.h)
    boxes, out = _boxes(parts.boxes, bay)
    return Arrangement(inner=inner, modules=modules, members=members, boxes=boxes, left_out=out)


def _spread(count: int, places: int) -> tuple[int, ...]:
    """Which of ``places`` gaps hold ``count`` members, evenly."""
    return tuple(sorted({math.floor((k + 0.5) * places / count) for k in range(count)})) if count else ()
