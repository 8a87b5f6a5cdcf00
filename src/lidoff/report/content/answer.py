"""The one page that answers: pictures to one scale, a sentence, the key table, what to do."""

from __future__ import annotations

from ...evaluate.findings import Doubt
from ...pictures import Palette, Plan, plan_parts, plans
from ...pictures.numbers import number
from ...quantities import parse_unit
from ...records import Pack
from ..blocks import (
    Beside,
    Block,
    Heading,
    Paragraph,
    Picture,
    Points,
    Section,
    Style,
    link,
    say,
    strong,
)
from .caution import short_caution
from .next import next_readings, next_text
from .story import Story, Told
from .tables import compared_lines, figure_table
from .wording import sentence

KEY = (
    "mass_rolled",
    "energy_nominal",
    "cell_mass_fraction",
    "specific_energy",
    "structure_per_kwh",
    "cost_piece",
    "cost_per_kwh",
    "tooling_investment",
)
SHOWN = 3


def answer(story: Story) -> Section:
    plan = _plans(story)
    share = min(0.34 * len(story.packs), 0.6)
    table = figure_table(story, "Key figures", compared_lines(story, KEY))
    return Section(
        anchor="answer",
        title="The answer on one page",
        short="Answer",
        blocks=(
            Beside(
                parts=((plan,), (Paragraph(text=sentence(story), style=Style.SENTENCE),)),
                shares=(share, 1 - share),
            ),
            table,
            Beside(parts=(_wrong(story), _next(story), (short_caution(),)), shares=(1.0, 1.0, 0.9)),
        ),
    )


def about(pack: Pack) -> str:
    """A pack in a few words: cells, layout, label."""
    words = []
    series, parallel = pack.fact("cells_series"), pack.fact("cells_parallel")
    if pack.word("cell_format"):
        words.append(str(pack.word("cell_format")).strip())
    layout = f"{number(series.value)}s{number(parallel.value)}p" if series and parallel else ""
    if layout and layout not in " ".join(words):
        words.append(layout)
    label = pack.fact("label_voltage")
    if label is not None:
        words.append(f"{number(parse_unit('V').from_si(label.value))} V")
    return ", ".join(words)


def _plans(story: Story) -> Picture:
    shown = [Plan(parts=plan_parts(told.pack), about=about(told.pack)) for told in story.packs]

    def draw(palette: Palette) -> str:
        return plans(shown, width=420.0 * max(len(shown), 1), tallest=260.0, palette=palette)

    sizes = "; ".join(
        f"{p.parts.name} {number(p.parts.length * 1000)} by {number(p.parts.width * 1000)} mm"
        for p in shown
        if p.parts.length is not None and p.parts.width is not None
    )
    return Picture(draw=draw, alt=f"Plan views to one scale: {sizes or 'no outer sizes recorded'}")


def mixed(story: Story, most: int) -> list[tuple[Told, int, Doubt]]:
    """The first doubts of each pack in turn, with their number in the pack's list."""
    queues = [[(told, n, d) for n, d in enumerate(told.findings.doubts, 1)] for told in story.packs]
    taken: list[tuple[Told, int, Doubt]] = []
    for turn in range(max((len(q) for q in queues), default=0)):
        taken += [queue[turn] for queue in queues if turn < len(queue)]
    return taken[:most]


def _wrong(story: Story) -> tuple[Block, ...]:
    items = tuple(
        say(strong(told.name), " ", link(clipped(d.says), f"doubt-{told.place}-{n}"))
        for told, n, d in mixed(story, SHOWN)
    )
    more = sum(len(told.findings.doubts) for told in story.packs) - len(items)
    blocks: list[Block] = [Heading(text=say("Looks wrong"))]
    blocks.append(
        Points(items=items) if items else Paragraph(text=say("Nothing in the records looks wrong."))
    )
    if more > 0:
        blocks.append(Paragraph(text=say(link(f"{more} more", "doubts")), style=Style.NOTE))
    return tuple(blocks)


def clipped(text: str, most: int = 105) -> str:
    """The first words of a long sentence; the whole stands where the link leads."""
    if len(text) <= most:
        return text
    return text[:most].rsplit(" ", 1)[0].rstrip(" ,;:") + " …"


def _next(story: Story) -> tuple[Block, ...]:
    items = tuple(next_text(n) for n in next_readings(story)[:SHOWN])
    heading = Heading(text=say("Measure next"))
    if not items:
        return (
            heading,
            Paragraph(text=say("No line stands out: no single reading would narrow a figure much.")),
        )
    return (heading, Points(items=items))
