"""Cost figures of a pack: sums over its costed lines, saying what share of it they stand for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ...quantities import Basis
from ...records import Function
from ..build import figure, line, missing, put
from ..findings import CostElement, CostLine, CostStatus, Covers, Figure, MassLine, Term
from ..known import Known
from ..later import Later
from ..names import FIGURES
from .amount import NOTHING
from .frame import Frame
from .joints import OUTSIDE
from .lines import Costed
from .sums import Sums

#: Figures that are sums of one element over the lines.
SUMS: Mapping[str, CostElement] = {
    "cost_material": "material",
    "cost_labour": "labour",
    "cost_burden": "burden",
    "cost_markup": "markup",
    "cost_packaging": "packaging",
    "cost_piece": "piece",
    "cost_tooling_per_piece": "tooling_per_piece",
    "tooling_investment": "tooling_investment",
}
PER_KWH = "cost_per_kwh"


def cost_figures(
    frame: Frame, costed: Sequence[Costed], masses: Sequence[MassLine], energy: Figure | None
) -> dict[str, Figure]:
    """All cost figures. Lines that are not costed are never zero: `covers` and warnings say them."""
    sums = Sums(count=frame.count)
    for one in costed:
        sums.add(one, one)
    return figures_of(frame, sums, masses, energy)


def figures_of(
    frame: Frame, sums: Sums, masses: Sequence[MassLine], energy: Figure | None
) -> dict[str, Figure]:
    """All cost figures from lines that were added up."""
    there = [one for one in sums.costed if one.line.status is CostStatus.COSTED]
    notes = (*left_out(sums.costed), *_assumed(there))
    covers = covered(sums.costed, masses)
    if not there:
        why = notes or ("the parts tree has no line to cost",)
        return {name: _missing(frame, name, *why) for name in (*SUMS, PER_KWH)}
    figures = {name: _sum(frame, name, sums, element, covers, notes) for name, element in SUMS.items()}
    figures[PER_KWH] = _per_kwh(frame, figures["cost_piece"], energy)
    return figures


def _unit(frame: Frame, name: str) -> str:
    return FIGURES[name].unit.replace("money", frame.prices.currency)


def _missing(frame: Frame, name: str, *why: str) -> Figure:
    return replace(missing(name, *why), unit=_unit(frame, name))


def _sum(
    frame: Frame, name: str, sums: Sums, element: CostElement, covers: Covers, notes: Sequence[str]
) -> Figure:
    added = sums.elements[element]
    number = Known(value=added.value, samples=sums.total(element), basis=added.basis, sources=sums.sources)
    unit = _unit(frame, name)
    return figure(
        name,
        number,
        unit=unit,
        covers=covers,
        terms=Later(lambda: sorted((_term(*entry) for entry in added.entries), key=lambda t: -t.value)),
        warnings=notes,
        working=(line(name, "sum of the costed lines", f"{len(added.entries)} lines", added.value, unit),),
    )


def _term(one: Costed, value: float) -> Term:
    strongest = max(one.basis, key=lambda basis: one.basis[basis], default=Basis.ASSUMED)
    label = f"{one.line.number} {one.line.name}".strip()
    route = " → ".join(step.method for step in one.line.route)
    return Term(label=label, value=value, basis=strongest, item=one.line.item, origin=route)


def _per_kwh(frame: Frame, piece: Figure, energy: Figure | None) -> Figure:
    if energy is None or energy.value is None or not energy.value > 0.0:
        return _missing(frame, PER_KWH, "the nominal energy is not known")
    if piece.value is None:
        return _missing(frame, PER_KWH, *piece.warnings)
    samples = NOTHING
    if piece.samples is not None:
        paired = energy.samples is not None and energy.samples.size == piece.samples.size
        samples = piece.samples / (energy.samples if paired and energy.samples is not None else energy.value)
    number = Known(
        value=piece.value / energy.value,
        samples=samples,
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
