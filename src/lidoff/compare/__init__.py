"""Packs side by side: scope, like for like, and differences with their intervals."""

from __future__ import annotations

from collections.abc import Sequence

from ..evaluate import Findings
from ..records import Function, Study
from .comparison import ComparedRow, Comparison, Difference, LeftOut
from .rows import differ, rows
from .scope import choose_scope, left_out
from .target import difference_target

__all__ = ["ComparedRow", "Comparison", "Difference", "LeftOut", "compare", "differ", "difference_target"]


def compare(
    findings: Findings,
    study: Study,
    *,
    scope: Sequence[Function] | None = None,
    like_for_like: bool = False,
) -> Comparison:
    """The packs of a study within a scope, differences as the first less each other.

    ``scope`` names the functions to compare; ``like_for_like`` keeps those that every pack has,
    and shows what only some have apart. Coolant is never compared. Without either, everything dry
    is compared. Raises `ValueError` where there are fewer than two packs or nothing to compare.
    """
    if len(findings.packs) < 2:
        raise ValueError(f"study {study.name!r} has {len(findings.packs)} pack to compare: it takes two")
    chosen = choose_scope(findings, scope, like_for_like)
    if not chosen:
        raise ValueError("the scope is empty: the packs have no function of it in common")
    everything = scope is None and not like_for_like
    summed: tuple[Function | None, ...] = (*chosen, None) if everything else chosen
    return Comparison(
        packs=tuple(findings.packs),
        scope=chosen,
        left_out=left_out(findings, summed, like_for_like),
        rows=rows(findings, summed),
        like_for_like=like_for_like,
    )
