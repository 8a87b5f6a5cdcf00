"""Reading: a number as a bench knows it, and Word: a word with its evidence."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from .spread import Spread


class Basis(StrEnum):
    """What a number rests on, strongest first."""

    WEIGHED = "weighed"
    MEASURED = "measured"
    COUNTED = "counted"
    MARKED = "marked"
    PUBLISHED = "published"
    BY_DIFFERENCE = "by difference"
    BY_MODEL = "by model"
    ESTIMATED = "estimated"
    ASSUMED = "assumed"


#: How a basis is drawn in an evidence bar: observed (ink), documented (grey), open (empty).
OBSERVED = frozenset({Basis.WEIGHED, Basis.MEASURED, Basis.COUNTED})
DOCUMENTED = frozenset({Basis.MARKED, Basis.PUBLISHED})


class Evidence(StrEnum):
    """What a word rests on."""

    MARKED = "marked"
    SPECTROMETER = "by spectrometer"
    HARDNESS = "by hardness"
    STATED = "stated"
    GUESSED = "guessed"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A number with its unit as entered, spread, basis and origin. Missing is ``None``, never zero.

    ``value`` and the spread are in SI. ``text`` is what was written, ``origin`` where
    ("heron.xlsx!Parts!E6"). ``count`` is how many observations stand behind it.
    """

    value: float
    unit: str
    basis: Basis
    spread: Spread = field(default_factory=Spread)
    instrument: str | None = None
    origin: str = ""
    text: str = ""
    note: str = ""
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """A word as a bench wrote it, what it was taken to mean, and on what evidence.

    ``means`` is a key of ours (a material, a function, a process) or ``None`` when not understood.
    """

    text: str
    means: str | None = None
    evidence: Evidence = Evidence.STATED
    origin: str = ""
    note: str = ""
