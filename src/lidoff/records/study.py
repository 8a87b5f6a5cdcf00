"""Study: one client question with its packs and scenario."""

from __future__ import annotations

from dataclasses import dataclass, field

from .change import Change
from .correlation import Correlation
from .pack import Pack
from .scenario import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    id: str
    name: str
    packs: tuple[Pack, ...] = ()
    scenario: Scenario = field(default_factory=Scenario)
    changes: tuple[Change, ...] = ()
    correlations: tuple[Correlation, ...] = ()
    revision: int = 0

    def pack(self, identity: str) -> Pack | None:
        """The pack of that id or name (capitals do not matter in a name), or ``None``."""
        asked = identity.casefold()
        return next((p for p in self.packs if p.id == identity or p.name.casefold() == asked), None)
