"""Step: a logged action of the teardown. Removal: how long one removal from a vehicle took."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the strip log. Times are seconds after midnight of its day (1, 2, …)."""

    id: str
    number: str
    does: str
    day: int = 1
    start: float | None = None
    finish: float | None = None
    people: Reading | None = None
    tool: str = ""
    items: tuple[str, ...] = ()
    items_text: str = ""
    is_break: bool = False
    position: int = 0
    remarks: str = ""
    origin: str = ""

    @property
    def duration(self) -> float | None:
        """Elapsed time [s], over midnight where the finish is earlier than the start."""
        if self.start is None or self.finish is None:
            return None
        return (self.finish - self.start) % 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """The n-th removal of one pack type from its vehicle, by the same people and means."""

    id: str
    ordinal: int
    duration: Reading
    note: str = ""
    conditions: str = ""
    origin: str = ""
