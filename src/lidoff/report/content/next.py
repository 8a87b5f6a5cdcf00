"""What to measure next: lines without a mass, then what would narrow a figure or a difference most."""

from __future__ import annotations

from dataclasses import dataclass

from ...evaluate.spread import Proposal, SpreadOf
from ...pictures.numbers import percent, span, unit_text
from ..blocks import Text, link, say, strong
from .story import Story, Told


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """One thing to do: of which pack or packs, what, where it stands, and what it would bring.

    ``narrows`` is the share by which an interval becomes narrower, zero for a line without a mass.
    """

    packs: str
    what: str
    do: str
    brings: str = ""
    anchor: str | None = None
    narrows: float = 0.0
    missing: bool = False


def next_readings(story: Story) -> tuple[Next, ...]:
    """Lines without a mass before all, then each reading or rate once, where it would bring most."""
    missing = [one for told in story.packs for one in _missing(story, told)]
    best: dict[str, Next] = {}
    for spread in story.spread.targets if story.spread is not None else ():
        for proposal in spread.next:
            found, known = _proposed(story, spread, proposal), best.get(proposal.named.stream)
            if known is None or known.narrows < found.narrows:
                best[proposal.named.stream] = found
    return (*missing, *sorted(best.values(), key=lambda n: -n.narrows))


def next_text(n: Next) -> Text:
    """One thing to do, as a sentence."""
    what = link(n.what, n.anchor)
    if n.missing:
        return say(strong(n.packs), " ", what, f": no mass recorded; {n.do}")
    return say(strong(n.packs), " ", what, f": {n.do}; {n.brings} ", strong(f"{percent(n.narrows)} narrower"))


def _missing(story: Story, told: Told) -> list[Next]:
    return [
        Next(
            packs=told.name,
            what=f"{m.name.strip()} ({m.number})" if m.number else m.name.strip(),
            do="weigh it",
            anchor=story.part(told, m.item),
            missing=True,
        )
        for m in told.findings.mass_lines
        if m.mass is None
    ]


def _proposed(story: Story, spread: SpreadOf, proposal: Proposal) -> Next:
    named = proposal.named
    owner = story.by_id.get(named.pack or "")
    title = spread.target.title
    return Next(
        packs=packs_of(story, spread),
        what=named.title,
        do=proposal.says,
        brings=f"{title[:1].lower()}{title[1:]} then {then(spread, proposal)},",
        anchor=None if owner is None else story.part(owner, named.item),
        narrows=proposal.narrows,
    )


def packs_of(story: Story, spread: SpreadOf) -> str:
    """The pack's name, or both of a difference."""
    names = (story.by_id[pack].name if pack in story.by_id else pack for pack in spread.target.packs)
    return " less ".join(names)


def then(spread: SpreadOf, proposal: Proposal) -> str:
    """The interval after it, with its unit."""
    return f"{span(proposal.low, proposal.high)} {unit_text(spread.target.unit)}".strip()
