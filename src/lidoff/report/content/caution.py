"""High-voltage cautions: usual trade care, always deferring to local rules and licensed people."""

from __future__ import annotations

from ..blocks import Caution, say

DEFER = (
    "General practice only: local rules, the maker's instructions and a licensed high-voltage person decide. "
    "If unsure, stop."
)


def short_caution() -> Caution:
    return Caution(
        title="High voltage",
        texts=(
            say(
                "These packs hold lethal energy however far they are stripped, with the service plug out and "
                "at any state of charge."
            ),
            say(DEFER),
        ),
    )


def full_caution() -> Caution:
    """What is usual where work over live parts is planned (common practice)."""
    return Caution(
        title="High voltage: usual cautions, common practice",
        texts=(
            say(
                "Cells and modules cannot be switched off. Every joint and step marked in orange was worked "
                "over live parts."
            ),
            say(
                "Usual before and during such work: a licensed person in charge and a second person present; "
                "isolation and absence of voltage proved with an approved two-pole tester, again after each "
                "break; insulated tools and rated gloves in date; no metal worn; open terminals capped at "
                "once; loose nuts and tools counted in and out; a rescue and fire plan agreed, with room to "
                "set a hot module apart."
            ),
            say(
                "Damaged, swollen, wet or warm cells are a reason to stop. Capacitors and module strings are "
                "to be treated as charged."
            ),
            say(DEFER),
        ),
    )
