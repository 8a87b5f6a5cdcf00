"""A report as one HTML file that asks for nothing outside itself."""

from __future__ import annotations

from functools import cache
from html import escape
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from ..pictures import DARK, LIGHT, PAGE, Palette
from .blocks import Cell, Draw, Report, Run, Table, Text
from .fonts import font_faces


def html(report: Report) -> bytes:
    """The whole page as UTF-8."""
    page = (
        _environment()
        .get_template("report.html")
        .render(
            report=report,
            style=Markup(_style()),
            fonts=Markup(font_faces()),
        )
    )
    return page.encode("utf-8")


def _text(name: str) -> str:
    return (files(__package__) / "templates" / name).read_text("utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_text),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "widths": _widths,
        "text": _runs,
        "drawn": _drawn,
        "kind": _kind,
        "formula": _formula,
    }
    return environment


@cache
def _style() -> str:
    return (
        f":root{{{_tokens(LIGHT)}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root{{color-scheme:dark;{_tokens(DARK)}}}}}\n"
        + _text("report.css")
    )


def _tokens(palette: Palette) -> str:
    names = Palette.__dataclass_fields__
    return "".join(f"--{name}:{getattr(palette, name)};" for name in names)


def _run(run: Run) -> str:
    said = escape(run.text)
    if run.strong:
        said = f"<b>{said}</b>"
    if run.soft:
        said = f'<span class="soft">{said}</span>'
    return f'<a href="#{escape(run.link)}">{said}</a>' if run.link else said


def _runs(text: Text) -> Markup:
    """Text as markup; every word of it is escaped here, in one place."""
    return Markup("".join(map(_run, text)))


def _drawn(draw: Draw) -> Markup:
    # The drawing escapes its own words; it is the only markup let through as it is.
    return Markup(draw(PAGE))


def _formula(cell: Cell) -> Markup:
    formula = cell.formula
    if formula is None:
        return Markup("")
    return Markup(formula.mathml) if formula.mathml else Markup.escape(formula.text)


def _widths(table: Table) -> list[str]:
    """A style for each column: its share, or as narrow as its content."""
    total = sum(column.width for column in table.columns)
    return [f"width:{100 * c.width / total:.1f}%" if c.width else "width:1%" for c in table.columns]


def _kind(block: object) -> str:
    return type(block).__name__.lower()
