"""Plan views of packs, to one scale, from the sizes that were recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .arrange import Arrangement, Rect, arrange
from .numbers import number
from .palette import LIGHT, Palette
from .parts import PlanParts
from .svg import Drawing, shorten, text_width

LEFT, TOP, GAP, FOOT = 44.0, 8.0, 26.0, 62.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One pack in the picture: its parts and a line about it."""

    parts: PlanParts
    about: str = ""


def millimetres(metres: float) -> str:
    return number(metres * 1000.0)


def plans(
    packs: Sequence[Plan], *, width: float = 1000.0, tallest: float = 330.0, palette: Palette = LIGHT
) -> str:
    """Draw packs side by side to one scale, with overall dimensions outside the parts [mm].

    A pack without outer sizes is not drawn but named with "outer sizes not recorded".
    """
    drawn = [p for p in packs if p.parts.length is not None and p.parts.width is not None]
    missing = [p for p in packs if p not in drawn]
    title = "Plan views to one scale: " + (", ".join(p.parts.name for p in packs) or "no pack")
    if not drawn:
        drawing = Drawing(width, 30.0, title, "no outer sizes recorded")
        _not_recorded(drawing, missing, 20.0, palette)
        return drawing.svg()
    total = sum(p.parts.length or 0.0 for p in drawn)
    room = width - len(drawn) * LEFT - (len(drawn) - 1) * GAP - 4.0
    deepest = max(p.parts.width or 0.0 for p in drawn)
    scale = min(room / total, tallest / deepest)
    height = TOP + deepest * scale + FOOT + (16.0 * len(missing) + 6.0 if missing else 0.0)
    used = len(drawn) * LEFT + (len(drawn) - 1) * GAP + 4.0 + total * scale
    drawing = Drawing(max(used, 240.0), height, title, "; ".join(_told(p.parts) for p in packs))
    x = LEFT
    for plan in drawn:
        wide = (plan.parts.length or 0.0) * scale
        deep = (plan.parts.width or 0.0) * scale
        # Feet stand on one line, so that sizes compare by eye.
        _pack(drawing, plan, x, TOP + deepest * scale - deep, scale, palette)
        x += wide + GAP + LEFT
    _not_recorded(drawing, missing, height - 16.0 * len(missing) + 8.0, palette)
    return drawing.svg()


def _told(parts: PlanParts) -> str:
    if parts.length is None or parts.width is None:
        return f"{parts.name}: outer sizes not recorded"
    told = f"{parts.name}: {millimetres(parts.length)} by {millimetres(parts.width)} mm"
    if parts.modules is not None:
        told += f", {parts.modules.count} × {parts.modules.name}, arrangement assumed"
    return told


def _not_recorded(drawing: Drawing, missing: Sequence[Plan], y: float, palette: Palette) -> None:
    for plan in missing:
        drawing.text(LEFT, y, f"{plan.parts.name}: outer sizes not recorded, not drawn", palette.soft)
        y += 16.0


def _pack(drawing: Drawing, plan: Plan, x: float, y: float, scale: float, palette: Palette) -> None:
    parts = plan.parts
    arranged = arrange(parts)
    wide, deep = (parts.length or 0.0) * scale, (parts.width or 0.0) * scale
    drawing.rect(x, y, wide, deep, fill=palette.sheet, stroke=palette.ink, width=1.5)
    if arranged is not None:
        _inside(drawing, arranged, x, y, scale, palette)
    _dimension_under(drawing, x, y + deep, wide, millimetres(parts.length or 0.0), palette)
    _dimension_left(drawing, x, y, deep, millimetres(parts.width or 0.0), palette)
    base = y + deep + 44.0
    drawing.text(x, base, parts.name, palette.ink, size=13.0, bold=True, condensed=False)
    lead = 1.05 * text_width(parts.name, 13.0, condensed=False) + 7.0
    drawing.text(x + lead, base, shorten(plan.about, 13.0, wide - lead + GAP), palette.soft, size=13.0)
    drawing.text(x, base + 15.0, shorten(_note(parts, arranged), 12.0, wide + GAP), palette.soft, size=12.0)


def _note(parts: PlanParts, arranged: Arrangement | None) -> str:
    told = []
    if parts.height is not None:
        told.append(f"{millimetres(parts.height)} mm high")
    if arranged is None or (not arranged.modules and not arranged.boxes):
        told.append("sizes of the inside not recorded")
    else:
        told.append("arrangement assumed")
    if arranged is not None and arranged.left_out:
        told.append("without " + ", ".join(arranged.left_out))
    return "; ".join(told)


def _inside(drawing: Drawing, a: Arrangement, x: float, y: float, scale: float, palette: Palette) -> None:
    def put(rect: Rect, fill: str, stroke: str, line: float) -> None:
        drawing.rect(
            x + rect.x * scale, y + rect.y * scale, rect.w * scale, rect.h * scale,
            fill=fill, stroke=stroke, width=line,
        )  # fmt: skip

    put(a.inner, "none", palette.rule, 0.75)
    for module in a.modules:
        put(module, palette.fill, palette.blue, 0.9)
    for member in a.members:
        put(member, palette.sheet, palette.soft, 0.75)
    for box in a.boxes:
        put(box, palette.sheet, palette.orange, 1.5)
        _label(drawing, box, x, y, scale, palette)
    if a.modules:
        first = a.modules[0]
        label = shorten(f"{len(a.modules)} × {first.name}", 11.5, first.w * scale - 8.0, least=8)
        if label:
            drawing.text(
                x + first.x * scale + 6.0, y + first.y * scale + 15.0, label, palette.blue, size=11.5
            )


def _label(drawing: Drawing, box: Rect, x: float, y: float, scale: float, palette: Palette) -> None:
    """A box's name up to its first comma, a word a line, as far as it fits."""
    size, room = 10.0, box.w * scale - 4.0
    lines: list[str] = []
    for word in box.name.partition(",")[0].split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size) <= room:
            lines[-1] = joined
        else:
            lines.append(shorten(word, size, room, least=4))
    lines = [line for line in lines if line][: int(box.h * scale / (size + 1.0))]
    top = y + (box.y + box.h / 2) * scale - (size + 1.0) * (len(lines) - 1) / 2 + 0.35 * size
    for n, line in enumerate(lines):
        at = top + n * (size + 1.0)
        drawing.text(x + (box.x + box.w / 2) * scale, at, line, palette.orange, size=size, anchor="middle")


def _dimension_under(d: Drawing, x: float, y: float, wide: float, text: str, palette: Palette) -> None:
    line = y + 16.0
    for end in (x, x + wide):
        d.line(end, y + 4.0, end, line + 4.0, palette.soft, 0.75)
        d.line(end - 3.0, line + 3.0, end + 3.0, line - 3.0, palette.soft, 1.0)
    d.line(x, line, x + wide, line, palette.soft, 0.75)
    d.text(x + wide / 2, line + 13.0, text, palette.soft, size=12.0, anchor="middle")


def _dimension_left(d: Drawing, x: float, y: float, deep: float, text: str, palette: Palette) -> None:
    line = x - 16.0
    for end in (y, y + deep):
        d.line(line - 4.0, end, x - 4.0, end, palette.soft, 0.75)
        d.line(line - 3.0, end + 3.0, line + 3.0, end - 3.0, palette.soft, 1.0)
    d.line(line, y, line, y + deep, palette.soft, 0.75)
    d.text(line - 6.0, y + deep / 2, text, palette.soft, size=12.0, anchor="middle", turned=True)
