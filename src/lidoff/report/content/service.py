"""Strip-down and removal: the log, the joints, how long the pack took off its vehicle."""

from __future__ import annotations

from collections.abc import Sequence

from ...pictures import Amount, Palette, Series, Span, removals, timeline
from ...pictures.numbers import MISSING, number
from ...quantities import Reading, parse_unit
from ...records import Joint, Pack, Step
from ..blocks import (
    Beside,
    Block,
    Cell,
    Column,
    Heading,
    Kind,
    Paragraph,
    Picture,
    Row,
    Run,
    Section,
    Set,
    Style,
    Table,
    link,
    say,
)
from .caution import full_caution
from .story import Story, Told
from .tell import entered_with_unit, quiet, short_number, words

MINUTE = parse_unit("min")


def service(story: Story) -> tuple[Section, ...]:
    noted = [told for told in story.packs if told.pack.steps or told.pack.joints]
    without = [told.name for told in story.packs if told not in noted]
    blocks: list[Block] = [full_caution(), *_removals(story)]
    if without:
        blocks.append(
            Paragraph(
                text=say(f"No strip log and no joints are recorded for {', '.join(without)}."),
                style=Style.NOTE,
            )
        )
    first = Section(
        anchor="service", title="Strip-down and removal", short="Strip-down", blocks=tuple(blocks)
    )
    return (first, *(_strip(story, told) for told in noted))


def is_live(step: Step, pack: Pack) -> bool:
    """Whether a step took off an item that a live joint holds as its first part."""
    firsts = {joint.first for joint in pack.joints if joint.live and joint.first is not None}
    return any(item in firsts for item in step.items)


def _strip(story: Story, told: Told) -> Section:
    blocks: list[Block] = []
    if told.pack.steps:
        blocks += [_timeline(told), _steps(story, told)]
    if told.pack.joints:
        blocks += [Heading(text=say(f"Joints of {told.name}")), _joints(story, told)]
    return Section(
        anchor=f"strip-{told.place}",
        title=f"Strip log and joints of {told.name}",
        own_sheet=told.place > 1,
        blocks=tuple(blocks),
    )


def _spans(pack: Pack) -> list[Span]:
    return [
        Span(
            number=step.number,
            does=step.does,
            day=step.day,
            start=step.start,
            finish=step.start + step.duration,
            people=round(step.people.value) if step.people is not None else None,
            is_break=step.is_break,
            live=is_live(step, pack),
        )
        for step in pack.steps
        if step.start is not None and step.duration is not None
    ]


def _timeline(told: Told) -> Picture:
    spans = _spans(told.pack)

    def draw(palette: Palette) -> str:
        return timeline(f"Strip log of {told.name}", spans, width=1000.0, palette=palette)

    caption = say(
        "A bar is as high as people worked on the step; breaks are dotted; orange: over live high voltage, "
        "as recorded at the joints."
    )
    return Picture(draw=draw, alt=f"Strip log of {told.name} by day", caption=caption)


def _minutes(seconds: float | None) -> str:
    return MISSING if seconds is None else short_number(round(MINUTE.from_si(seconds), 2))


def _steps(story: Story, told: Told) -> Table:
    rows = []
    for step in told.pack.steps:
        live = is_live(step, told.pack)
        items = [told.pack.item(i) for i in step.items]
        off: list[Run | str] = []
        for item in items:
            if item is not None:
                off += [", " if off else "", link(item.number or item.name, story.part(told, item))]
        cells = (
            quiet(step.number or "–"),
            quiet(f"{step.day}"),
            words(
                step.does.strip() or ("break" if step.is_break else "not said"), tag="live" if live else ""
            ),
            words(_minutes(step.duration)),
            quiet("min" if step.duration is not None else ""),
            quiet(
                number(step.people.value) if step.people is not None else "–" if step.is_break else MISSING
            ),
            quiet(step.tool or "–"),
            Cell(text=say(*off) if off else say(step.items_text or "–")),
            quiet(step.remarks or ""),
        )
        rows.append(Row(cells=cells, kind=Kind.HIGH_VOLTAGE if live else Kind.PLAIN))
    return Table(told=f"Strip log of {told.name}", columns=_STEPS, rows=tuple(rows), small=True)


_STEPS = (
    Column(head="No.", set=Set.QUIET),
    Column(head="Day", set=Set.QUIET_NUMBER),
    Column(head="What was done", width=2.0),
    Column(head="Time", set=Set.NUMBER),
    Column(head="", set=Set.UNIT),
    Column(head="People", set=Set.QUIET_NUMBER),
    Column(head="Tool", set=Set.QUIET, width=1.0),
    Column(head="Off", width=1.0),
    Column(head="Remarks", set=Set.QUIET, width=1.6),
)

_JOINTS = (
    Column(head="Between", width=1.2),
    Column(head="and", width=1.2),
    Column(head="What", width=1.4),
    Column(head="Count or length", set=Set.NUMBER),
    Column(head="Tool", set=Set.QUIET, width=1.0),
    Column(head="From", set=Set.QUIET),
    Column(head="Torque, Nm", set=Set.QUIET_NUMBER),
    Column(head="Over live parts"),
    Column(head="Reusable", set=Set.QUIET),
    Column(head="Remarks", set=Set.QUIET, width=1.2),
)


def _joints(story: Story, told: Told) -> Table:
    rows = []
    for n, joint in enumerate(told.pack.joints, 1):
        amount = joint.count if joint.count is not None else joint.length
        amount_text = entered_with_unit(amount) if amount is not None else MISSING
        cells = (
            _end(story, told, joint.first, joint.first_text),
            _end(story, told, joint.second, joint.second_text),
            words(joint.kind or "not said"),
            words(amount_text),
            quiet(joint.tool or "–"),
            quiet(joint.direction or "–"),
            quiet(_torques(joint)),
            words("", tag="yes") if joint.live else words(_yes_no(joint.live)),
            quiet(_yes_no(joint.reusable)),
            quiet(joint.remarks),
        )
        kind = Kind.HIGH_VOLTAGE if joint.live else Kind.PLAIN
        anchor = f"joint-{told.place}-{n}" if story.part(told, joint) == f"joint-{told.place}-{n}" else None
        rows.append(Row(cells=cells, kind=kind, anchor=anchor))
    return Table(told=f"Joints of {told.name}", columns=_JOINTS, rows=tuple(rows), small=True)


def _end(story: Story, told: Told, item: str | None, text: str) -> Cell:
    found = told.pack.item(item) if item is not None else None
    if found is None:
        return words(text or "not said")
    return words(link(found.number or text, story.part(told, found)), f" {found.name.strip()}")


def _torques(joint: Joint) -> str:
    nm = parse_unit("N*m")
    return " ".join(short_number(nm.from_si(t.value)) for t in joint.torques) or "–"


def _yes_no(answer: bool | None) -> str:
    return "not recorded" if answer is None else "yes" if answer else "no"


def _removals(story: Story) -> list[Block]:
    noted = [told for told in story.packs if told.pack.removals]
    if not noted:
        return [Paragraph(text=say("No removal from a vehicle is recorded."), style=Style.NOTE)]
    series = [
        Series(name=told.name, points=tuple((r.ordinal, _amount(r.duration)) for r in told.pack.removals))
        for told in noted
    ]

    def draw(palette: Palette) -> str:
        return removals(series, width=440.0, height=190.0, palette=palette)

    picture = Picture(
        draw=draw,
        alt="Minutes a pack took off its vehicle, by removal",
        caption=say("Minutes from vehicle to pack down, by removal."),
    )
    return [
        Heading(text=say("Off the vehicle")),
        Beside(parts=((picture,), (_removal_table(noted),)), shares=(0.48, 0.52)),
    ]


def _amount(duration: Reading) -> Amount:
    return Amount(value=MINUTE.from_si(duration.value))


def _removal_table(noted: Sequence[Told]) -> Table:
    rows = []
    for told in noted:
        for r in told.pack.removals:
            note = "; ".join(filter(None, (r.note.strip(), r.conditions.strip())))
            cells = (
                words(told.name),
                quiet(f"{r.ordinal}"),
                words(_minutes(r.duration.value)),
                quiet("min"),
                quiet(str(r.duration.basis)),
                quiet(note),
            )
            rows.append(Row(cells=cells))
    columns = (
        Column(head="Pack"),
        Column(head="Removal", set=Set.QUIET_NUMBER),
        Column(head="Time", set=Set.NUMBER),
        Column(head="", set=Set.UNIT),
        Column(head="Basis", set=Set.QUIET),
        Column(head="Note", set=Set.QUIET, width=1.0),
    )
    return Table(told="Removals from the vehicle", columns=columns, rows=tuple(rows))
