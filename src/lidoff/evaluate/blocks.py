"""Blocks: many samples evaluated block after block, so that memory does not grow with their number.

Ends of intervals are the averages of the blocks' own (JCGM 101:2008, 7.9.4, which takes blocks of 10⁴
trials or more); every block draws all streams anew. Arrays of samples are those of the first block.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from .findings import BLOCK, COST_ELEMENTS, CostLine, Figure, Money, PackFindings

_Ends = dict[str, tuple[float, float]]


def block_labels(samples: int, seed: int) -> Iterator[str | None]:
    """The seed of every block; ``None`` for the streams' own, which is the first block of seed 0."""
    for number in range(max(1, -(-samples // BLOCK))):
        if number:
            yield f"{seed}.{number}"
        else:
            yield str(seed) if seed else None


@dataclass(slots=True)
class Blocks:
    """Findings of a pack over blocks: the first whole, of all the ends of their intervals added up."""

    first: PackFindings
    count: int = 0
    figures: _Ends = field(default_factory=dict)
    lines: dict[tuple[int, str], tuple[float, float]] = field(default_factory=dict)

    def add(self, found: PackFindings) -> None:
        self.count += 1
        for name, figure in found.figures.items():
            if figure.low is not None and figure.high is not None:
                low, high = self.figures.get(name, (0.0, 0.0))
                self.figures[name] = low + figure.low, high + figure.high
        for number, line in enumerate(found.cost_lines):
            for element in COST_ELEMENTS:
                money: Money | None = getattr(line, element)
                if money is not None:
                    low, high = self.lines.get((number, element), (0.0, 0.0))
                    self.lines[number, element] = low + money.low, high + money.high

    def averaged(self) -> PackFindings:
        if self.count == 1:
            return self.first
        figures = {name: self._figure(name, figure) for name, figure in self.first.figures.items()}
        lines = tuple(self._line(number, line) for number, line in enumerate(self.first.cost_lines))
        return replace(self.first, figures=figures, cost_lines=lines)

    def _figure(self, name: str, figure: Figure) -> Figure:
        if name not in self.figures:
            return figure
        low, high = self.figures[name]
        return replace(figure, low=low / self.count, high=high / self.count)

    def _line(self, number: int, line: CostLine) -> CostLine:
        averaged: dict[str, Money] = {}
        for element in COST_ELEMENTS:
            money: Money | None = getattr(line, element)
            if money is not None:
                low, high = self.lines[number, element]
                averaged[element] = replace(money, low=low / self.count, high=high / self.count)
        return _with(line, averaged)


def _with(line: CostLine, elements: Mapping[str, Money]) -> CostLine:
    return replace(
        line,
        material=elements.get("material"),
        labour=elements.get("labour"),
        burden=elements.get("burden"),
        markup=elements.get("markup"),
        packaging=elements.get("packaging"),
        piece=elements.get("piece"),
        tooling_per_piece=elements.get("tooling_per_piece"),
        tooling_investment=elements.get("tooling_investment"),
    )
