"""Bars: one quantity by group, packs paired; and cost by function and element."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .numbers import MISSING, by_interval, number
from .palette import LIGHT, Palette
from .svg import Drawing, shorten, text_width


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A value with its interval, in the picture's unit."""

    value: float
    low: float | None = None
    high: float | None = None

    @property
    def reach(self) -> float:
        return max(self.value, self.high if self.high is not None else self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """One row: its label and an amount a pack, ``None`` where there is none."""

    label: str
    amounts: tuple[Amount | None, ...]


LABEL, RIGHT, BAR = 150.0, 110.0, 10.0


def paired(
    title: str, unit: str, names: Sequence[str], groups: Sequence[Group], *, width: float = 760.0,
    palette: Palette = LIGHT, absent: str = MISSING,
) -> str:  # fmt: skip
    """Bars from zero on one scale, each pack's in every row, with value, whisker and name beside.

    The first pack is solid, the second outlined, further ones alternate; names stand at the bars of
    the first row.
    """
    step = BAR * len(names) + 6.0
    drawing = Drawing(width, step * max(len(groups), 1) + 6.0, f"{title}, {unit}", _told(names, groups))
    reach = max((a.reach for g in groups for a in g.amounts if a is not None), default=0.0)
    if reach <= 0.0:
        drawing.text(0.0, 14.0, "nothing recorded", palette.soft)
        return drawing.svg()
    scale = (width - LABEL - RIGHT) / reach
    for row, group in enumerate(groups):
        top = 4.0 + row * step
        middle = top + BAR * len(names) / 2 + 4.0
        label = shorten(group.label, 12.5, LABEL - 12.0)
        drawing.text(LABEL - 9.0, middle, label, palette.ink, size=12.5, anchor="end")
        for k, amount in enumerate(group.amounts):
            name = names[k] if row == 0 and len(names) > 1 else ""
            _row(drawing, amount, k, top + k * BAR, scale, name, absent, palette)
    drawing.line(LABEL, 0.0, LABEL, step * len(groups) + 2.0, palette.ink, 1.0)
    return drawing.svg()


def _row(
    d: Drawing, amount: Amount | None, k: int, y: float, scale: float, name: str, absent: str, p: Palette
) -> None:
    if amount is None:
        d.text(LABEL + 6.0, y + 9.5, f"{absent}  {name}".rstrip(), p.soft, size=11.0)
        return
    solid = k % 2 == 0
    d.rect(
        LABEL, y + 1.0, amount.value * scale, BAR - 2.0,
        fill=p.blue if solid else p.fill, stroke=p.blue, width=0.75,
    )  # fmt: skip
    end = LABEL + amount.reach * scale
    if amount.low is not None and amount.high is not None and amount.high > amount.low:
        middle = y + BAR / 2
        left, right = LABEL + max(amount.low, 0.0) * scale, LABEL + amount.high * scale
        # Inside a solid bar ink would drown: the whisker shows on paper there.
        d.line(left, middle, right, middle, p.ink, 1.0)
        if solid and left < LABEL + amount.value * scale:
            d.line(left, middle, LABEL + amount.value * scale, middle, p.sheet, 1.0)
        d.line(right, middle - 3.0, right, middle + 3.0, p.ink, 1.0)
        d.line(left, middle - 3.0, left, middle + 3.0, p.sheet if solid else p.ink, 1.0)
    value = by_interval(amount.value, amount.low, amount.high)
    d.text(end + 7.0, y + 9.5, value, p.ink, size=11.5)
    if name:
        d.text(end + 13.0 + text_width(value, 11.5), y + 9.5, name, p.soft, size=11.5)


def _told(names: Sequence[str], groups: Sequence[Group]) -> str:
    rows = []
    for group in groups:
        values = (
            f"{n} {MISSING if a is None else by_interval(a.value, a.low, a.high)}"
            for n, a in zip(names, group.amounts, strict=True)
        )
        rows.append(f"{group.label}: " + ", ".join(values))
    return "; ".join(rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class Elements:
    """One row of a cost picture: label, the value of each element, and the printed total."""

    label: str
    values: tuple[float, ...]
    total: str


def by_element(
    title: str, unit: str, elements: Sequence[str], rows: Sequence[Elements], *, width: float = 760.0,
    palette: Palette = LIGHT,
) -> str:  # fmt: skip
    """Stacked rows from zero, longest first; each element's tone is named above the rows.

    Tones go solid, half, light, open in the order of ``elements`` (at most four).
    """
    rows = sorted(rows, key=lambda r: -sum(r.values))
    if len(elements) > 4:
        raise ValueError(f"at most four elements can be told apart, not {len(elements)}")
    top, step, bar = 22.0, 21.0, 13.0
    told = "; ".join(
        f"{r.label} {r.total}: "
        + ", ".join(f"{e} {number(v, 2)}" for e, v in zip(elements, r.values, strict=True))
        for r in rows
    )
    drawing = Drawing(width, top + step * max(len(rows), 1) + 4.0, f"{title}, {unit}", told)
    largest = max((sum(r.values) for r in rows), default=0.0)
    if largest <= 0.0:
        drawing.text(0.0, 14.0, "nothing costed", palette.soft)
        return drawing.svg()
    scale = (width - LABEL - RIGHT) / largest
    for index, row in enumerate(rows):
        y = top + index * step
        label = shorten(row.label, 12.5, LABEL - 12.0)
        drawing.text(LABEL - 9.0, y + 11.0, label, palette.ink, size=12.5, anchor="end")
        x = LABEL
        for k, value in enumerate(row.values):
            _tone(drawing, x, y, max(value, 0.0) * scale, bar, k, palette)
            x += max(value, 0.0) * scale
        drawing.text(x + 7.0, y + 11.0, row.total, palette.ink, size=11.5)
    _names(drawing, elements, palette)
    drawing.line(LABEL, top - 4.0, LABEL, top + step * len(rows), palette.ink, 1.0)
    return drawing.svg()


def _tone(d: Drawing, x: float, y: float, wide: float, high: float, k: int, p: Palette) -> None:
    if wide <= 0.0:
        return
    fill = (p.blue, p.blue, p.fill, p.sheet)[k]
    d.rect(x, y, wide, high, fill=fill, opacity=0.5 if k == 1 else None, stroke=p.blue, width=0.75)


def _names(d: Drawing, elements: Sequence[str], p: Palette) -> None:
    """Each element's tone with its name, in the order of the bars."""
    x = LABEL
    for k, name in enumerate(elements):
        _tone(d, x, 2.0, 10.0, 10.0, k, p)
        d.text(x + 14.0, 11.0, name, p.soft, size=11.5)
        x += 14.0 + text_width(name, 11.5) + 16.0
