"""Cost figures of a pack: sums over its costed lines, saying what share of it they stand for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from ...quantities import Basis
from ...records import Function
from ..build import figure, line, missing, put
from ..findings import CostLine, CostStatus, Covers, Figure, MassLine, Money, Term
from ..known import Known
from ..names import FIGURES
from .frame import Frame
from .joints import OUTSIDE
from .lines import Costed

Pick = Callable[[CostLine], Money | None]

#: Figures that are sums of one element over the lines.
SUMS: Mapping[str, Pick] = {
    "cost_material": lambda one: one.material,
    "cost_labour": lambda one: one.labour,
    "cost_burden": lambda one: one.burden,
    "cost_markup": lambda one: one.markup,
    "cost_packaging": lambda one: one.packaging,
    "cost_piece": lambda one: one.piece,
    "cost_tooling_per_piece": lambda one: one.tooling_per_piece,
    "tooling_investment": lambda one: one.tooling_investment,
}
PER_KWH = "cost_per_kwh"


def cost_figures(
    frame: Frame, costed: Sequence[Costed], masses: Sequence[MassLine], energy: Figure | None
) -> dict[str, Figure]:
    """All cost figures. Lines that are not costed are never zero: `covers` and warnings say them."""
    there = [one for one in costed if one.line.status is CostStatus.COSTED]
    notes = (*left_out(costed), *_assumed(there))
    covers = covered(costed, masses)
    if not there:
        why = notes or ("the parts tree has no line to cost",)
        return {name: _missing(frame, name, *why) for name in (*SUMS, PER_KWH)}
    figures = {name: _sum(frame, name, pick, there, covers, notes) for name, pick in SUMS.items()}
    figures[PER_KWH] = _per_kwh(frame, figures["cost_piece"], energy)
    return figures


def _unit(frame: Frame, name: str) -> str:
    return FIGURES[name].unit.replace("money", frame.prices.currency)


def _missing(frame: Frame, name: str, *why: str) -> Figure:
    return replace(missing(name, *why), unit=_unit(frame, name))


def _sum(
    frame: Frame, name: str, pick: Pick, there: Sequence[Costed], covers: Covers, notes: Sequence[str]
) -> Figure:
    value, samples = 0.0, np.zeros(max(frame.count, 1))
    weights: dict[Basis, float] = {}
    terms: list[Term] = []
    sources: list[str] = []
    for one in there:
        money = pick(one.line)
        if money is None:
            continue
        value += money.value
        samples = samples + (money.value if money.samples is None else money.samples)
        for basis, share in one.basis.items():
            weights[basis] = weights.get(basis, 0.0) + share * money.value
        if money.value != 0.0:
            terms.append(_term(one, money))
        sources.extend(one.line.sources)
    whole = sum(weights.values())
    number = Known(
        value=value,
        samples=samples,
        basis={basis: weight / whole for basis, weight in weights.items()} if whole > 0.0 else {},
        sources=tuple(dict.fromkeys(sources)),
    )
    unit = _unit(frame, name)
    return figure(
        name,
        number,
        unit=unit,
        covers=covers,
        terms=sorted(terms, key=lambda term: -term.value),
        warnings=notes,
        working=(line(name, "sum of the costed lines", f"{len(terms)} lines", value, unit),),
    )


def _term(one: Costed, money: Money) -> Term:
    strongest = max(one.basis, key=lambda basis: one.basis[basis], default=Basis.ASSUMED)
    label = f"{one.line.number} {one.line.name}".strip()
    route = " → ".join(step.method for step in one.line.route)
    return Term(label=label, value=money.value, basis=strongest, item=one.line.item, origin=route)


def _per_kwh(frame: Frame, piece: Figure, energy: Figure | None) -> Figure:
    if energy is None or energy.value is None or not energy.value > 0.0:
        return _missing(frame, PER_KWH, "the nominal energy is not known")
    if piece.value is None or piece.samples is None:
        return _missing(frame, PER_KWH, *piece.warnings)
    energies = energy.samples if energy.samples is not None else np.full(piece.samples.size, energy.value)
    if energies.size != piece.samples.size:
        energies = np.full(piece.samples.size, energy.value)
    number = Known(
        value=piece.value / energy.value,
        samples=piece.samples / energies,
        basis=piece.basis,
        sources=tuple(dict.fromkeys((*piece.sources, *energy.sources))),
    )
    unit = _unit(frame, PER_KWH)
    put_in = f"{put(piece.value, piece.unit)} / {put(energy.value, energy.unit)}"
    return figure(
        PER_KWH,
        number,
        unit=unit,
        covers=piece.covers,
        warnings=(*piece.warnings, *energy.warnings),
        working=(line(PER_KWH, "piece cost / nominal energy", put_in, number.value, unit),),
    )


def covered(costed: Sequence[Costed], masses: Sequence[MassLine]) -> Covers:
    """Share of the dry leaves, and of their mass, that is costed. Joints are not lines of the tree."""
    dry = [mass for mass in masses if mass.function is not Function.COOLANT]
    good = {one.line.item for one in costed if one.line.status is CostStatus.COSTED}
    whole = sum(mass.mass or 0.0 for mass in dry)
    part = sum(mass.mass or 0.0 for mass in dry if mass.item in good)
    return Covers(
        lines=sum(mass.item in good for mass in dry) / len(dry) if dry else 0.0,
        mass=part / whole if whole > 0.0 else 0.0,
    )


def left_out(costed: Sequence[Costed]) -> tuple[str, ...]:
    """What is not in the cost, by reason, the heaviest reason first.

    Coolant and joints made elsewhere are no part of the pack's cost and are not told here.
    """
    reasons: dict[str, list[CostLine]] = {}
    for one in costed:
        outside = one.line.function is Function.COOLANT or one.line.why == OUTSIDE
        if one.line.status is not CostStatus.COSTED and not outside:
            reasons.setdefault(one.line.why, []).append(one.line)
    heaviest = sorted(reasons.items(), key=lambda pair: -sum(entry.mass or 0.0 for entry in pair[1]))
    return tuple(f"not costed: {_labels(entries)}: {why}" for why, entries in heaviest)


def _assumed(there: Sequence[Costed]) -> tuple[str, ...]:
    lines = [one.line for one in there if one.line.assumed_route]
    return (f"how it is made was assumed: {_labels(lines)}",) if lines else ()


def _labels(lines: Sequence[CostLine]) -> str:
    return ", ".join(f"{entry.number} {entry.name}".strip() for entry in lines)
