"""A small SVG builder: hairlines, plain shapes and real text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

#: Text is set in the report's own family; its condensed cut is asked for by stretch.
FAMILY = "IBM Plex Sans"

#: Advances as a share of the type size, for room estimates only: means over the vendored upright
#: cut for narrow, wide, upper-case and other characters. The condensed cut is nine tenths of it.
NARROW, WIDE, UPPER, OTHER, CONDENSED = 0.3, 0.83, 0.62, 0.55, 0.9
_NARROW = frozenset("iIjlftr.,;:'|! -()[]/\u202f")
_WIDE = frozenset("mwMW@%&→")


def plain(value: float) -> str:
    """A coordinate with at most two decimals."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def clean(text: str) -> str:
    """Text without characters that XML cannot hold."""
    return "".join(c for c in text if c in "\t\n" or (c >= " " and not "\ud800" <= c <= "\udfff"))


def _advance(character: str) -> float:
    if character in _NARROW:
        return NARROW
    if character in _WIDE:
        return WIDE
    return UPPER if character.isupper() else OTHER


def text_width(text: str, size: float, *, condensed: bool = True) -> float:
    """About how wide a text will be, in the drawing's units."""
    return sum(map(_advance, text)) * size * (CONDENSED if condensed else 1.0)


def shorten(text: str, size: float, room: float, *, least: int = 3) -> str:
    """The text, cut with an ellipsis where it would not fit; empty where nothing sensible fits."""
    if text_width(text, size) <= room:
        return text
    keep = len(text)
    while keep >= least and text_width(text[:keep], size) + 0.9 * size > room:
        keep -= 1
    return text[:keep].rstrip(" ,;+") + "…" if keep >= least else ""


Attributes = Mapping[str, "str | float | None"]


def _attributes(pairs: Attributes) -> str:
    return "".join(
        f" {name}={quoteattr(value if isinstance(value, str) else plain(value))}"
        for name, value in pairs.items()
        if value is not None
    )


@dataclass(slots=True)
class Drawing:
    """An SVG being drawn. ``title`` and ``desc`` are read aloud where the picture cannot be seen."""

    width: float
    height: float
    title: str
    desc: str = ""
    parts: list[str] = field(default_factory=list)

    def _add(self, name: str, pairs: Attributes, body: str | None = None) -> None:
        tag = name + _attributes(pairs)
        self.parts.append(f"<{tag}/>" if body is None else f"<{tag}>{body}</{name}>")

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        stroke: str,
        width: float = 0.75,
        dash: str | None = None,
    ) -> None:
        self._add(
            "line",
            {
                "x1": x1,
                "y1": y1,
                "x2": x2,
                "y2": y2,
                "stroke": stroke,
                "stroke-width": width,
                "stroke-dasharray": dash,
            },
        )

    def rect(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        *,
        fill: str = "none",
        stroke: str | None = None,
        width: float = 0.75,
        dash: str | None = None,
        opacity: float | None = None,
    ) -> None:
        self._add(
            "rect",
            {
                "x": x,
                "y": y,
                "width": max(w, 0.0),
                "height": max(h, 0.0),
                "fill": fill,
                "fill-opacity": opacity,
                "stroke": stroke,
                "stroke-width": width if stroke else None,
                "stroke-dasharray": dash,
            },
        )

    def circle(self, x: float, y: float, r: float, *, fill: str, stroke: str | None = None) -> None:
        self._add("circle", {"cx": x, "cy": y, "r": r, "fill": fill, "stroke": stroke})

    def path(self, d: str, *, stroke: str | None = None, fill: str = "none", width: float = 0.75) -> None:
        self._add("path", {"d": d, "fill": fill, "stroke": stroke, "stroke-width": width if stroke else None})

    def text(
        self,
        x: float,
        y: float,
        text: str,
        fill: str,
        *,
        size: float = 12.0,
        anchor: str = "start",
        bold: bool = False,
        condensed: bool = True,
        turned: bool = False,
    ) -> None:
        """Write ``text`` with its baseline at ``y``; ``turned`` reads from below."""
        pairs: Attributes = {
            "x": x,
            "y": y,
            "fill": fill,
            "font-size": size,
            "text-anchor": anchor if anchor != "start" else None,
            "font-weight": "600" if bold else None,
            "font-stretch": "condensed" if condensed else None,
            "transform": f"rotate(-90 {plain(x)} {plain(y)})" if turned else None,
        }
        self._add("text", pairs, escape(clean(text)))

    def svg(self) -> str:
        """The whole picture as SVG text."""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {plain(self.width)} {plain(self.height)}"'
            f' width="{plain(self.width)}" height="{plain(self.height)}" role="img"'
            f' font-family="{FAMILY}" font-variant-numeric="tabular-nums">'
        )
        told = f"<title>{escape(clean(self.title))}</title>"
        if self.desc:
            told += f"<desc>{escape(clean(self.desc))}</desc>"
        return head + told + "".join(self.parts) + "</svg>"
