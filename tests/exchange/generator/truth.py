"""The truth that is kept beside each written file."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

#: Kilograms and metres in one of each unit (exact by definition: the pound since 1959, the inch 25.4 mm).
MASS = {"g": Decimal("0.001"), "kg": Decimal(1), "lb": Decimal("0.45359237"), "oz": Decimal("0.028349523125")}
SIZE = {"mm": Decimal("0.001"), "cm": Decimal("0.01"), "in": Decimal("0.0254")}


@dataclass(kw_only=True)
class Line:
    """One line of a parts table, as it is. Masses [kg] and sizes [m] are those written."""

    name: str
    depth: int
    parent: Line | None
    shape: str
    function: str
    quantity: int = 1
    stuff: str = ""
    material: str = ""
    process: str = ""
    function_word: str = ""
    basis: str | None = None
    basis_word: str = ""
    approx: bool = False  # written with a mark such as "~"
    photo: str = ""
    remark: str = ""
    number: str = ""
    wanted_mass: float | None = None  # from the sizes, before the bench rounds it
    wanted_sizes: tuple[float, float, float] | None = None  # mm
    mass: float | None = None
    whole: float | None = None  # an assembly weighed as assembled [kg]
    sizes: tuple[float, float, float] | None = None
    children: list[Line] = field(default_factory=list)
    row: int = 0
    sheet: str = ""
    skip: set[str] = field(default_factory=set)  # fields that a planted slip leaves open

    @property
    def is_assembly(self) -> bool:
        return bool(self.children) or self.shape == "assembly"

    def rolled(self) -> float:
        """Mass of one [kg], from its parts where it has any."""
        if not self.children:
            return self.mass or 0.0
        return sum(child.quantity * child.rolled() for child in self.children)

    def wanted(self) -> float | None:
        """Mass of one [kg] before rounding, or None where a part of it has none."""
        if not self.children:
            return self.wanted_mass
        parts = [(child.quantity, child.wanted()) for child in self.children]
        return None if any(mass is None for _, mass in parts) else sum(n * (mass or 0.0) for n, mass in parts)

    def known(self) -> float:
        """Mass of one [kg] before rounding, of the parts that have one."""
        if not self.children:
            return self.wanted_mass or 0.0
        return sum(child.quantity * child.known() for child in self.children)


@dataclass(kw_only=True)
class Slip:
    """A planted slip: where it is, what it is, and how the reader must react.

    ``reaction`` is "asked", "rejected" or "asked by geometry" (which may wait for the data check).
    A question answers it when its place holds one of ``rows`` of ``sheet`` or its text holds a ``token``.
    """

    kind: str
    reaction: str
    sheet: str
    rows: tuple[int, ...]
    tokens: tuple[str, ...] = ()
    line: Line | None = None


@dataclass(kw_only=True)
class JointTruth:
    first: Line | None
    second: Line | None
    first_text: str
    second_text: str
    count: int | None
    length: float | None
    torques: tuple[float, ...]
    row: int
    sheet: str
    live: bool | None


@dataclass(kw_only=True)
class StepTruth:
    does: str
    day: int
    start: float | None
    finish: float | None
    people: int | None
    is_break: bool
    row: int
    sheet: str
    off: tuple[Line, ...] = ()
    skip: set[str] = field(default_factory=set)


@dataclass(kw_only=True)
class RemovalTruth:
    ordinal: int
    duration: float
    row: int
    sheet: str


@dataclass(kw_only=True)
class Truth:
    """What the file says, and what must come of it.

    ``notes`` are texts between rows that must not vanish; ``quiet_rows`` those that a careful reader
    may ask about without being silly (a part with no mass, an assembly with a mass on its own line).
    """

    path: Path
    number: int
    style: str  # said in failure messages
    columns: frozenset[str]
    has_number: bool
    has_sizes: bool
    mass_known: bool
    lines: list[Line]
    slips: list[Slip] = field(default_factory=list)
    joints: list[JointTruth] = field(default_factory=list)
    steps: list[StepTruth] = field(default_factory=list)
    removals: list[RemovalTruth] = field(default_factory=list)
    facts: dict[str, float] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    quiet_rows: set[tuple[str, int]] = field(default_factory=set)
    weighings: list[tuple[Line, tuple[float, ...]]] = field(default_factory=list)
