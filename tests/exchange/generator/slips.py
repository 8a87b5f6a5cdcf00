"""Which slips a file gets, and on which lines they can be planted fairly."""

from __future__ import annotations

from random import Random

from .style import Style
from .tree import walk
from .truth import Line

#: Every kind, and how the reader must react.
REACTIONS = {
    "doubled line": "asked",
    "dotted time": "asked",
    "unit swap": "asked by geometry",
    "bad mass": "rejected",
    "decimal slip": "asked by geometry",
    "mangled number": "asked",
    "unknown function": "asked",
    "fraction": "asked",
    "missing unit": "asked",
    "weighings": "asked",
}

KINDS = tuple(REACTIONS)


def draw_slips(rng: Random, turn: int) -> frozenset[str]:
    """None to four slips for a file; ``turn`` makes sure that every kind has its turn in a batch."""
    if turn % 4 == 3:
        return frozenset()  # a tidy bench now and then
    chosen = {KINDS[(turn - turn // 4) % len(KINDS)]}
    chosen |= set(rng.sample(KINDS, rng.randint(0, 3)))
    if "missing unit" in chosen:  # without a unit the mass slips have no ground to stand on
        chosen -= {"unit swap", "decimal slip", "weighings"}
    return frozenset(chosen)


def pick(rng: Random, kind: str, root: Line, style: Style, taken: set[int]) -> Line | None:
    """A line on which this slip would be plain to an engineer, not yet used for another slip."""
    lines = [line for line in walk(root) if id(line) not in taken and line.depth > 0]
    parts = [line for line in lines if not line.is_assembly and line.wanted_mass is not None]
    if kind in ("doubled line", "unknown function", "bad mass"):
        # the first line of a block would make its heading look odd, cells carry the pack: neither is doubled
        choice = [line for line in parts if line.shape != "cell"]
    elif kind == "fraction":
        choice = [line for line in parts if line.quantity > 1 and line.shape not in ("cell", "bead")]
    elif kind == "unit swap":
        choice = [
            line
            for line in parts
            if line.wanted_sizes and line.shape in ("sheet", "solid", "cast", "moulded")
        ]
    elif kind == "decimal slip":
        choice = [line for line in parts if line.wanted_sizes and line.shape == "sheet"]
    elif kind == "mangled number":
        choice = [line for line in parts if line.number.count(".") == 1 and line.number.endswith("0")]
    elif kind == "weighings":
        choice = [
            line for line in lines
            if line.depth == 1 and line.quantity > 1 and line.children
            and all(part.wanted_mass is not None or part.children for part in walk(line))
        ]  # fmt: skip
    else:
        choice = []
    choice = [line for line in choice if line.basis in ("weighed", None)]
    return rng.choice(choice) if choice else None
