"""Cost: what was costed and what was not, by function and element, tooling apart."""

from __future__ import annotations

from collections import defaultdict

from ...evaluate.findings import CostLine, CostStatus, Money
from ...pictures import Elements, Palette, by_element
from ...pictures.numbers import MISSING, number, shown_money, span, unit_text
from ..blocks import (
    Beside,
    Block,
    Cell,
    Column,
    Heading,
    Paragraph,
    Picture,
    Row,
    Section,
    Set,
    Style,
    Table,
    Text,
    link,
    say,
    soft,
    strong,
)
from .cover import money_text
from .story import Story, Told
from .tables import figure_table, own_lines
from .tell import covers_text, money, quiet, words

FIGURES = (
    "cost_piece", "cost_material", "cost_labour", "cost_burden", "cost_markup", "cost_packaging",
    "cost_per_kwh", "cost_tooling_per_piece", "tooling_investment",
)  # fmt: skip
ELEMENTS = ("material", "labour", "burden", "mark-up and packaging")


def cost(story: Story) -> Section:
    pictures = [tuple(_picture(story, told)) for told in story.packs]
    shares = tuple(1.0 for _ in pictures)
    return Section(
        anchor="cost",
        title="Cost",
        short="Cost",
        blocks=(
            Paragraph(text=_sentence(story), style=Style.SENTENCE),
            Beside(parts=tuple(pictures), shares=shares),
            figure_table(story, "Cost figures", own_lines(story, FIGURES)),
            Paragraph(
                text=say(
                    "Price to the buyer = (material + labour + burden) · (1 + end-item scrap + "
                    "administration + profit + engineering) + packaging. Tooling stands beside the "
                    "piece cost and is never inside it."
                ),
                style=Style.NOTE,
            ),
        ),
    )


def lines(story: Story) -> tuple[Section, ...]:
    return tuple(_lines(story, told) for told in story.packs)


def _sentence(story: Story) -> Text:
    parts: list[Text] = []
    for told in story.packs:
        figure = told.figure("cost_piece")
        if figure is None or figure.value is None:
            parts.append(say(f"No line of {told.name} could be costed. "))
            continue
        amount = money(
            Money(value=figure.value, low=figure.low or figure.value, high=figure.high or figure.value)
        )
        text = covers_text(figure.covers)
        parts.append(
            say(
                f"What is costed of {told.name} comes to ",
                strong(f"{amount} {unit_text(figure.unit)}"),
                f" and {text}; the rest is listed as not costed, not as zero. ",
            )
        )
    return tuple(run for text in parts for run in text)


def costed(told: Told) -> list[CostLine]:
    return [line for line in told.findings.cost_lines if line.status is CostStatus.COSTED]


def not_costed(told: Told) -> list[CostLine]:
    return [line for line in told.findings.cost_lines if line.status is not CostStatus.COSTED]


def _picture(story: Story, told: Told) -> list[Block]:
    sums: dict[str, list[float]] = defaultdict(lambda: [0.0] * len(ELEMENTS))
    for line in costed(told):
        key = str(line.function) if line.function else "no function"
        added = (line.markup.value if line.markup else 0.0) + (
            line.packaging.value if line.packaging else 0.0
        )
        made = (a.value if a is not None else 0.0 for a in (line.material, line.labour, line.burden))
        for k, amount in enumerate((*made, added)):
            sums[key][k] += amount
    if not sums:
        return [Paragraph(text=say(strong(told.name), ": no line costed."))]
    rows = [Elements(label=f, values=tuple(v), total=shown_money(sum(v))) for f, v in sums.items()]
    title = f"Cost by function and element of {told.name}"
    unit = f"{money_text(story)} a pack"

    def draw(palette: Palette) -> str:
        return by_element(title, unit, ELEMENTS, rows, width=500.0, palette=palette)

    figure = told.figure("cost_piece")
    caption = say(
        strong(told.name), f", {unit}; {covers_text(figure.covers if figure else None)}; tooling apart."
    )
    return [Picture(draw=draw, alt=f"{title}, {unit}", caption=caption)]


_COSTED = (
    Column(head="No.", set=Set.QUIET),
    Column(head="Part", width=2.2),
    Column(head="Route", set=Set.QUIET, width=2.0),
    Column(head="Count", set=Set.QUIET_NUMBER),
    Column(head="Mass, kg", set=Set.QUIET_NUMBER),
    Column(head="Material", set=Set.QUIET_NUMBER),
    Column(head="Labour", set=Set.QUIET_NUMBER),
    Column(head="Burden", set=Set.QUIET_NUMBER),
    Column(head="Mark-up", set=Set.QUIET_NUMBER),
    Column(head="Packaging", set=Set.QUIET_NUMBER),
    Column(head="Piece cost", set=Set.NUMBER),
    Column(head="95 %", set=Set.QUIET),
    Column(head="Tooling", set=Set.QUIET_NUMBER),
    Column(head="Tooling, whole", set=Set.QUIET_NUMBER),
)


def _lines(story: Story, told: Told) -> Section:
    unit = money_text(story)
    done = sorted(costed(told), key=lambda line: -(line.piece.value if line.piece else 0.0))
    rows = [_costed_row(story, told, line) for line in done]
    figure = told.figure("cost_piece")
    head = say(
        f"{unit} a pack, piece cost times count; tooling a pack beside it, and as the whole investment. ",
        strong(covers_text(figure.covers if figure else None)),
        ".",
    )
    blocks: list[Block] = [Paragraph(text=head, style=Style.NOTE)]
    if rows:
        blocks.append(
            Table(told=f"Costed lines of {told.name}", columns=_COSTED, rows=tuple(rows), small=True)
        )
    else:
        blocks.append(Paragraph(text=say("No line could be costed.")))
    blocks += _open_lines(story, told)
    return Section(
        anchor=f"cost-lines-{told.place}",
        title=f"Cost lines of {told.name}",
        own_sheet=False,
        blocks=tuple(blocks),
    )


def _costed_row(story: Story, told: Told, line: CostLine) -> Row:
    route = " → ".join(step.title for step in line.route)
    assumed = (soft(" (route assumed)"),) if line.assumed_route else ()
    cells = (
        quiet(line.number or "–"),
        words(link(line.name.strip(), story.cost_anchor(told, line))),
        Cell(text=(soft(route), *assumed)),
        quiet(number(line.count)),
        quiet(_mass(told, line)),
        *(quiet(money(a)) for a in (line.material, line.labour, line.burden, line.markup, line.packaging)),
        words(money(line.piece)),
        quiet(span(line.piece.low, line.piece.high) if line.piece is not None else ""),
        quiet(money(line.tooling_per_piece)),
        quiet(money(line.tooling_investment)),
    )
    return Row(cells=cells)


def _mass(told: Told, line: CostLine) -> str:
    """A line's mass; a group of joints has none of its own."""
    if line.mass is None:
        return MISSING if told.pack.item(line.item) is not None else "–"
    return number(line.mass, 3 if line.mass < 10.0 else 1)


def _open_lines(story: Story, told: Told) -> list[Block]:
    open_lines = not_costed(told)
    heading = Heading(text=say(f"Not costed: {len(open_lines)} line{'' if len(open_lines) == 1 else 's'}"))
    if not open_lines:
        return [heading, Paragraph(text=say("Every line was costed."))]
    rows = tuple(
        Row(
            cells=(
                quiet(line.number),
                words(link(line.name.strip(), story.part(told, line.item))),
                quiet(str(line.function) if line.function else "no function"),
                quiet(number(line.count)),
                quiet(_mass(told, line)),
                words(line.why or "no reason given"),
            ),
        )
        for line in sorted(open_lines, key=lambda line: -(line.mass or 0.0))
    )
    columns = (
        Column(head="No.", set=Set.QUIET),
        Column(head="Part", width=1.6),
        Column(head="Function", set=Set.QUIET),
        Column(head="Count", set=Set.QUIET_NUMBER),
        Column(head="Mass, kg", set=Set.QUIET_NUMBER),
        Column(head="Why", width=2.4),
    )
    return [heading, Table(told=f"Lines of {told.name} not costed", columns=columns, rows=rows, small=True)]
