"""How much of a number was observed, documented, or is still open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..quantities import Basis
from ..quantities.reading import DOCUMENTED, OBSERVED
from .numbers import percent
from .palette import LIGHT, Palette
from .svg import Drawing

WIDTH, HEIGHT = 44.0, 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Shares of a number that were observed, documented and neither; they sum to 1."""

    observed: float
    documented: float
    open: float

    @property
    def told(self) -> str:
        return (
            f"{percent(self.observed)} weighed, measured or counted, "
            f"{percent(self.documented)} marked or published, {percent(self.open)} estimated or assumed"
        )


def shares(basis: Mapping[Basis, float]) -> Shares | None:
    """Sum the shares by basis; ``None`` where nothing is known of them."""
    total = sum(basis.values())
    if not total > 0.0:
        return None
    observed = sum(v for b, v in basis.items() if b in OBSERVED) / total
    documented = sum(v for b, v in basis.items() if b in DOCUMENTED) / total
    return Shares(observed=observed, documented=documented, open=max(0.0, 1.0 - observed - documented))


def evidence_bar(part: Shares, *, palette: Palette = LIGHT) -> str:
    """Ink for what was observed, grey for what is documented, empty for the rest."""
    drawing = Drawing(WIDTH, HEIGHT, part.told)
    room = WIDTH - 2.0
    drawing.rect(1.0, 1.5, room, HEIGHT - 3.0, fill=palette.sheet, stroke=palette.soft, width=0.75)
    drawing.rect(1.0, 1.5, room * part.observed, HEIGHT - 3.0, fill=palette.ink)
    drawing.rect(
        1.0 + room * part.observed, 1.5, room * part.documented, HEIGHT - 3.0, fill=palette.soft, opacity=0.55
    )
    return drawing.svg()
