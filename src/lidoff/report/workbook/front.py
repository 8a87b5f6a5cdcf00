"""Cover and sources: what the workbook is, how to read it, and what it rests on."""

from __future__ import annotations

from ...sources import SOURCES, Seen, cite
from .binder import Binder
from .page import Ref

_SEEN = {
    Seen.PAGE: "page read",
    Seen.MEMORY: "from memory, page not seen",
    Seen.COMPUTED: "computed from what it says",
    Seen.OURS: "our own choice",
}
_LEGEND = (
    ("input", "12.5", "a reading, price or term that may be changed"),
    ("assumed", "12.5", "an input that is assumed or estimated, in italics: the first to doubt"),
    ("calc", "12.5", "worked out by formula"),
    ("default", "12.5", "worked out by formula because nobody recorded it; a number may be written over it"),
    ("figure", "12.5", "a figure, as the report has it"),
    ("issued", "12.5", "as it was at issue; it does not follow changes"),
)


def cover(binder: Binder) -> None:
    page = binder.page("Cover", (3, 24, 3, 100))
    page.sheet.set_row(1, 30)
    page.say(1, binder.study.name or binder.study.id, "title", row=1)
    page.say(1, "Live workbook of the mass and cost model", "plain", row=2)
    page.row = 4
    terms, book = binder.findings.scenario, binder.prices
    told = (
        ("Packs", ", ".join(pack.name for pack in binder.packs)),
        ("Scenario", f"{terms.volume:,.0f} packs a year for {terms.life:g} years, at issue"),
        ("Prices", f"{book.title} ({book.name}), {book.currency} of {book.year}"),
        ("Issued", f"{binder.issued:%Y-%m-%d %H:%M %Z}, from revision {binder.study.revision} of the study"),
    )
    for label, said in told:
        page.say(1, label, "soft")
        page.say(3, said)
        page.row += 1
    page.row += 1
    page.section("What it does", 3, start=1)
    for text in _about(binder):
        page.sheet.set_row(page.row, 12.5 * (1 + len(text) // 105))
        page.say(3, text, "plain wrap")
        page.row += 1
    page.row += 1
    page.section("How cells are marked", 3, start=1)
    for role, sample, said in _LEGEND:
        page.put(1, float(sample), role, look="0.0")
        page.say(3, said)
        page.row += 1
    page.row += 1
    page.section("Sheets", 3, start=1)
    for name, said in _sheets(binder):
        page.link(1, Ref(name, 0, 0), name)
        page.say(3, said, "soft")
        page.row += 1
    page.sheet.fit_to_pages(1, 1)
    page.sheet.activate()


def _about(binder: Binder) -> tuple[str, ...]:
    return (
        "Readings, prices, terms and machines are inputs; masses, routes, rates, mark-ups and figures are "
        "formulas over them. Change an input and everything that rests on it follows. Only closed outlines "
        "are out of view; there are no macros and no links to other files.",
        "Units stand beside the values; where a formula joins different ones, it holds the factor between "
        "them. Comparisons and whole numbers have a guard of 1E-9, so that rounding decides no machine and "
        "no tool.",
        "What does not follow: which process a line takes, which default of several applies, which lines are "
        "costed, and the intervals. Those were settled at issue, by the program that wrote this.",
    )


def _sheets(binder: Binder) -> list[tuple[str, str]]:
    found = [
        ("Figures", "every figure of every pack"),
        ("By function", "mass and cost by function, with a scope to switch"),
    ]
    for pack in binder.packs:
        found += [
            (pack.names["cost"], f"{pack.name}: cost of every line"),
            (pack.names["parts"], f"{pack.name}: parts tree with readings, counts and masses"),
            (pack.names["joints"], f"{pack.name}: joints and their torques"),
            (pack.names["working"], f"{pack.name}: every costed line worked step by step"),
        ]
    return [
        *found,
        ("Pack data", "what was noted of whole packs"),
        ("Scenario", "volume and life"),
        ("Prices", "rows of the price book in use"),
        ("Machines", "machine tables and their hour rates"),
        ("Materials", "properties in use"),
        ("Sources", "what the numbers rest on"),
    ]


def sheet_order(binder: Binder) -> list[str]:
    return ["Cover", *(name for name, _ in _sheets(binder))]


def sources(binder: Binder) -> None:
    page = binder.page("Sources", (26, 100, 18, 26))
    page.head("Sources", "Only what this workbook uses is listed.", binder.back)
    heads = ("Id", "Source", "Kind", "How its numbers were come by")
    page.columns([(head, False) for head in heads], freeze=1)
    for text in binder.findings.sources:
        binder.cite(text)
    for figure in (figure for pack in binder.packs for figure in pack.found.figures.values()):
        for text in figure.sources:
            binder.cite(text)
    for identity in sorted(binder.sources):
        entry = SOURCES.get(identity)
        if entry is None:  # a user's own prices and books cite in their own words
            page.say(0, "", "soft wrap")
            page.say(1, identity, "wrap")
            page.say(2, "user's own", "soft wrap")
            page.say(3, "as the user states it", "soft wrap")
            page.row += 1
            continue
        page.sheet.set_row(page.row, 12.5 * (1 + len(cite(identity)) // 112))
        page.say(0, identity, "soft wrap")
        page.say(1, cite(identity), "wrap")
        page.say(2, str(entry.kind), "soft wrap")
        page.say(3, _SEEN[entry.seen], "soft wrap")
        page.row += 1
