"""Mass: what the packs weigh, where, how it closes, what rests on estimates."""

from __future__ import annotations

from dataclasses import replace

from ...evaluate.findings import MassLine
from ...pictures import Amount, Closing, Group, Palette, Segment, Stack, closure, paired, stacked
from ...pictures.numbers import MISSING, by_interval
from ...quantities.reading import DOCUMENTED, OBSERVED
from ...quantities.sampling import interval
from ...records import FUNCTIONS, Function
from ..blocks import (
    Beside,
    Block,
    Cell,
    Column,
    Heading,
    Kind,
    Paragraph,
    Picture,
    Points,
    Row,
    Run,
    Section,
    Set,
    Style,
    Table,
    Text,
    link,
    say,
    strong,
)
from .next import next_readings, next_text
from .story import Story, Told
from .tables import figure_table, own_lines
from .tell import quiet, words

FIGURES = (
    "mass_rolled",
    "mass_weighed",
    "mass_closure",
    "mass_unaccounted",
    "mass_estimated",
    "mass_unassigned",
)


def mass(story: Story) -> Section:
    pictures = tuple((_closure(told),) for told in story.packs)
    return Section(
        anchor="mass",
        title="Mass",
        short="Mass",
        blocks=(
            _stacks(story),
            Paragraph(text=_sentence(story), style=Style.SENTENCE),
            Beside(parts=pictures, shares=tuple(1.0 for _ in pictures))
            if len(pictures) > 1
            else pictures[0][0],
            figure_table(story, "Mass figures", own_lines(story, FIGURES)),
            Paragraph(
                text=say(
                    "Parts add up from the leaves of the parts tree; a weighing of the whole only closes the "
                    "sum and never adds to it. What is unexplained is shown as such, not spread over the "
                    "parts."
                ),
                style=Style.NOTE,
            ),
        ),
    )


def by_function(story: Story) -> Section:
    names = [f"mass_{f}" for f in FUNCTIONS]
    lines = [
        replace(line, title=line.name.removeprefix("mass_"))
        for line in own_lines(story, names)
        if any(f is not None and f.value for f in line.values.values())
    ]
    table = figure_table(story, "Mass by function", lines, narrow=True)
    return Section(
        anchor="mass-functions",
        title="Mass by function",
        blocks=(Beside(parts=((_bars(story),), (table,)), shares=(0.4, 0.6)),),
    )


def estimates(story: Story) -> Section:
    return Section(
        anchor="estimates", title="What rests on estimates", own_sheet=False, blocks=_estimates(story)
    )


def doubts(story: Story) -> Section:
    blocks: list[Block] = []
    for told in story.packs:
        rows = tuple(
            Row(
                cells=(
                    quiet(str(n)),
                    words(d.kind),
                    words(link(d.where or "whole pack", story.part(told, d.item))),
                    words(d.says),
                    words(d.proposed),
                ),
                anchor=f"doubt-{told.place}-{n}",
            )
            for n, d in enumerate(told.findings.doubts, 1)
        )
        blocks.append(Heading(text=say(told.name)))
        if rows:
            blocks.append(Table(told=f"What looks wrong in {told.name}", columns=_DOUBT_COLUMNS, rows=rows))
        else:
            blocks.append(Paragraph(text=say("Nothing in the records looks wrong.")))
    blocks.append(Heading(text=say("Measure next")))
    items = tuple(next_text(n) for n in next_readings(story)[:LISTED])
    blocks.append(
        Points(items=items) if items else Paragraph(text=say("No single reading would narrow a figure much."))
    )
    return Section(
        anchor="doubts",
        title="What looks wrong, and what to measure next",
        short="Looks wrong",
        own_sheet=False,
        blocks=tuple(blocks),
    )


#: Lines to measure next that are named in full.
LISTED = 8

_DOUBT_COLUMNS = (
    Column(head="", set=Set.QUIET),
    Column(head="Kind"),
    Column(head="Where", width=1.0),
    Column(head="What looks wrong", width=3.2),
    Column(head="Proposed", width=2.4),
)


def _functions(told: Told) -> list[tuple[Function, Amount]]:
    """Masses by function that were found, coolant apart."""
    found: list[tuple[Function, Amount]] = []
    for function in FUNCTIONS:
        figure = told.figure(f"mass_{function}")
        if function is not Function.COOLANT and figure is not None and figure.value:
            found.append((function, Amount(value=figure.value, low=figure.low, high=figure.high)))
    return found


def _amount(told: Told, name: str) -> Amount | None:
    figure = told.figure(name)
    if figure is None or figure.value is None:
        return None
    return Amount(value=figure.value, low=figure.low, high=figure.high)


def shown_amount(amount: Amount | None, unit: str) -> str:
    return MISSING if amount is None else f"{by_interval(amount.value, amount.low, amount.high)} {unit}"


def _stacks(story: Story) -> Picture:
    stacks = [
        Stack(
            name=told.name,
            total=shown_amount(_amount(told, "mass_rolled"), "kg"),
            segments=tuple(Segment(label=str(f), value=a.value) for f, a in _functions(told)),
        )
        for told in story.packs
    ]
    alt = "Dry mass by function, kg: " + "; ".join(f"{s.name} {s.total}" for s in stacks)

    def draw(palette: Palette) -> str:
        return stacked("Dry mass by function, kg", stacks, width=1000.0, palette=palette)

    return Picture(draw=draw, alt=alt)


def _bars(story: Story) -> Picture:
    """All functions but the cells, which would dwarf the rest."""
    by_pack = [dict(_functions(told)) for told in story.packs]
    rows = [f for f in FUNCTIONS if f is not Function.CELLS and any(f in found for found in by_pack)]
    groups = [Group(label=str(f), amounts=tuple(found.get(f) for found in by_pack)) for f in rows]
    names = [told.name for told in story.packs]

    def draw(palette: Palette) -> str:
        return paired(
            "Mass by function without cells",
            "kg",
            names,
            groups,
            width=460.0,
            absent="none listed",
            palette=palette,
        )

    return Picture(
        draw=draw,
        alt="Bars of mass by function without cells, kg",
        caption=say("Mass by function without cells, kg."),
    )


def _sentence(story: Story) -> Text:
    runs: list[Run | str] = []
    for told in story.packs:
        rolled, estimated = _amount(told, "mass_rolled"), _amount(told, "mass_estimated")
        closed = told.figure("mass_closure")
        runs += [f"{told.name}'s parts add up to ", strong(shown_amount(rolled, "kg"))]
        if closed is not None and closed.value is not None:
            runs.append(f", {by_interval(closed.value, closed.low, closed.high)} % of the weighed pack")
        if estimated is not None:
            runs += ["; ", strong(shown_amount(estimated, "kg")), " of it rests on estimates"]
        runs.append(". ")
    return say(*runs)


def _closure(told: Told) -> Block:
    rolled, weighed = _amount(told, "mass_rolled"), _amount(told, "mass_weighed")
    if rolled is None or weighed is None:
        lacking = "no line has a mass" if rolled is None else "the whole pack was not weighed"
        return Paragraph(text=say(strong(told.name), f": closure cannot be shown, {lacking}."))
    coolant = told.figure("mass_coolant") if _held_coolant(told) else None
    closing_of = Closing(
        name=told.name, rolled=rolled, weighed=weighed, coolant=coolant.value if coolant is not None else None
    )

    def draw(palette: Palette) -> str:
        return closure(closing_of, palette=palette)

    caption = say(
        strong(told.name),
        f": weighed {shown_amount(weighed, 'kg')}",
        f", rolled {shown_amount(rolled, 'kg')}.",
    )
    return Picture(draw=draw, alt=f"Closure of {told.name}", caption=caption)


def _held_coolant(told: Told) -> bool:
    """Whether the weighing held coolant; taken so only where it is recorded."""
    held = told.pack.fact("coolant_in_weighing")
    return held is not None and held.value > 0.5


def soft_lines(told: Told) -> list[MassLine]:
    """Lines that were neither observed nor documented, heaviest first, and those without a mass."""
    firm = OBSERVED | DOCUMENTED
    lines = [m for m in told.findings.mass_lines if m.mass is None or m.basis not in firm]
    return sorted(lines, key=lambda m: (m.mass is not None, -(m.mass or 0.0)))


def _estimates(story: Story) -> tuple[Block, ...]:
    rows: list[Row] = []
    for told in story.packs:
        lines = soft_lines(told)
        rows.append(Row(cells=(words(told.name, across=len(_ESTIMATE_COLUMNS)),), kind=Kind.GROUP))
        if not lines:
            rows.append(
                Row(
                    cells=(Cell(), words("every line was weighed, measured, counted or documented", across=5))
                )
            )
        for m in lines:
            basis = str(m.basis) if m.mass is not None and m.basis is not None else "no mass recorded"
            mass_text = MISSING if m.mass is None else _kilograms(m)
            cells = (
                quiet(m.number),
                words(link(m.name.strip(), story.part(told, m.item))),
                quiet(str(m.function or "no function")),
                words(mass_text),
                quiet("kg" if m.mass is not None else ""),
                quiet(basis),
            )
            rows.append(Row(cells=cells))
    return (Table(told="Lines that rest on estimates", columns=_ESTIMATE_COLUMNS, rows=tuple(rows)),)


def _kilograms(m: MassLine) -> str:
    if m.mass is None:
        return MISSING
    if m.samples is None:
        return by_interval(m.mass, None, None)
    low, high = interval(m.samples)
    return by_interval(m.mass, low, high)


_ESTIMATE_COLUMNS = (
    Column(head="No.", set=Set.QUIET),
    Column(head="Part", width=2.0),
    Column(head="Function", set=Set.QUIET, width=0.8),
    Column(head="Mass in the pack", set=Set.NUMBER, width=0.7),
    Column(head="", set=Set.UNIT),
    Column(head="Rests on", set=Set.QUIET, width=1.4),
)
