"""Sums: costed lines added up as they come, so that no line's samples need be kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ...quantities import Basis
from ...quantities.sampling import Samples
from ...records import Function
from ..findings import COST_ELEMENTS, CostElement, CostStatus, Money
from .lines import Costed


@dataclass(slots=True)
class Element:
    """One element over the costed lines: nominal value and what it rests on, by its share of value."""

    value: float = 0.0
    weights: dict[Basis, float] = field(default_factory=dict)
    entries: list[tuple[Costed, float]] = field(default_factory=list)

    def add(self, one: Costed, value: float) -> None:
        self.value += value
        for basis, share in one.basis.items():
            self.weights[basis] = self.weights.get(basis, 0.0) + share * value
        if value != 0.0:
            self.entries.append((one, value))

    @property
    def basis(self) -> Mapping[Basis, float]:
        whole = sum(self.weights.values())
        return {basis: weight / whole for basis, weight in self.weights.items()} if whole > 0.0 else {}


@dataclass(slots=True)
class Sums:
    """``count`` is the number of samples, 0 for nominal values only."""

    count: int
    elements: dict[CostElement, Element] = field(
        default_factory=lambda: {name: Element() for name in COST_ELEMENTS}
    )
    samples: dict[tuple[Function | None, CostElement], Samples] = field(default_factory=dict)
    costed: list[Costed] = field(default_factory=list)

    def add(self, one: Costed, listed: Costed) -> None:
        """Add a line; ``listed`` is the same line as it is kept, with or without its samples."""
        self.costed.append(listed)
        if one.line.status is not CostStatus.COSTED:
            return
        for name, element in self.elements.items():
            money: Money | None = getattr(one.line, name)
            if money is None:
                continue
            element.add(listed, money.value)
            if self.count:
                self._sampled((one.line.function, name), money)

    def _sampled(self, key: tuple[Function | None, CostElement], money: Money) -> None:
        total = self.samples.get(key)
        if total is None:
            total = self.samples[key] = np.zeros(self.count)
        total += money.value if money.samples is None else money.samples

    def total(self, name: CostElement) -> Samples:
        """Samples of an element over all lines; empty at nominal values only."""
        parts = [part for (_, element), part in self.samples.items() if element == name]
        total = np.zeros(self.count)
        for part in parts:
            total += part
        return total

    @property
    def sources(self) -> tuple[str, ...]:
        there = (one.line for one in self.costed if one.line.status is CostStatus.COSTED)
        return tuple(dict.fromkeys(source for line in there for source in line.sources))
