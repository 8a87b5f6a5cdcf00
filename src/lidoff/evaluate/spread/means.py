"""Means: how an input could be known better, and its standard uncertainty after that."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from ...quantities import parse_unit
from ...quantities.defaults import SCALE_CALIBRATION
from .named import InputKind, Named


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A scale: the most it takes and its division [kg]."""

    most: float
    division: float
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """One row: what to do, for which inputs, and the standard uncertainty after it.

    ``u`` is SI, ``relative`` a share of the value; with ``scales`` it is that of a weighing. ``unit``
    narrows the row to inputs of that dimension, ``keys`` to names that begin so.
    """

    kind: InputKind
    says: str
    u: float | None = None
    relative: float | None = None
    unit: str | None = None
    keys: tuple[str, ...] = ()
    scales: tuple[Scale, ...] = ()

    def fits(self, named: Named) -> bool:
        if named.kind is not self.kind or (self.keys and not named.key.startswith(self.keys)):
            return False
        if self.unit is None:
            return True
        return parse_unit(self.unit).dimension == parse_unit(named.unit).dimension

    def after(self, value: float) -> tuple[float, str] | None:
        """Standard uncertainty [SI] after it and what to do; ``None`` where no scale takes it."""
        if self.scales:
            scale = next((s for s in self.scales if abs(value) <= s.most), None)
            if scale is None:
                return None
            rounding, shared = scale.division / math.sqrt(12.0), SCALE_CALIBRATION * abs(value)
            return math.hypot(rounding, shared), f"{self.says} on {scale.name}"
        return (self.u if self.u is not None else (self.relative or 0.0) * abs(value)), self.says


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowing:
    """What to do about an input, and the factor that its spread is drawn together by (0 to 1)."""

    says: str
    factor: float


@cache
def all_means() -> Sequence[Means]:
    text = (files(__package__) / "means.toml").read_text("utf-8")
    return tuple(_means(raw) for raw in tomllib.loads(text)["means"])


def _means(raw: Mapping[str, Any]) -> Means:
    unit = raw.get("unit")
    u = raw.get("u")
    return Means(
        kind=InputKind(raw["kind"]),
        says=raw["says"],
        u=None if u is None else parse_unit(unit or "").to_si(float(u)),
        relative=raw.get("relative"),
        unit=unit,
        keys=tuple(raw.get("keys", ())),
        scales=tuple(Scale(**scale) for scale in raw.get("scales", ())),
    )


def narrowing(named: Named) -> Narrowing | None:
    """How an input's spread could be narrowed; ``None`` where nothing at hand would.

    What was weighed as well as a scale can, and what no row is for, has none.
    """
    if named.value is None or not named.u:
        return None
    row = next((means for means in all_means() if means.fits(named)), None)
    after = None if row is None else row.after(named.value)
    if after is None or after[0] >= named.u:
        return None
    return Narrowing(says=after[1], factor=after[0] / named.u)
