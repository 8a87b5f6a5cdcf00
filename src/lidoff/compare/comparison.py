"""What a comparison says: its scope, what was left out and why, and rows with their differences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..evaluate import Figure
from ..records import Function


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """First pack less another, with the interval of the paired samples, in the row's unit.

    Not ``settled`` where the interval includes zero.
    """

    value: float
    low: float
    high: float

    @property
    def settled(self) -> bool:
        return self.low > 0.0 or self.high < 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRow:
    """One figure of every pack. ``values`` hold ``None`` where a pack has no such thing.

    ``differences`` are the first pack less each other one, by that one's id. ``note`` says what
    stands in the way of taking the values side by side: of a cost, how much of each is costed.
    """

    name: str
    title: str
    unit: str
    values: Mapping[str, Figure | None]
    differences: Mapping[str, Difference] = field(default_factory=dict)
    note: str = ""

    @property
    def difference(self) -> Difference | None:
        """First pack less the second, ``None`` where either lacks the figure."""
        others = list(self.values)[1:]
        return self.differences.get(others[0]) if others else None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """A function of one pack that the scope leaves out, shown apart with its mass and cost."""

    pack: str
    function: Function | None
    why: str
    mass: Figure | None = None
    cost: Figure | None = None
    tooling: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Packs in the order of the study, compared within ``scope``; coolant is never in it."""

    packs: tuple[str, ...]
    scope: tuple[Function, ...]
    left_out: tuple[LeftOut, ...]
    rows: tuple[ComparedRow, ...]
    like_for_like: bool = False

    def row(self, name: str) -> ComparedRow | None:
        return next((row for row in self.rows if row.name == name), None)
