"""Draws a workshop's habits: language, layout, units, number style and file format."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from random import Random

from .words import LANGUAGES, words

BOOKS = ("xlsx", "xls", "ods")
_EXTRAS = ("front", "joints", "log", "removals", "other", "notes", "repeat", "subtotals", "title")
#: Slips that need a column to stand on.
_NEEDED = {"unknown function", "unit swap", "decimal slip"}


@dataclass(kw_only=True)
class Style:
    language: str
    layout: str  # level, dotted, dashed, indent
    with_level: bool
    level_form: str  # plain, one, dots
    padded: bool  # 1.02.03
    trailing_dot: bool
    numeric_numbers: bool  # a workbook that took 1.2 for a number
    root: bool
    indent: str
    tight: bool  # writes 171g for 171 g
    format: str
    separator: str
    encoding: str
    newline: str
    decimal: str
    thousands: str
    trims: bool  # writes 0.56 for 0.560
    text_numbers: bool  # a workbook whose numbers are text
    mass_unit: str
    size_unit: str
    mass_place: str  # heading, cell, row, note, none
    size_place: str
    mass_form: str  # each, total, both
    size_form: str  # columns, size, none
    columns: list[str]
    headings: dict[str, str]
    unit_form: str
    functions: dict[str, str]
    basis: dict[str, str]
    processes: dict[str, str]
    log_times: str  # colon, dot, cell
    extras: set[str] = field(default_factory=set)
    offset: tuple[int, int] = (0, 0)

    @property
    def is_book(self) -> bool:
        return self.format in BOOKS

    def number(self, value: Decimal | int, *, text: bool = False) -> str:
        """A number as this bench writes it."""
        plain = f"{value:,f}" if isinstance(value, Decimal) else f"{value:,d}"
        return plain.replace(",", "\0").replace(".", self.decimal).replace("\0", self.thousands)

    def describe(self) -> str:
        return (
            f"{self.language} {self.format} {self.layout}{'+level' if self.with_level else ''} "
            f"{self.mass_form} mass in {self.mass_unit} by {self.mass_place}, sizes {self.size_form} in "
            f"{self.size_unit} by {self.size_place}, decimal {self.decimal!r}, thousands {self.thousands!r}, "
            f"{self.encoding}"
        )


def _columns(
    rng: Random, style_layout: str, with_level: bool, measures: dict[str, str], *, is_book: bool
) -> list[str]:
    """Which columns there are, in this bench's order."""
    front = ["running"] if rng.random() < (0.15 if style_layout in ("level", "indent") else 0.05) else []
    front += ["level"] if with_level or style_layout == "level" else []
    if style_layout in ("dotted", "dashed"):
        front.append("number")
    front.append("name")
    mass_form, mass_place, size_form = (measures[key] for key in ("mass_form", "mass_place", "size_form"))
    sizes = {"columns": ["length", "width", "third"], "size": ["size"], "none": []}[size_form]
    middle: list[list[str]] = [
        ["qty"],
        {"each": ["mass"], "total": ["total"], "both": ["mass", "total"]}[mass_form],
    ]
    if mass_place == "column":
        middle[1].append("unit")
    middle += [["material"]] if rng.random() < 0.95 else []
    middle += [["process"]] if rng.random() < 0.8 else []
    middle += [sizes] if sizes else []
    middle += [["function"]] if rng.random() < 0.85 else []
    middle += [["basis"]] if rng.random() < 0.8 else []
    middle += [["photo"]] if rng.random() < 0.5 else []
    middle += [["remarks"]] if rng.random() < 0.75 else []
    middle += [["initials"]] if rng.random() < 0.12 else []
    middle += [["code"]] if rng.random() < 0.12 else []
    middle += [["spacer"]] if is_book and rng.random() < 0.1 else []
    if rng.random() < 0.45:
        rng.shuffle(middle)
    if rng.random() < 0.12 and style_layout != "indent":
        blocks = [[key] for key in front] + middle
        rng.shuffle(blocks)
        return [key for block in blocks for key in block]
    return front + [key for block in middle for key in block]


def _draw(rng: Random, language: str, topic: str) -> dict[str, str]:
    return {key: rng.choice(found) for key, found in words(language, topic).items()}


def _headings(rng: Random, language: str) -> dict[str, str]:
    known = words(language, "headings")
    heads = {key: rng.choice(found) for key, found in known.items()}
    at = rng.randrange(2) if language != "fr" else 0
    if language != "fr":  # L, W and H come together, or none does
        heads["length"] = known["length"][at]
        heads["width"] = known["width"][at]
    # "Part" heads a name; beside "Item" for the number it is still plain, "Name" is too.
    if heads["number"] == "Nr." and heads["photo"] == "Bild-Nr.":
        heads["photo"] = "Bild"
    if rng.random() < 0.1 and heads["qty"] not in ("Pcs", "Stück", "Stk."):
        heads["qty"] += {"en": " [pcs]", "de": " [Stk]", "fr": " (pcs)"}[language]
    case = rng.random()
    if case < 0.1:
        heads = {key: text if "ß" in text else text.upper() for key, text in heads.items()}
    elif case < 0.18:
        heads = {key: text.lower() for key, text in heads.items()}
    return heads


def _text_form(rng: Random, format_: str, language: str, decimal: str) -> tuple[str, str, str]:
    """Separator, encoding and line end of a text file."""
    if format_ in BOOKS:
        return "", "", "\n"
    if format_ == "tsv":
        separator = "\t"
    elif format_ == "pipe":
        separator = "|"
    elif decimal == ",":
        separator = ";" if rng.random() < 0.9 else ","
    else:
        separator = rng.choice([",", ",", ";"])
    encoding = rng.choice(["utf-8", "utf-8", "utf-8-sig", "cp1252", "utf-16"])
    return separator, encoding, rng.choice(["\n", "\r\n"])


def _indent(rng: Random, separator: str) -> str:
    """What stands in front of a name for each level down: blanks, a tab, dots or dashes."""
    tab = "\t" if separator not in ("\t", "|") else "  "
    return rng.choice(["  ", "    ", "   ", "  ", "  ", "   ", tab, tab, ". ", "-"])


def _units(rng: Random, language: str) -> tuple[str, str]:
    if language == "en" and rng.random() < 0.3:
        return rng.choice(["lb", "lb", "oz", "lb"]), "in"
    return rng.choice(["g", "g", "g", "kg"]), rng.choice(["mm", "mm", "mm", "mm", "cm"])


def _measures(rng: Random, language: str, needs: frozenset[str]) -> dict[str, str]:
    """Which masses and sizes are written, in which units, and where the unit stands."""
    mass_unit, size_unit = _units(rng, language)
    if "unit swap" in needs:
        mass_unit, size_unit = rng.choice(["g", "kg"]), "mm"
    mass_form = rng.choices(["each", "total", "both"], [0.7, 0.15, 0.15])[0]
    size_form = rng.choices(["columns", "size", "none"], [0.6, 0.3, 0.1])[0]
    if needs & {"unit swap", "decimal slip", "missing unit"}:
        mass_form = "each"
    if needs & {"unit swap", "decimal slip"} and size_form == "none":
        size_form = "columns"
    places = ["heading", "heading", "heading", "cell", "row", "note"]
    mass_place, size_place = rng.choice([*places, "column"]), rng.choice(places)
    if "missing unit" in needs:
        mass_place, size_place = "none", "heading"
    elif mass_place == "row" or (size_place == "row" and mass_place != "column"):
        mass_place = size_place = "row"
    elif (mass_place == "column" and (mass_form == "both" or "unit swap" in needs)) or (
        "unit swap" in needs and mass_place == "cell"
    ):
        mass_place = "heading"
    if size_place == "row" and mass_place != "row":
        size_place = "heading"
    return {
        "mass_unit": mass_unit, "size_unit": size_unit, "mass_form": mass_form, "size_form": size_form,
        "mass_place": mass_place, "size_place": size_place,
    }  # fmt: skip


def _layout(rng: Random, needs: frozenset[str]) -> tuple[str, str]:
    """How the tree is told, and the file's format."""
    layout = rng.choices(["level", "dotted", "dashed", "indent"], [0.22, 0.45, 0.13, 0.2])[0]
    if "mangled number" in needs:
        layout = "dotted"
    formats = {"xlsx": 0.38, "csv": 0.3, "tsv": 0.08, "pipe": 0.08, "xls": 0.08, "ods": 0.08}
    format_ = rng.choices(list(formats), list(formats.values()))[0]
    if format_ == "pipe" and layout == "indent":
        format_ = "tsv"
    return layout, format_


def draw_style(rng: Random, *, needs: frozenset[str]) -> Style:
    """A workshop at random. ``needs`` are the slips that must find their place in its file."""
    language = rng.choices(LANGUAGES, [0.5, 0.42, 0.08])[0]
    if needs & {"weighings", "decimal slip", "unit swap", "unknown function"} and language == "fr":
        language = "en"
    layout, format_ = _layout(rng, needs)
    measures = _measures(rng, language, needs)
    with_level = layout in ("dotted", "dashed") and rng.random() < 0.35
    columns = _columns(rng, layout, with_level, measures, is_book=format_ in BOOKS)
    for column in [
        {"unknown function": "function"}.get(slip, "material") for slip in sorted(needs & _NEEDED)
    ]:
        if column not in columns:
            columns.append(column)
    decimal = "." if language == "en" else rng.choice([",", ",", ",", "."])
    separator, encoding, newline = _text_form(rng, format_, language, decimal)
    log_times = rng.choice(["colon", "colon", "dot", "cell"])
    if "dotted time" in needs or (log_times == "cell" and format_ not in BOOKS):
        log_times = "colon"
    extras = {name for name in _EXTRAS if rng.random() < 0.55} | (
        {"log"} if "dotted time" in needs else set()
    )
    return Style(
        language=language, layout=layout, with_level=with_level,
        level_form=rng.choice(["plain", "plain", "one", "dots"]), padded=rng.random() < 0.12,
        trailing_dot=rng.random() < 0.08, numeric_numbers=rng.random() < 0.4, root=rng.random() < 0.6,
        indent=_indent(rng, separator), tight=rng.random() < 0.25,
        format=format_, separator=separator, encoding=encoding, newline=newline, decimal=decimal,
        thousands=rng.choice(["", "", "", "." if decimal == "," else ",", " "]), trims=rng.random() < 0.5,
        text_numbers=rng.random() < 0.15, columns=columns, headings=_headings(rng, language),
        unit_form=rng.choice(["{h} [{u}]", "{h} ({u})", "{h} in {u}", "{h}, {u}", "{h} {u}", "{h} [{u}]"]),
        functions=_draw(rng, language, "functions"), basis=_draw(rng, language, "basis"),
        processes=_draw(rng, language, "processes"), log_times=log_times, extras=extras,
        offset=(rng.randint(1, 4), rng.randint(1, 3)) if format_ in BOOKS and rng.random() < 0.25 else (0, 0),
        **measures,
    )  # fmt: skip
