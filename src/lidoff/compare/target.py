"""Target: a difference as a comparison shows it, for those who look into its spread."""

from __future__ import annotations

from collections.abc import Callable

from ..evaluate import Findings
from ..evaluate.spread import Target
from ..quantities.sampling import Samples
from .comparison import ComparedRow, Comparison

Compare = Callable[[Findings], Comparison]


def difference_target(comparison: Comparison, name: str, other: str, again: Compare) -> Target | None:
    """The first pack less ``other`` in a row of the comparison; ``None`` where there is no difference.

    ``again`` makes the same comparison of other findings, within the same scope.
    """
    row = comparison.row(name)
    if row is None or other not in row.differences:
        return None
    first = comparison.packs[0]

    def take(findings: Findings) -> tuple[float, Samples] | None:
        found = again(findings).row(name)
        return None if found is None else _paired(found, first, other)

    return Target(name=name, title=row.title, unit=row.unit, packs=(first, other), take=take)


def _paired(row: ComparedRow, first: str, other: str) -> tuple[float, Samples] | None:
    a, b = row.values.get(first), row.values.get(other)
    if a is None or b is None or a.value is None or b.value is None:
        return None
    if a.samples is None or b.samples is None:
        return None
    return a.value - b.value, a.samples - b.samples
