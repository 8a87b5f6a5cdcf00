"""Where the spread of a study's figures comes from, and what to measure next."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from .errors import NothingToDo, UserError

if TYPE_CHECKING:
    from ..compare import Comparison
    from ..evaluate import Findings
    from ..evaluate.spread import Spreads, Target
    from ..records import Study

#: The figures looked into where nobody names one.
USUAL = ("mass_rolled", "cost_piece")


def spread_of(
    record: Study,
    findings: Findings,
    *,
    figures: Sequence[str] = (),
    pack: str | None = None,
    difference: bool = False,
    indices: bool = False,
) -> Spreads:
    """Spreads of figures of the packs, or of one, or of their differences. Raises `UserError`."""
    from ..evaluate.spread import spreads

    if difference and pack is not None:
        raise UserError("--difference is between packs: leave --pack out.")
    names = tuple(figures) or USUAL
    _known(findings, names)
    targets = _differences(record, findings, names) if difference else _figures(record, findings, names, pack)
    if not targets:
        of = "difference" if difference else "figure"
        raise NothingToDo(f"There is no {of} of {' or '.join(names)} to look into: its inputs are missing.")
    return spreads(record, findings, targets, with_indices=indices)


def report_spreads(record: Study, findings: Findings, comparison: Comparison | None) -> Spreads:
    """What the report tells: the usual figures of every pack, and their differences in its scope."""
    from ..evaluate.spread import of_pack, spreads

    targets = [of_pack(findings, pack, name) for name in USUAL for pack in findings.packs]
    if comparison is not None:
        targets += _within(record, comparison, USUAL)
    return spreads(record, findings, [t for t in targets if t is not None], most=3)


def _known(findings: Findings, names: Sequence[str]) -> None:
    known = {name for pack in findings.packs.values() for name in pack.figures}
    wrong = next((name for name in names if name not in known), None)
    if wrong is not None:
        raise UserError(f"There is no figure {wrong!r} (figures: {', '.join(sorted(known))}).")


def _figures(record: Study, findings: Findings, names: Sequence[str], pack: str | None) -> list[Target]:
    from ..evaluate.spread import of_pack

    chosen = [p.id for p in record.packs if pack is None or p.id == pack]
    targets = [of_pack(findings, one, name) for name in names for one in chosen]
    return [target for target in targets if target is not None]


def _differences(record: Study, findings: Findings, names: Sequence[str]) -> list[Target]:
    """First pack less each other: as compared, else of the figures as they stand."""
    from ..compare import compare
    from ..evaluate.spread import between

    if len(findings.packs) < 2:
        raise NothingToDo(f"Study {record.name!r} has {len(findings.packs)} pack: a difference takes two.")
    comparison = compare(findings, record)
    compared = {(t.name, t.packs[1]): t for t in _within(record, comparison, names)}
    first, *others = comparison.packs
    targets = [
        compared.get((name, other)) or between(findings, first, other, name)
        for name in names
        for other in others
    ]
    return [target for target in targets if target is not None]


def _within(record: Study, comparison: Comparison, names: Sequence[str]) -> list[Target]:
    """The differences of a comparison, within its scope."""
    from ..compare import compare, difference_target

    again = (
        partial(compare, study=record, like_for_like=True)
        if comparison.like_for_like
        else partial(compare, study=record)
    )
    found = [
        difference_target(comparison, name, other, again) for name in names for other in comparison.packs[1:]
    ]
    return [target for target in found if target is not None]
