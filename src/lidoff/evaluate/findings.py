"""Findings: what an evaluation says, with working, basis, sources and warnings."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from ..quantities import Basis
from ..records import Edit, Function, Scenario

if TYPE_CHECKING:
    from ..methods import Book
    from ..prices import PriceBook

Samples = NDArray[np.float64]

#: Samples of one block. More are evaluated block after block, so memory does not grow with them.
BLOCK = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedLine:
    """One line of a worked sheet: the formula, the numbers put in, the result, the source id."""

    name: str
    formula: str
    put_in: str
    value: float
    unit: str
    about: str = ""
    source: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One addend of a figure that is a sum, in the figure's unit, with what it rests on."""

    label: str
    value: float
    basis: Basis
    item: str | None = None
    origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Covers:
    """Share of lines and of mass that stands behind a cost figure, 0 to 1."""

    lines: float
    mass: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A computed result in its own unit.

    ``value`` is the evaluation at nominal readings, ``low`` and ``high`` the interval of the
    samples; all ``None`` where an input is missing, and then ``warnings`` say which.
    ``basis`` gives the share of the value by basis (sums to 1 where given).
    ``samples`` carry the figure on to differences and ratios.
    """

    name: str
    title: str
    unit: str
    value: float | None
    low: float | None = None
    high: float | None = None
    coverage: float = 0.95
    covers: Covers | None = None
    basis: Mapping[Basis, float] = field(default_factory=dict)
    sources: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    working: Sequence[WorkedLine] = ()
    terms: Sequence[Term] = ()
    samples: Samples | None = field(default=None, repr=False, compare=False)


#: The elements of a cost line, ``piece`` being the sum of the five before it.
CostElement = Literal[
    "material",
    "labour",
    "burden",
    "markup",
    "packaging",
    "piece",
    "tooling_per_piece",
    "tooling_investment",
]
COST_ELEMENTS: tuple[CostElement, ...] = get_args(CostElement)


class CostStatus(StrEnum):
    COSTED = "costed"
    NOT_COSTED = "not costed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Money:
    """One cost element: value at nominal readings and interval. A line in findings does not hold its
    samples, which would be most of their memory: see `CostLine.samples`.
    """

    value: float
    low: float
    high: float
    samples: Samples | None = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteStepCost:
    """One process of an item's route, worked. Money is per piece leaving the route good."""

    method: str
    title: str
    material: float
    labour: float
    burden: float
    tooling_investment: float
    good_share: float
    working: Sequence[WorkedLine]
    assumed: Sequence[str] = ()
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost tree. Money is per pack (piece cost times count), tooling apart.

    ``piece`` is the sum of the five before it. ``tooling_per_piece`` is the line's tooling spread
    over the packs of the scenario, per pack; ``tooling_investment`` the whole sum over the programme.
    """

    item: str
    number: str
    name: str
    function: Function | None
    count: float
    mass: float | None
    status: CostStatus
    why: str = ""
    assumed_route: bool = False
    route: tuple[RouteStepCost, ...] = ()
    material: Money | None = None
    labour: Money | None = None
    burden: Money | None = None
    markup: Money | None = None
    packaging: Money | None = None
    piece: Money | None = None
    tooling_per_piece: Money | None = None
    tooling_investment: Money | None = None
    sources: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    redraw: Callable[[], CostLine] | None = field(default=None, repr=False, compare=False)

    def samples(self, element: CostElement) -> Samples | None:
        """Samples of one element of the line, drawn again from its streams where they were not kept."""
        money: Money | None = getattr(self, element)
        if money is None or money.samples is not None or self.redraw is None:
            return None if money is None else money.samples
        again: Money | None = getattr(self.redraw(), element)
        return None if again is None else again.samples


@dataclass(frozen=True, slots=True, kw_only=True)
class MassLine:
    """One leaf of the roll-up: its count in the pack and its mass, kg per pack."""

    item: str
    number: str
    name: str
    function: Function | None
    count: float
    mass: float | None
    basis: Basis | None
    samples: Samples | None = field(default=None, repr=False, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What looks wrong in the records, or is missing, with what to do about it.

    ``kind`` is one word of a fixed list (see `evaluate.check`); ``edits`` are what accepting the
    proposal would do, empty where it asks for a weighing or a look.
    """

    id: str
    pack: str
    item: str | None
    kind: str
    where: str
    says: str
    proposed: str
    edits: tuple[Edit, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PackFindings:
    """Everything found of one pack. ``notes`` tell what followed from the changes carried out.

    ``cost_samples`` are samples of the costed lines of a function (``None``: of no known function)
    added up, by element.
    """

    pack: str
    name: str
    figures: Mapping[str, Figure]
    mass_lines: tuple[MassLine, ...] = ()
    cost_lines: tuple[CostLine, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    notes: tuple[str, ...] = ()
    cost_samples: Mapping[tuple[Function | None, CostElement], Samples] = field(
        default_factory=dict, repr=False, compare=False
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """Everything found of a study. ``prices`` is the price book that its costs rest on, ``books`` are the
    method books where others than the shipped ones were used.

    ``samples`` is the number asked for; arrays of samples hold the first `drawn` of them.
    """

    study: str
    scenario: Scenario
    currency: str
    year: int | None = None
    samples: int
    seed: int = 0
    packs: Mapping[str, PackFindings]
    sources: tuple[str, ...] = ()
    prices: PriceBook | None = field(default=None, repr=False, compare=False)
    books: Mapping[str, Book] | None = field(default=None, repr=False, compare=False)

    @property
    def drawn(self) -> int:
        """Length of the arrays of samples: those of the first block (see `evaluate`)."""
        return min(self.samples, BLOCK)
