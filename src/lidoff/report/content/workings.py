"""Workings: how each figure came about, for every pack."""

from __future__ import annotations

import re

from ...evaluate.findings import Figure, WorkedLine
from ...methods import FormulaError
from ...methods.typeset import to_mathml, to_typst
from ...pictures import shares
from ...pictures.numbers import MISSING, number, percent, unit_text
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
from .sources_list import source_anchor
from .story import Story, Told
from .tell import covers_text, interval, quiet, scale_of, short_number, value, words

#: Addends named one by one; the rest is summed and found in the readings.
TERMS = 6
BY_FUNCTION = tuple(f"mass_{f}" for f in FUNCTIONS)


_UPRIGHT_WORD = re.compile(r'upright\(("[^"]*")\)')


def formula(text: str) -> Formula:
    """A formula typeset where it is one; a phrase stays text."""
    try:
        # Words stand as text in the formula font's own sans; "upright" would turn them to serif.
        typst = _UPRIGHT_WORD.sub(r"\1", to_typst(text))
        return Formula(text=text, typst=typst, mathml=to_mathml(text))
    except FormulaError:
        return Formula(text=text)


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


def worked_rows(lines: tuple[WorkedLine, ...]) -> list[Row]:
    rows = []
    for line in lines:
        cells = (
            Cell(text=say(line.name.replace("_", " "), *((soft(f" · {line.about}"),) if line.about else ()))),
            Cell(formula=formula(line.formula)),
            quiet(line.put_in),
            words(number_of(line)),
            quiet(unit_text(line.unit)),
            Cell(text=source_run(line.source)),
        )
        rows.append(Row(cells=cells))
    return rows


def source_run(source: str | None) -> Text:
    if not source:
        return ()
    return say(link(source, source_anchor(source)))


def workings(story: Story) -> Section:
    names = list(dict.fromkeys(name for told in story.packs for name in told.findings.figures))
    compared = [row.name for row in story.comparison.rows] if story.comparison is not None else []
    names += [name for name in compared if name not in names]
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
    rows = story.comparison.rows if story.comparison is not None else ()
    return next((row.title for row in rows if row.name == name), name.replace("_", " "))


def _fold(story: Story, name: str) -> Fold:
    rows: list[Row] = []
    row = story.comparison.row(name) if story.comparison is not None else None
    for told in story.packs:
        own = told.figure(name)
        scoped = row.values.get(told.pack.id) if row is not None else None
        if own is not None:
            rows += _worked(story, told, own, "")
        if scoped is not None and scoped is not own:
            rows += _worked(story, told, scoped, " in the scope")
    title = _title(story, name)
    table = Table(told=f"Working of {title}", columns=WORKED, rows=tuple(rows), small=True)
    return Fold(title=say(title), blocks=(table,), anchor=f"working-{name}")


def _worked(story: Story, told: Told, figure: Figure, where: str) -> list[Row]:
    rows = [_head(told, figure, where), *worked_rows(figure.working), *_terms(story, told, figure)]
    for text in _notes(figure):
        rows.append(Row(cells=(words(soft(text), across=len(WORKED)),), kind=Kind.UNDER))
    runs = [run for source in figure.sources for run in (*source_run(source), soft("  "))]
    if runs:
        rows.append(
            Row(cells=(Cell(text=say(soft("Sources: "), *runs), across=len(WORKED)),), kind=Kind.UNDER)
        )
    return rows


def _by_function(story: Story, names: list[str]) -> Fold:
    """Mass per kWh and shares by function: one row a pack and figure."""
    assert story.comparison is not None  # such figures come from a comparison
    rows: list[Row] = []
    for name in names:
        row, first = story.comparison.row(name), True
        for told in story.packs:
            figure = row.values.get(told.pack.id) if row is not None else None
            if row is None or figure is None:
                continue
            work = figure.working[0] if figure.working else None
            scaled = scale_of([figure])
            cells = (
                words(row.title if first else ""),
                words(told.name),
                quiet(work.formula if work else ""),
                quiet(work.put_in if work else ""),
                words(value(figure, scaled)),
                quiet(scaled.unit),
            )
            rows.append(Row(cells=cells, anchor=f"working-{name}" if first else None))
            first = False
    columns = (
        Column(head="Figure", width=1.6),
        Column(head="Pack", width=0.6),
        Column(head="Formula", set=Set.QUIET, width=1.4),
        Column(head="Numbers put in", set=Set.QUIET, width=1.6),
        Column(head="Result", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
    )
    table = Table(told="Per kWh and shares by function", columns=columns, rows=tuple(rows), small=True)
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
    return notes + list(figure.warnings)


def _terms(story: Story, told: Told, figure: Figure) -> list[Row]:
    """The largest addends, linked to their readings, and the sum of the rest."""
    terms = sorted(figure.terms, key=lambda t: -abs(t.value))
    rows = []
    unit = unit_text(figure.unit)
    for term in terms[:TERMS]:
        cells = (
            words(link(term.label, story.part(told, term.item))),
            quiet("addend"),
            quiet(term.origin),
            words(short_number(float(f"{term.value:.5g}"))),
            quiet(unit),
            quiet(str(term.basis)),
        )
        rows.append(Row(cells=cells))
    rest = terms[TERMS:]
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
