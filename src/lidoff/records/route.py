"""Route: the chain of processes that makes a part."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import Evidence, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteStep:
    """One process: the method book's name and the inputs somebody gave (by input name, SI)."""

    method: str
    inputs: tuple[tuple[str, Reading], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """How an item is made. ``evidence`` says whether the bench wrote it or we assumed it."""

    steps: tuple[RouteStep, ...]
    evidence: Evidence = Evidence.STATED
    note: str = ""
