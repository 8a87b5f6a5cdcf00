"""The cover sheet: what was asked, for which scope and scenario, and what it was drawn from."""

from __future__ import annotations

from ...pictures.numbers import number
from ...quantities import Reading
from ...records import FUNCTIONS, Function, Pack
from ..blocks import Block, Column, Paragraph, Row, Set, Style, Table, TitleBlock, say, soft, strong
from .story import Story
from .tell import words


def joined(parts: list[str]) -> str:
    """Words in a row with "and" before the last."""
    return " and ".join(filter(None, (", ".join(parts[:-1]), parts[-1] if parts else "")))


def scope_text(story: Story) -> str:
    """The scope in few words: what is left out of it, since most of a pack is usually in."""
    if story.comparison is None:
        return "whole pack"
    inside = set(story.comparison.scope)
    out = [str(f) for f in FUNCTIONS if f not in inside and f is not Function.COOLANT]
    if not out:
        return "all functions"
    if len(out) > len(inside):
        return "only " + ", ".join(str(f) for f in FUNCTIONS if f in inside)
    return ("like for like, " if story.comparison.left_out else "") + "without " + joined(out)


def scenario_text(story: Story) -> str:
    scenario = story.findings.scenario
    parts = [f"{number(scenario.volume)} packs a year", f"{number(scenario.life)} years"]
    if scenario.region:
        parts.append(f"region {scenario.region}")
    parts.append(money_text(story))
    return ", ".join(parts)


def money_text(story: Story) -> str:
    """The currency with its year."""
    from ...pictures.numbers import unit_text

    text = unit_text(story.findings.currency)
    return (
        text if any(c.isdigit() for c in text) or story.money_year is None else f"{text} ({story.money_year})"
    )


def readings_of(pack: Pack) -> list[Reading]:
    """Every number that was read at the bench."""
    found: list[Reading | None] = []
    for item in pack.items:
        found += [
            item.quantity,
            item.mass,
            item.length,
            item.width,
            item.thickness,
            item.wall,
            *item.weighings,
        ]
    for joint in pack.joints:
        found += [joint.count, joint.length, *joint.torques]
    found += [step.people for step in pack.steps]
    found += [removal.duration for removal in pack.removals]
    found += [fact.reading for fact in pack.facts]
    return [reading for reading in found if reading is not None]


def drawn_from(story: Story) -> str:
    packs = [told.pack for told in story.packs]
    parts = sum(1 for pack in packs for item in pack.items if not item.held)
    readings = sum(len(readings_of(pack)) for pack in packs)
    counted = f"{len(packs)} pack{'s' if len(packs) != 1 else ''}"
    return f"{counted}, {number(parts)} lines of parts, {number(readings)} readings"


def title_block(story: Story) -> TitleBlock:
    return TitleBlock(
        fields=(
            ("Study", story.study.name),
            ("Scope", scope_text(story)),
            ("Scenario", scenario_text(story)),
            ("Drawn from", drawn_from(story)),
            ("Revision", f"{story.study.revision}, {issued(story)}"),
        )
    )


def issued(story: Story) -> str:
    return f"{story.issued.day} {story.issued:%b %Y %H:%M}"


def cover(story: Story) -> tuple[Block, ...]:
    names = joined([told.name for told in story.packs])
    rows = [
        Row(cells=(words(soft("Packs")), words(strong(names)))),
        Row(cells=(words(soft("Scope")), words(_scope(story)))),
        Row(
            cells=(
                words(soft("Scenario")),
                words(f"{scenario_text(story)}; price book {story.findings.scenario.price_book}"),
            )
        ),
        Row(cells=(words(soft("Drawn from")), words(drawn_from(story)))),
        Row(
            cells=(
                words(soft("Intervals")),
                words(
                    f"95 %, from {number(story.findings.samples)} samples of every reading within its spread"
                ),
            )
        ),
        Row(cells=(words(soft("Issued")), words(f"revision {story.study.revision}, {issued(story)}"))),
    ]
    rows += [Row(cells=(words(soft(told.name)), words(_files(told.pack)))) for told in story.packs]
    table = Table(
        told="What this report covers",
        columns=(Column(head="", set=Set.UNIT), Column(head="", width=1.0)),
        rows=tuple(rows),
    )
    return (table, Paragraph(text=say(*_key()), style=Style.NOTE))


def _scope(story: Story) -> str:
    text = scope_text(story)
    if story.comparison is None:
        return text
    return f"{text}; in it: {joined([str(f) for f in FUNCTIONS if f in set(story.comparison.scope)])}"


def _files(pack: Pack) -> str:
    """Files the records came from, and how many lines of each sort."""
    origins = [item.origin for item in pack.items] + [fact.origin for fact in pack.facts]
    files = list(dict.fromkeys(o.partition("!")[0] for o in origins if o))
    counts = [
        f"{sum(1 for i in pack.items if not i.held)} lines of parts",
        f"{len(pack.joints)} joints",
        f"{sum(1 for s in pack.steps if not s.is_break)} logged steps",
        f"{len(pack.removals)} removals",
    ]
    return (f"{joined(files)}: " if files else "") + ", ".join(counts)


def _key() -> tuple[str, ...]:
    return (
        "How to read it. A whisker shows a number's 95 % interval on a scale common to its row. The small "
        "bar beside it shows what the number rests on: ink for weighed, measured or counted, grey for marked "
        "or published, empty for estimated or assumed. No number carries more digits than its interval. "
        "What an interval leaves open is called not settled; what was not recorded is called missing. Orange "
        "marks high voltage and nothing else. Every figure leads to its working, from "
        "there to the readings and to the sources.",
    )
