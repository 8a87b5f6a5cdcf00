"""A line of a demo parts list: its shape, material and words; and the mass that follows."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from .shapes import Shape

#: Densities [kg/dm³] of what the demo's parts are made of. General handbook values, from memory;
#: bought parts have an effective one for a solid of their fill.
DENSITY = {
    "al": 2.70, "al_cast": 2.66, "steel": 7.85, "cu": 8.93, "pc_abs": 1.19, "pc": 1.20, "pa66": 1.16,
    "pa66_gf": 1.36, "pbt_gf": 1.53, "pp": 0.91, "pp_gf": 1.13, "ppa": 1.45, "pom": 1.41, "pet": 1.38,
    "pa12": 1.02, "silicone": 1.25, "silicone_foam": 0.45, "silicone_filled": 2.1, "filler": 2.7,
    "pu": 1.15, "pu_filled": 2.0, "pu_foam": 0.2, "epdm": 1.20, "epdm_foam": 0.22, "mica": 2.05,
    "ms_polymer": 1.45, "fr4": 1.85, "fpc": 1.75, "pvc": 1.35, "butyl": 1.70, "bought": 1.0,
    "cell_round": 2.79, "cell_pouch": 2.37, "glycol": 1.07,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line as the bench wrote it, and the piece as it really is.

    ``off`` is per parent. ``basis`` is the bench's own word; ``no_mass`` leaves the mass cell blank;
    ``slip`` multiplies what is written, as a wrong unit does. ``photos`` is how many pictures were taken.
    """

    level: int
    number: str
    name: str
    off: int = 1
    shape: Shape | None = None
    stuff: str = ""
    material: str = ""
    how: str = ""
    function: str = ""
    basis: str = "weighed"
    photos: int = 0
    note: str = ""
    no_mass: bool = False
    slip: float = 1.0

    @property
    def is_assembly(self) -> bool:
        return self.shape is None or not self.stuff

    def true_mass(self, pack: str) -> float:
        """Mass of one piece [kg]: density × volume, scattered by 0.8 % as parts and batches do."""
        if self.shape is None or not self.stuff:
            return 0.0
        sound = DENSITY[self.stuff] * self.shape.volume * 1e-6
        return sound * (1.0 + 0.008 * scatter(pack, self.number, "part"))

    def noted_mass(self, pack: str) -> float:
        """What the bench reads or guesses of it [kg], before rounding."""
        error = 0.12 * scatter(pack, self.number, "guess") if self.basis == "estimated" else 0.0
        return self.true_mass(pack) * (1.0 + error)

    def remark(self, pack: str) -> str:
        """The note, with "{10 off}" filled in as the scale showed ten of them."""
        if self.is_assembly:
            return self.note
        grams = 1000.0 * self.noted_mass(pack)
        return re.sub(r"\{(\d+) (\w+)\}", lambda m: f"{m[1]} {m[2]} = {int(m[1]) * grams:.0f} g", self.note)


def scatter(*names: str) -> float:
    """A standard normal number that belongs to these names, the same at every run (within ±2)."""
    digest = hashlib.blake2b("/".join(names).encode(), digest_size=8).digest()
    share = (int.from_bytes(digest, "big") + 0.5) / 2.0**64
    return max(-2.0, min(2.0, NormalDist().inv_cdf(share)))


def pieces(lines: Sequence[Line]) -> dict[str, int]:
    """How many of each line are in the pack: its own count times those above it."""
    found: dict[str, int] = {}
    above: list[tuple[int, int]] = []
    for line in lines:
        while above and above[-1][0] >= line.level:
            above.pop()
        total = line.off * (above[-1][1] if above else 1)
        found[line.number] = total
        above.append((line.level, total))
    return found


def true_total(lines: Sequence[Line], pack: str, *, leave_out: Sequence[str] = ()) -> float:
    """Summed true mass [kg] of every leaf, without the functions in ``leave_out``."""
    count = pieces(lines)
    return sum(line.true_mass(pack) * count[line.number] for line in lines if line.function not in leave_out)
