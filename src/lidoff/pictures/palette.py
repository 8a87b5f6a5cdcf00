"""Colours: ink on paper, one blue for data and links, orange only for high voltage."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """The nine colours a drawing may use, as SVG or CSS paint."""

    paper: str
    sheet: str
    ink: str
    soft: str
    rule: str
    hair: str
    blue: str
    orange: str
    fill: str


LIGHT = Palette(
    paper="#f7f5ef",
    sheet="#fffefa",
    ink="#1b232d",
    soft="#5b6470",
    rule="#d8d3c5",
    hair="#e8e4d9",
    blue="#1f4e79",
    orange="#c2410c",
    fill="#dfe8f1",
)

DARK = Palette(
    paper="#12171d",
    sheet="#182029",
    ink="#e6e9ec",
    soft="#9aa5b1",
    rule="#33404d",
    hair="#26313c",
    blue="#8ab8e6",
    orange="#ff8a50",
    fill="#22384e",
)

#: The same names as custom properties, for drawings that stand in a page with both schemes.
PAGE = Palette(**{field.name: f"var(--{field.name})" for field in fields(Palette)})


def _channel(level: int) -> float:
    share = level / 255.0
    # The threshold is that of sRGB as corrected in WCAG 2.2 (2023), "relative luminance".
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance of a "#rrggbb" colour (WCAG 2.2, definition of relative luminance)."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.2126 * _channel(red) + 0.7152 * _channel(green) + 0.0722 * _channel(blue)


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two "#rrggbb" colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
