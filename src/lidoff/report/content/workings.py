"""Workings: how each figure came about, for every pack."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from math import isclose

from ...evaluate.findings import Figure, WorkedLine
from ...methods import FormulaError
from ...methods.typeset import to_mathml, to_typst
from ...pictures import shares
from ...pictures.numbers import MISSING, THIN, number, percent, unit_text
from ...records import FUNCTIONS
from ..blocks import (
    Block,
    Cell,
    Column,
    Fold,
    Formula,
    Kind,
    Paragraph,
    Row,
    Run,
    Section,
    Set,
    Style,
    Table,
    Text,
    link,
    say,
    soft,
)
from .alike import is_by_function
from .sources_list import source_anchor, source_label
from .story import Story, Told
from .tell import covers_text, interval, quiet, scale_of, short_number, value, words

#: Addends named one by one; the rest is summed and found in the readings.
TERMS = 6
#: More sources than this are named in the list only, where space matters.
MANY_SOURCES = 8
#: How a cost figure's warnings about open lines begin; the lines themselves are listed with the cost.
NOT_COSTED = "not costed"
BY_FUNCTION = tuple(f"mass_{f}" for f in FUNCTIONS)


@lru_cache(maxsize=2048)
def formula(text: str, money: str = "money") -> Formula:
    """A formula typeset where it is one; a phrase stays text. ``money`` names the books' money."""
    try:
        typst, mathml = to_typst(text), to_mathml(text)
    except FormulaError:
        return Formula(text=text)
    return Formula(
        text=text,
        typst=typst.replace('upright("money', f'upright("{money}'),
        mathml=mathml.replace(f"{THIN}money", f"{THIN}{money}"),
    )


def number_of(line: WorkedLine) -> str:
    """A worked line's result: working keeps more digits than the figure it leads to."""
    return short_number(float(f"{line.value:.5g}"))


WORKED = (
    Column(head="Line", width=1.3),
    Column(head="Formula", width=2.4),
    Column(head="Numbers put in", set=Set.QUIET, width=2.6),
    Column(head="Result", set=Set.NUMBER),
    Column(head="", set=Set.UNIT),
    Column(head="Source or basis", width=1.1),
)


def worked_rows(lines: Sequence[WorkedLine], story: Story) -> list[Row]:
    rows = []
    for line in lines:
        cells = (
            Cell(text=say(line.name.replace("_", " "), *((soft(f" · {line.about}"),) if line.about else ()))),
            Cell(formula=formula(line.formula, unit_text(story.findings.currency))),
            quiet(in_money(line.put_in, story)),
            words(number_of(line)),
            quiet(in_money(unit_text(line.unit), story)),
            Cell(text=source_run(line.source)),
        )
        rows.append(Row(cells=cells))
    return rows


def in_money(text: str, story: Story) -> str:
    """Numbers of a worked line as this report prints them; books speak of money without a currency."""
    grouped = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", THIN, text)
    return re.sub(r"\bmoney\b", unit_text(story.findings.currency), grouped)


def source_run(source: str | None) -> Text:
    if not source:
        return ()
    return say(link(source_label(source), source_anchor(source)))


def workings(story: Story) -> Section:
    names = list(dict.fromkeys(name for told in story.packs for name in told.figures))
    names += [name for name in story.compared if name not in names]
    blocks: list[Block] = [
        Paragraph(
            text=say(
                "A figure's value is the evaluation at nominal readings; low and high are the bounds of its "
                "95 % interval from the samples. Working lines show more digits than the figure, so that "
                "they can be followed."
            ),
            style=Style.NOTE,
        )
    ]
    blocks += [_fold(story, name) for name in names if name not in BY_FUNCTION and not is_by_function(name)]
    functions = [name for name in names if name in BY_FUNCTION]
    if functions:
        blocks.append(_functions(story, functions))
    ratios = [name for name in names if is_by_function(name)]
    if ratios:
        blocks.append(_by_function(story, ratios))
    return Section(anchor="workings", title="Workings", short="Workings", blocks=tuple(blocks))


def _title(story: Story, name: str) -> str:
    for told in story.packs:
        figure = told.figure(name)
        if figure is not None:
            return figure.title
    row = story.compared.get(name)
    return row.title if row is not None else name.replace("_", " ")


def _fold(story: Story, name: str) -> Fold:
    rows: list[Row] = []
    row = story.compared.get(name)
    for told in story.packs:
        own = told.figure(name)
        scoped = row.values.get(told.pack.id) if row is not None else None
        if own is not None:
            rows += _worked(story, told, own, "")
        if scoped is not None and not _same(own, scoped):
            rows += _worked(story, told, scoped, " in the scope")
    title = _title(story, name)
    table = Table(told=f"Working of {title}", columns=WORKED, rows=tuple(rows), small=True)
    return Fold(title=say(title), blocks=(table,), anchor=f"working-{name}")


def _same(own: Figure | None, scoped: Figure) -> bool:
    """Whether a scope leaves a figure as it is; sums in another order differ in the last bits."""
    if own is None:
        return False
    pairs = zip((own.value, own.low, own.high), (scoped.value, scoped.low, scoped.high), strict=True)
    return all(a == b or (a is not None and b is not None and isclose(a, b)) for a, b in pairs)


def _worked(story: Story, told: Told, figure: Figure, where: str) -> list[Row]:
    labels = {term.label for term in figure.terms}
    own = tuple(line for line in figure.working if line.name not in labels)
    rows = [_head(told, figure, where), *worked_rows(own, story), *_terms(story, told, figure)]
    for text in _notes(figure):
        rows.append(Row(cells=(words(soft(text), across=len(WORKED)),), kind=Kind.UNDER))
    more = _elsewhere(story, told, figure)
    if more:
        rows.append(Row(cells=(Cell(text=say(*more), across=len(WORKED)),), kind=Kind.UNDER))
    return rows


def _elsewhere(story: Story, told: Told, figure: Figure) -> list[Run]:
    """Links to what is listed elsewhere: lines not costed, and sources."""
    runs: list[Run] = []
    open_lines = sum(1 for text in figure.warnings if text.startswith(NOT_COSTED))
    if open_lines:
        runs += [soft("Not costed: "), link(f"lines of {told.name}", f"cost-lines-{told.place}"), soft("   ")]
    if len(figure.sources) > MANY_SOURCES and not story.whole:
        runs += [soft("Sources: "), link(f"{len(figure.sources)}, listed at the end", "sources")]
    elif figure.sources:
        runs += [soft("Sources: ")]
        for source in figure.sources:
            runs += [*source_run(source), soft("  ")]
    return runs


def _by_function(story: Story, names: list[str]) -> Fold:
    """Mass per kWh and shares by function: one row a figure, the packs side by side."""
    rows: list[Row] = []
    for name in names:
        row = story.compared[name]
        figures = [row.values.get(told.pack.id) for told in story.packs]
        works = [f.working[0] if f is not None and f.working else None for f in figures]
        formula_text = next((w.formula for w in works if w is not None), "")
        scaled = scale_of(figures)
        cells = [words(row.title), quiet(formula_text)]
        for figure, work in zip(figures, works, strict=True):
            cells += [quiet(work.put_in if work is not None else ""), words(value(figure, scaled))]
        cells.append(quiet(scaled.unit))
        rows.append(Row(cells=tuple(cells), anchor=f"working-{name}"))
    columns = [Column(head="Figure", width=1.5), Column(head="Formula", set=Set.QUIET, width=1.4)]
    for told in story.packs:
        columns += [Column(head=told.name, set=Set.QUIET, width=1.5), Column(head="", set=Set.NUMBER)]
    columns.append(Column(head="", set=Set.UNIT))
    told_table = "Per kWh and shares by function"
    table = Table(told=told_table, columns=tuple(columns), rows=tuple(rows), small=True)
    return Fold(title=say("Per kWh and shares, by function"), blocks=(table,), anchor="working-by-function")


def _head(told: Told, figure: Figure, where: str) -> Row:
    scaled = scale_of([figure])
    if figure.value is None:
        return Row(cells=(words(f"{told.name}{where}: {MISSING}", across=len(WORKED)),), kind=Kind.GROUP)
    text = f"{told.name}{where}: {value(figure, scaled)} {scaled.unit}".strip()
    spread = interval(figure, scaled)
    return Row(
        cells=(
            words(
                text,
                soft(f"   {spread}" + ("" if spread == "exact" else f" ({percent(figure.coverage)})")),
                across=len(WORKED),
            ),
        ),
        kind=Kind.GROUP,
    )


def _notes(figure: Figure) -> list[str]:
    notes = []
    part = shares(figure.basis)
    if part is not None and figure.value is not None:
        notes.append(part.told)
    if figure.covers is not None and figure.value is not None:
        notes.append(covers_text(figure.covers))
    return notes + [text for text in figure.warnings if not text.startswith(NOT_COSTED)]


def _terms(story: Story, told: Told, figure: Figure) -> list[Row]:
    """The largest addends, linked to their readings, and the sum of the rest."""
    own = told.figure(figure.name)
    put_in = {line.name: line.put_in for f in (own, figure) if f is not None for line in f.working}
    terms = sorted(figure.terms, key=lambda t: -abs(t.value))
    rows = []
    unit = unit_text(figure.unit)
    shown = terms if story.whole or len(terms) <= TERMS + 1 else terms[:TERMS]
    for term in shown:
        where = put_in.get(term.label)
        cells = (
            words(link(term.label, story.part(told, term.item))),
            quiet(in_money(where, story) if where else "addend"),
            quiet(term.origin.replace("_", " ")),
            words(short_number(float(f"{term.value:.5g}"))),
            quiet(unit),
            quiet(str(term.basis)),
        )
        rows.append(Row(cells=cells))
    rest = terms[len(shown) :]
    if rest:
        total = sum(term.value for term in rest)
        cells = (
            words(f"{number(len(rest))} more addends"),
            quiet("sum"),
            words(link("see the readings", f"readings-{told.place}")),
            words(short_number(float(f"{total:.5g}"))),
            quiet(unit),
            quiet(""),
        )
        rows.append(Row(cells=cells))
    return rows


def _functions(story: Story, names: list[str]) -> Fold:
    """Mass by function: which lines, and their sum."""
    rows: list[Row] = []
    for name in names:
        figures = [(told, told.figure(name)) for told in story.packs]
        first = True
        for told, figure in figures:
            if figure is None or figure.value is None:
                continue
            numbers: list[Run | str] = []
            for term in sorted(figure.terms, key=lambda t: -abs(t.value)):
                item = told.pack.item(term.item) if term.item else None
                label = item.number if item is not None and item.number else term.label
                numbers += ["  " if numbers else "", link(label, story.part(told, item))]
            scaled = scale_of([figure])
            cells = (
                words(figure.title if first else ""),
                words(told.name),
                Cell(text=say(*numbers)),
                words(value(figure, scaled)),
                quiet(scaled.unit),
            )
            rows.append(Row(cells=cells, anchor=f"working-{name}" if first else None))
            first = False
        if first:
            rows.append(
                Row(
                    cells=(
                        words(_title(story, name)),
                        words("no pack"),
                        words("no line"),
                        words(MISSING),
                        quiet(""),
                    ),
                    anchor=f"working-{name}",
                )
            )
    columns = (
        Column(head="Figure", width=1.0),
        Column(head="Pack", width=0.6),
        Column(head="Sum of lines, heaviest first", width=5.0),
        Column(head="Mass", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
    )
    table = Table(told="Mass by function, lines summed", columns=columns, rows=tuple(rows), small=True)
    return Fold(title=say("Mass by function"), blocks=(table,), anchor="working-functions")
