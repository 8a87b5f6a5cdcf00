"""Scope: the functions that all packs have, and what is left out of it and why."""

from __future__ import annotations

from collections.abc import Sequence

from ..evaluate import Findings, MassLine, PackFindings
from ..records import FUNCTIONS, Function
from .comparison import LeftOut
from .sums import cost_sum, mass_sum


def functions_of(pack: PackFindings) -> set[Function]:
    """Functions of a pack's lines, weighed or not."""
    return {line.function for line in pack.mass_lines if line.function is not None}


def choose_scope(
    findings: Findings, scope: Sequence[Function] | None, like_for_like: bool
) -> tuple[Function, ...]:
    """Functions compared, in their fixed order. Coolant is never among them.

    Without a scope asked for: those of any pack, or with ``like_for_like`` those of every pack.
    """
    present = [functions_of(pack) for pack in findings.packs.values()]
    chosen = set(scope) if scope is not None else {f for functions in present for f in functions}
    if like_for_like:
        chosen = {f for f in chosen if all(f in functions for functions in present)}
    return tuple(f for f in FUNCTIONS if f in chosen and f is not Function.COOLANT)


def left_out(
    findings: Findings, scope: Sequence[Function | None], like_for_like: bool
) -> tuple[LeftOut, ...]:
    """Every function of a pack outside the scope, with its mass and cost. ``None`` stands for lines
    whose function is not known."""
    entries = []
    for function in (*FUNCTIONS, None):
        if function in scope or function is Function.COOLANT:
            continue
        having = [p for p in findings.packs.values() if any(m.function is function for m in p.mass_lines)]
        for pack in having:
            lines = [line for line in pack.mass_lines if line.function is function]
            entries.append(
                LeftOut(
                    pack=pack.pack,
                    function=function,
                    why=_why(findings, function, having, lines, like_for_like),
                    mass=mass_sum("mass_rolled", pack, [function], findings.drawn),
                    cost=cost_sum("cost_piece", pack, [function], findings.drawn),
                    tooling=cost_sum("tooling_investment", pack, [function], findings.drawn),
                )
            )
    return tuple(entries)


def _why(
    findings: Findings,
    function: Function | None,
    having: Sequence[PackFindings],
    lines: Sequence[MassLine],
    like_for_like: bool,
) -> str:
    if function is None:
        return f"no function is recorded for {_names(lines)}"
    if not like_for_like or len(having) == len(findings.packs):
        return "not in the scope asked for"
    lacking = [p.name for p in findings.packs.values() if p not in having]
    have = " and ".join(p.name for p in having)
    only = f"only {have} has" if len(having) == 1 else f"{have} have"
    return f"{only} {function} inside the pack ({_names(lines)}); {' and '.join(lacking)} lists none"


def _names(lines: Sequence[MassLine], most: int = 3) -> str:
    names = [line.name for line in lines[:most]]
    if len(lines) > most:
        names.append(f"{len(lines) - most} more")
    return ", ".join(names)
