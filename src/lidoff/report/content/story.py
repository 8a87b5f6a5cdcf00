"""What every part of the report draws on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from ...evaluate.findings import CostLine, Figure, Findings, PackFindings
from ...records import Item, Pack, Study

if TYPE_CHECKING:
    from ...compare import Comparison


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One pack as recorded and as evaluated, with its place in the report."""

    place: int
    pack: Pack
    findings: PackFindings

    @property
    def name(self) -> str:
        return self.pack.name

    def figure(self, name: str) -> Figure | None:
        return self.findings.figures.get(name)


@dataclass(frozen=True, kw_only=True)
class Story:
    """A study, its findings and comparison, and the edition being written.

    ``whole`` is set where space is no matter (HTML): every worked sheet is kept. Otherwise the
    largest cost lines have theirs and the others lead to their method.
    """

    study: Study
    findings: Findings
    comparison: Comparison | None
    issued: datetime
    whole: bool = False
    largest: int = 4

    @cached_property
    def packs(self) -> tuple[Told, ...]:
        """The packs that were evaluated, in the study's order."""
        found: list[Told] = []
        for pack in self.study.packs:
            findings = self.findings.packs.get(pack.id)
            if findings is not None:
                found.append(Told(place=len(found) + 1, pack=pack, findings=findings))
        return tuple(found)

    @cached_property
    def by_id(self) -> Mapping[str, Told]:
        return {told.pack.id: told for told in self.packs}

    @cached_property
    def _anchors(self) -> Mapping[tuple[int, str], str]:
        return {
            (told.place, item.id): f"part-{told.place}-{n}"
            for told in self.packs
            for n, item in enumerate(told.pack.items, 1)
        }

    def part(self, told: Told, item: str | Item | None) -> str | None:
        """The anchor of a part's readings, ``None`` for a part that is not of the pack."""
        identity = item.id if isinstance(item, Item) else item
        return self._anchors.get((told.place, identity)) if identity is not None else None

    @cached_property
    def worked_lines(self) -> Mapping[tuple[int, str], CostLine]:
        """The cost lines that have a worked sheet, by pack's place and item."""
        chosen: dict[tuple[int, str], CostLine] = {}
        for told in self.packs:
            costed = [line for line in told.findings.cost_lines if line.route and line.piece is not None]
            costed.sort(key=lambda line: -(line.piece.value if line.piece else 0.0))
            for line in costed if self.whole else costed[: self.largest]:
                chosen[(told.place, line.item)] = line
        return chosen

    def cost_anchor(self, told: Told, line: CostLine) -> str | None:
        """Where a cost line is worked: its own sheet, else the sheet of its first method."""
        if (told.place, line.item) in self.worked_lines:
            return f"cost-{told.place}-{self._anchors[(told.place, line.item)].rsplit('-', 1)[1]}"
        return f"method-{line.route[0].method}" if line.route else None

    @cached_property
    def methods_used(self) -> tuple[str, ...]:
        """Names of the books behind the costed lines, in order of first use."""
        return tuple(
            dict.fromkeys(
                step.method for told in self.packs for line in told.findings.cost_lines for step in line.route
            )
        )
