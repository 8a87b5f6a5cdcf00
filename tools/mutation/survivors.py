"""Survivors that are no fault, each with its reason (`mutants_survive.toml`)."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path

from .mutants import Mutant

FILE = Path(__file__).parents[1] / "mutants_survive.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """Mutants by book, place, kind and words of the change (patterns), and why they may live."""

    book: str
    where: str
    kind: str
    said: str
    why: str

    def fits(self, mutant: Mutant) -> bool:
        pairs = (
            (mutant.book, self.book),
            (mutant.where, self.where),
            (mutant.kind, self.kind),
            (mutant.said, self.said),
        )
        return all(fnmatchcase(text, pattern) for text, pattern in pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Survivors:
    entries: tuple[Accepted, ...]

    def reason(self, mutant: Mutant) -> str | None:
        return next((entry.why for entry in self.entries if entry.fits(mutant)), None)

    def idle(self, alive: Sequence[Mutant]) -> list[str]:
        """Entries that no survivor needs any more."""
        return [
            f"{entry.book}: {entry.where}: {entry.kind}: {entry.said}"
            for entry in self.entries
            if not any(entry.fits(mutant) for mutant in alive)
        ]


@cache
def survivors() -> Survivors:
    raw = tomllib.loads(FILE.read_text("utf-8")).get("survivors", [])
    return Survivors(
        entries=tuple(
            Accepted(
                book=entry.get("book", "*"),
                where=entry.get("where", "*"),
                kind=entry.get("kind", "*"),
                said=entry.get("said", "*"),
                why=entry["why"],
            )
            for entry in raw
        )
    )
