"""Dimensions: what may be added to what."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

#: Base dimensions. Parts, shots, cycles and cells are dimensions here, so that a price per
#: part can never be added to a price per shot; money is one dimension whose currency and
#: year are kept beside the unit.
BASES = ("kg", "m", "s", "A", "K", "mol", "cd", "money", "part", "shot", "cycle", "cell")
COUNTS = ("part", "shot", "cycle", "cell")


@dataclass(frozen=True, slots=True)
class Dimension:
    """Exponents of the base dimensions.

    ``absolute`` marks a temperature on a scale with an arbitrary zero (25 °C) as against a
    temperature difference (25 K): the two are different types.
    """

    exponents: tuple[tuple[str, Fraction], ...] = ()
    absolute: bool = False

    @staticmethod
    def of(exponents: dict[str, Fraction], absolute: bool = False) -> Dimension:
        return Dimension(tuple((b, Fraction(exponents[b])) for b in BASES if exponents.get(b)), absolute)

    def as_dict(self) -> dict[str, Fraction]:
        return dict(self.exponents)

    @property
    def is_number(self) -> bool:
        return not self.exponents

    def __mul__(self, other: Dimension) -> Dimension:
        merged = self.as_dict()
        for base, power in other.exponents:
            merged[base] = merged.get(base, Fraction(0)) + power
        return Dimension.of(merged)

    def __truediv__(self, other: Dimension) -> Dimension:
        return self * other ** Fraction(-1)

    def __pow__(self, power: Fraction | int) -> Dimension:
        return Dimension.of({b: p * Fraction(power) for b, p in self.exponents})

    def without_counts(self) -> Dimension:
        """The same with parts, shots, cycles and cells struck out: people leave "per part" unsaid."""
        return Dimension(tuple((b, p) for b, p in self.exponents if b not in COUNTS), self.absolute)

    def __str__(self) -> str:
        if self.absolute:
            return "temperature on a scale"
        if not self.exponents:
            return "a plain number"
        return "·".join(b if p == 1 else f"{b}^{p}" for b, p in self.exponents)


NUMBER = Dimension()
MASS = Dimension.of({"kg": Fraction(1)})
LENGTH = Dimension.of({"m": Fraction(1)})
TIME = Dimension.of({"s": Fraction(1)})
TEMPERATURE = Dimension.of({"K": Fraction(1)}, absolute=True)
