"""What every part of the report draws on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from ...evaluate.findings import CostLine, Figure, Findings, PackFindings
from ...records import Item, Joint, Pack, Study

if TYPE_CHECKING:
    from ...compare import ComparedRow, Comparison
    from ...evaluate.spread import Spreads


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One pack as recorded and as evaluated, with its place in the report."""

    place: int
    pack: Pack
    findings: PackFindings
    figures: Mapping[str, Figure]

    @property
    def name(self) -> str:
        return self.pack.name

    def figure(self, name: str) -> Figure | None:
        return self.figures.get(name)


def dated(figure: Figure, currency: str, year: int | None) -> Figure:
    """The figure with the year of its money in its unit, where the unit names a bare currency."""
    if year is None or not currency or any(c.isdigit() for c in currency):
        return figure
    unit = re.sub(rf"\b{re.escape(currency)}\b", f"{currency}{year}", figure.unit)
    return figure if unit == figure.unit else replace(figure, unit=unit)


@dataclass(frozen=True, kw_only=True)
class Story:
    """A study, its findings and comparison, and the edition being written.

    ``whole`` is set where space is no matter (HTML): every worked sheet is kept. Otherwise the
    largest cost lines have theirs and the others lead to their method. ``spread`` is ``None`` where
    nobody looked into it.
    """

    study: Study
    findings: Findings
    comparison: Comparison | None
    issued: datetime
    whole: bool = False
    largest: int = 4
    spread: Spreads | None = None

    @cached_property
    def packs(self) -> tuple[Told, ...]:
        """The packs that were evaluated, in the study's order."""
        found: list[Told] = []
        for pack in self.study.packs:
            findings = self.findings.packs.get(pack.id)
            if findings is not None:
                figures = {name: self.dated(figure) for name, figure in findings.figures.items()}
                found.append(Told(place=len(found) + 1, pack=pack, findings=findings, figures=figures))
        return tuple(found)

    @property
    def money_year(self) -> int | None:
        """The year of the money."""
        return self.findings.year

    def dated(self, figure: Figure) -> Figure:
        return dated(figure, self.findings.currency, self.money_year)

    @cached_property
    def compared(self) -> Mapping[str, ComparedRow]:
        """The rows of the comparison by name, money with its year."""
        if self.comparison is None:
            return {}
        return {
            row.name: replace(
                row, values={pack: f if f is None else self.dated(f) for pack, f in row.values.items()}
            )
            for row in self.comparison.rows
        }

    @cached_property
    def by_id(self) -> Mapping[str, Told]:
        return {told.pack.id: told for told in self.packs}

    @cached_property
    def _anchors(self) -> Mapping[tuple[int, str], str]:
        found: dict[tuple[int, str], str] = {}
        for told in self.packs:
            # Joints are costed as lines too; should an id be both, the part is meant.
            for n, joint in enumerate(told.pack.joints, 1):
                found[(told.place, joint.id)] = f"joint-{told.place}-{n}"
            for n, item in enumerate(told.pack.items, 1):
                found[(told.place, item.id)] = f"part-{told.place}-{n}"
        return found

    def part(self, told: Told, item: str | Item | Joint | None) -> str | None:
        """The anchor of a part's or joint's readings, ``None`` for what is not of the pack."""
        identity = item.id if isinstance(item, Item | Joint) else item
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
            place = [other.item for other in told.findings.cost_lines].index(line.item)
            return f"cost-{told.place}-{place + 1}"
        return f"method-{line.route[0].method}" if line.route else None

    @cached_property
    def methods_used(self) -> tuple[str, ...]:
        """Names of the books behind the costed lines, in order of first use."""
        return tuple(
            dict.fromkeys(
                step.method for told in self.packs for line in told.findings.cost_lines for step in line.route
            )
        )
