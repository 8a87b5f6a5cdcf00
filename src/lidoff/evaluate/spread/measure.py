"""What to measure next: the readings and rates whose knowing better would narrow a number most.

Candidates are ranked by their share of the variance and by how far their means would draw their spread
together; the first of them are then evaluated again with that spread, everything else drawn as before,
so that the promised interval holds whatever the reading does to the others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...quantities.sampling import interval
from ..findings import Findings
from .again import Again
from .drawn import Narrowed
from .means import Narrowing, narrowing
from .named import Named, Names
from .shares import Shares
from .target import Target

#: Proposals that would narrow the interval by less than this are not made (project choice).
LEAST = 0.01
#: Samples that the promised intervals are evaluated with at most: before and after are paired draw by
#: draw, so their ratio is steadier than either.
SAMPLES = 4000

Interval = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What to do about one input, and what is promised: the interval after it.

    ``factor`` is what the input's spread is drawn together by, ``narrows`` the share by which the
    target's interval becomes narrower.
    """

    named: Named
    says: str
    factor: float
    share: float
    low: float
    high: float
    narrows: float


def proposals(
    found: Sequence[Shares], names: Names, again: Again, *, most: int = 5
) -> tuple[tuple[Proposal, ...], ...]:
    """For every target what to measure next, the most telling first."""
    chosen = [_candidates(shares, names, most) for shares in found]
    before = again.first(Narrowed(), SAMPLES)
    after: dict[str, Findings] = {}
    for candidates in chosen:
        for named, means, _ in candidates:
            if named.stream not in after:
                draws = Narrowed({named.stream: means.factor})
                after[named.stream] = again.changed(draws, {named.stream})
    return tuple(
        _promised(shares, candidates, before, after) for shares, candidates in zip(found, chosen, strict=True)
    )


def _candidates(shares: Shares, names: Names, most: int) -> list[tuple[Named, Narrowing, float]]:
    """Inputs with means, by the variance that these would take away."""
    ranked: list[tuple[float, Named, Narrowing, float]] = []
    for one in shares.shares:
        if one.share < LEAST:
            break
        named = names[one.stream]
        means = narrowing(named)
        if means is not None:
            ranked.append((one.share * (1.0 - means.factor**2), named, means, one.share))
    ranked.sort(key=lambda entry: -entry[0])
    return [(named, means, share) for taken, named, means, share in ranked[:most] if taken >= LEAST]


def _promised(
    shares: Shares,
    candidates: Sequence[tuple[Named, Narrowing, float]],
    before: Findings,
    after: Mapping[str, Findings],
) -> tuple[Proposal, ...]:
    target = shares.target
    now = _interval(target, before)
    promised = []
    for named, means, share in candidates:
        then = _interval(target, after[named.stream])
        if now is None or then is None or not now[1] > now[0]:
            continue
        narrows = 1.0 - (then[1] - then[0]) / (now[1] - now[0])
        if narrows >= LEAST:
            promised.append(
                Proposal(
                    named=named,
                    says=means.says,
                    factor=means.factor,
                    share=share,
                    low=shares.low + (then[0] - now[0]),
                    high=shares.high + (then[1] - now[1]),
                    narrows=narrows,
                )
            )
    return tuple(sorted(promised, key=lambda proposal: -proposal.narrows))


def _interval(target: Target, findings: Findings) -> Interval | None:
    taken = target.take(findings)
    return None if taken is None else interval(taken[1])
