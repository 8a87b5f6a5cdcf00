"""Where the spread comes from: what each reading and rate brings to a figure's interval."""

from __future__ import annotations

from ...evaluate.spread import REST, SpreadOf
from ...pictures import Contribution, Palette, contributions
from ...pictures.numbers import percent
from ..blocks import Block, Column, Heading, Paragraph, Picture, Row, Section, Set, Style, Table, link, say
from .next import packs_of, then
from .story import Story
from .tell import EMPTY, quiet, words

#: Inputs with a bar and a row of their own.
SHOWN = 6

_COLUMNS = (
    Column(head="Reading or rate", width=2.4),
    Column(head="Written at", set=Set.QUIET, width=1.5),
    Column(head="Basis", set=Set.QUIET),
    Column(head="Share", set=Set.NUMBER),
    Column(head="To know it better", width=1.7),
    Column(head="Interval then", set=Set.QUIET, width=1.3),
    Column(head="Narrower by", set=Set.NUMBER),
)


def spread(story: Story) -> Section | None:
    """Of the differences where packs are compared, of each pack's figures where not."""
    found = () if story.spread is None else story.spread.targets
    chosen = [one for one in found if one.target.is_difference] or list(found)
    shown = [one for one in chosen if one.shares.shares]
    if not shown:
        return None
    note = (
        "A share is the part of the variance that a reading or rate brings by itself, all others varying "
        "too; with the last row they add up. Solid is what would go if it were known as well as it can be. "
        "The interval then is evaluated anew, not estimated from the share."
    )
    blocks: list[Block] = [Paragraph(text=say(note), style=Style.NOTE)]
    for one in shown:
        title = one.target.title
        of = f"{title}, {packs_of(story, one)}"
        blocks += [Heading(text=say(of)), _picture(one, of), _table(story, one, of)]
    return Section(
        anchor="spread",
        title="Where the spread comes from",
        short="Spread",
        own_sheet=False,
        blocks=tuple(blocks),
    )


def _picture(one: SpreadOf, of: str) -> Picture:
    removable = {p.named.stream: 1.0 - p.factor**2 for p in one.next}
    listed = one.shares.shares[:SHOWN]
    rows = [
        Contribution(
            label=one.named[share.stream].title,
            share=share.share,
            removable=removable.get(share.stream, 0.0),
        )
        for share in listed
    ]
    others = one.shares.shares[SHOWN:]
    if others:
        whole = sum(share.share for share in others)
        rows.append(Contribution(label=f"{len(others)} others", share=whole))
    rows.append(Contribution(label=REST, share=one.shares.rest, all_together=True))

    def draw(palette: Palette) -> str:
        return contributions(f"Shares of the spread of {of}", rows, palette=palette)

    told = "; ".join(f"{row.label} {percent(row.share)}" for row in rows)
    return Picture(draw=draw, alt=f"Where the spread of {of} comes from: {told}")


def _table(story: Story, one: SpreadOf, of: str) -> Table:
    promised = {p.named.stream: p for p in one.next}
    rows = []
    for share in one.shares.shares[:SHOWN]:
        named, proposal = one.named[share.stream], promised.get(share.stream)
        owner = story.by_id.get(named.pack or "")
        anchor = None if owner is None else story.part(owner, named.item)
        cells = (
            words(link(named.title, anchor)),
            quiet(named.where),
            quiet(str(named.basis) if named.basis is not None else ""),
            words(percent(share.share)),
            words(proposal.says) if proposal is not None else EMPTY,
            quiet(then(one, proposal)) if proposal is not None else EMPTY,
            words(percent(proposal.narrows)) if proposal is not None else EMPTY,
        )
        rows.append(Row(cells=cells))
    return Table(told=f"What the spread of {of} comes from", columns=_COLUMNS, rows=tuple(rows), small=True)
