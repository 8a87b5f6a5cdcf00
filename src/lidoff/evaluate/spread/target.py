"""Target: the number whose spread is looked into, a pack's figure or a difference between packs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ...quantities.draws import Samples
from ..findings import Figure, Findings

#: The number in an evaluation: at nominal readings, and its samples; ``None`` where it is missing.
Take = Callable[[Findings], "tuple[float, Samples] | None"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """``packs`` are the ids behind it: one for a figure, two for a difference (first less second)."""

    name: str
    title: str
    unit: str
    packs: tuple[str, ...]
    take: Take

    @property
    def is_difference(self) -> bool:
        return len(self.packs) > 1

    @property
    def is_cost(self) -> bool:
        """Whether costs must be evaluated for it."""
        return self.name.startswith(("cost_", "tooling_"))


def _sampled(findings: Findings, pack: str, name: str) -> Figure | None:
    found = findings.packs[pack].figures.get(name) if pack in findings.packs else None
    return None if found is None or found.value is None or found.samples is None else found


def of_pack(findings: Findings, pack: str, name: str) -> Target | None:
    """A figure of a pack; ``None`` where the findings do not have it."""
    found = _sampled(findings, pack, name)
    if found is None:
        return None

    def take(evaluated: Findings) -> tuple[float, Samples] | None:
        one = _sampled(evaluated, pack, name)
        if one is None or one.value is None or one.samples is None:
            return None
        return one.value, one.samples

    return Target(name=name, title=found.title, unit=found.unit, packs=(pack,), take=take)


def between(findings: Findings, first: str, second: str, name: str) -> Target | None:
    """A figure of one pack less that of another, sample by sample, so that what they share cancels."""
    one, other = of_pack(findings, first, name), of_pack(findings, second, name)
    if one is None or other is None or one.unit != other.unit:
        return None

    def take(evaluated: Findings) -> tuple[float, Samples] | None:
        a, b = one.take(evaluated), other.take(evaluated)
        return None if a is None or b is None else (a[0] - b[0], a[1] - b[1])

    return Target(name=name, title=one.title, unit=one.unit, packs=(first, second), take=take)
