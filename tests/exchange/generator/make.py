"""Makes one bench file at random, with its truth."""

from __future__ import annotations

from pathlib import Path
from random import Random

from . import extras
from .compose import dress, number, write_parts
from .page import Page
from .slips import draw_slips
from .style import Style, draw_style
from .tree import Layout, draw_tree, walk
from .truth import Line, Truth
from .words import words
from .write import save

_NAMES = ("Kestrel", "Plover", "Siskin", "Dunlin", "Wagtail", "Ouzel")


def make(folder: Path, start: int, turn: int) -> Truth:
    """The file number ``turn`` of the batch that ``start`` begins; the same two give the same file."""
    rng = Random(f"{start}/{turn}")
    needs = draw_slips(rng, turn)
    style = draw_style(rng, needs=needs)
    many = "mangled number" in needs
    root, layout = draw_tree(rng, style.language, single_counts=style.mass_form == "total", many=many)
    if many:
        style.padded, style.trailing_dot, style.root = False, False, True
    if rng.random() < 0.5 and style.format == "xlsx":
        style.extras.add("formula")
    number(root, style)
    dress(rng, root, style)
    truth = Truth(
        path=folder / f"bench{turn}.{_suffix(rng, style)}",
        number=turn,
        style=style.describe(),
        lines=list(walk(root)),
        has_number=style.layout in ("dotted", "dashed"),
        columns=frozenset(style.columns),
        has_sizes=style.size_form != "none",
        mass_known=style.mass_place != "none",
    )
    save(rng, truth.path, _Book(rng, style, truth, needs).pages(root, layout), style)
    return truth


def _suffix(rng: Random, style: Style) -> str:
    return rng.choice(["csv", "txt"]) if style.format == "pipe" else style.format


class _Book:
    """A file being put together: several sheets, or one text with its tables one after another."""

    def __init__(self, rng: Random, style: Style, truth: Truth, needs: frozenset[str]) -> None:
        self.rng, self.style, self.truth, self.needs = rng, style, truth, needs
        self.names = {key: rng.choice(found) for key, found in words(style.language, "sheets").items()}
        self.text = Page(name="")
        title = rng.choice(words(style.language, "phrases")["title"])
        self.title = str(title).format(pack=rng.choice(_NAMES))

    def _page(self, key: str) -> Page:
        if self.style.is_book:
            offset = self.style.offset if key == "parts" else (0, 0)
            return Page(name=self.names[key], offset=offset)
        if self.text.rows:
            self.text.add([])
            if key not in ("front", "parts"):
                self.text.add([self.names[key]])
        return self.text

    def pages(self, root: Line, layout: Layout) -> list[Page]:
        rng, style, truth = self.rng, self.style, self.truth
        pages: list[Page] = []
        if "front" in style.extras:
            pages.append(self._page("front"))
            extras.front(rng, style, pages[-1], truth, root, layout, self.title)
        pages.append(self._page("parts"))
        if "title" in style.extras and (style.is_book or "front" not in style.extras):
            pages[-1].titles.append(pages[-1].add([self.title]))
            if rng.random() < 0.5:
                pages[-1].add([])
        write_parts(rng, root, style, pages[-1], truth, self.needs)
        if "joints" in style.extras:
            pages.append(self._page("joints"))
            extras.joints(rng, style, pages[-1], truth)
        if "log" in style.extras:
            pages.append(self._page("log"))
            extras.log(rng, style, pages[-1], truth, slip="dotted time" in self.needs)
        if "removals" in style.extras:
            pages.append(self._page("removals"))
            extras.removals(rng, style, pages[-1], truth)
        if "other" in style.extras and style.is_book:
            pages.append(self._page("other"))
            extras.other(rng, style, pages[-1])
            if rng.random() < 0.3:
                pages.append(Page(name=self.names["spare"]))
        return pages if style.is_book else [self.text]
