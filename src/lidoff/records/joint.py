"""Joint: what holds items together."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A group of like fasteners, a weld, bead, clip, connector or bond between two items.

    ``first`` and ``second`` are item ids where the bench's words could be resolved, else ``None``;
    the words themselves are kept. ``count`` is pieces, ``length`` a bead's or seam's length.
    ``live`` says whether it is worked over live high-voltage parts; ``None`` is not recorded.
    """

    id: str
    first_text: str
    second_text: str
    first: str | None = None
    second: str | None = None
    kind: str = ""
    count: Reading | None = None
    length: Reading | None = None
    tool: str = ""
    direction: str = ""
    torques: tuple[Reading, ...] = ()
    live: bool | None = None
    reusable: bool | None = None
    position: int = 0
    remarks: str = ""
    origin: str = ""
