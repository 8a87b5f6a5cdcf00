"""Other people's words in a refusal: quoted, and cut where they would hide the reason."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST = 60
MOST = 12


def brief(text: object) -> str:
    """A text in quotes, its middle left out where it is long."""
    said = str(text)
    if len(said) > LONGEST:
        said = f"{said[: LONGEST // 2]} … {said[-LONGEST // 3 :]}"
    return repr(said)


def listed(names: Iterable[str]) -> str:
    """Names by commas, the first dozen."""
    there = list(names)
    return ", ".join(there[:MOST]) + (f" and {len(there) - MOST} more" if len(there) > MOST else "")
