"""Answer: where the spread of some numbers comes from, and what to measure next, of one study."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ...prices import price_book
from ...records import Study
from ..findings import Findings
from .again import Again
from .effects import effects
from .indices import Sobol, StudyModel, sobol
from .measure import Proposal, proposals
from .named import Named, Names
from .shares import Shares, shares
from .sobol import scrambled
from .target import Target

#: Streams told apart by indices; all others are one group.
COLUMNS = 60
#: Rows of the sample behind indices: a power of two.
ROWS = 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadOf:
    """Everything told of one target's spread.

    ``named`` tells the larger ones of the shares' streams, ``next`` what to measure, ``indices`` are there
    where they were asked for.
    """

    target: Target
    shares: Shares
    named: Mapping[str, Named]
    next: tuple[Proposal, ...]
    indices: Sobol | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spreads:
    """``targets`` in the order asked; a target that is missing in the findings is not among them."""

    targets: tuple[SpreadOf, ...] = field(default_factory=tuple)

    def of(self, name: str, *packs: str) -> SpreadOf | None:
        return next((s for s in self.targets if s.target.name == name and s.target.packs == packs), None)


def spreads(
    study: Study,
    findings: Findings,
    targets: Sequence[Target],
    *,
    told: int = 12,
    most: int = 5,
    with_indices: bool = False,
    rows: int = ROWS,
) -> Spreads:
    """Where the spread of each target comes from, and what to measure next.

    ``findings`` are those of the study as recorded; scenario, prices and shelf are taken from them.
    ``told`` is how many inputs are named, ``most`` how many are proposed, ``rows`` (a power of two) the
    sample that indices rest on.
    """
    terms, shelf = findings.scenario, findings.books
    prices = findings.prices or price_book(terms.price_book)
    costs = any(target.is_cost for target in targets)
    topics = ("mass", "energy", "cost") if costs else ("mass", "energy")
    moved = effects(study, targets, scenario=terms, prices=prices, books=shelf, topics=topics)
    found = [one for one in shares(targets, moved, findings) if one is not None]
    if not found:
        return Spreads()
    names = Names.of(study, findings, prices)
    again = Again.of(study, terms, prices, shelf=shelf, costs=costs)
    after = proposals(found, names, again, most=most)
    indices = [_indices(one, again, rows) if with_indices else None for one in found]
    return Spreads(
        targets=tuple(
            SpreadOf(
                target=one.target,
                shares=one,
                named={share.stream: names[share.stream] for share in one.shares[: _told(told, index)]},
                next=proposed,
                indices=index,
            )
            for one, proposed, index in zip(found, after, indices, strict=True)
        )
    )


def _told(told: int, index: Sobol | None) -> int:
    """How many inputs are named: whatever has an index of its own, too."""
    return told if index is None else max(told, len(index.streams))


def _indices(found: Shares, again: Again, rows: int) -> Sobol | None:
    """Indices of one target over the streams that carry most of it."""
    chosen = [share.stream for share in found.shares[:COLUMNS]]
    if not chosen:
        return None
    model = StudyModel(again, [found.target])

    def others() -> set[str]:
        return set(again.streams) - set(chosen)

    return sobol(model, chosen, scrambled(rows, len(chosen)), others=others)[0]
