"""Masses and costs of a pack restricted to some functions, from its lines."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from ..evaluate import CostLine, CostStatus, Covers, Figure, MassLine, Money, PackFindings, Term, WorkedLine
from ..evaluate.build import figure
from ..evaluate.findings import CostElement
from ..evaluate.known import Known
from ..quantities import Basis
from ..quantities.sampling import Samples
from ..records import Function

Functions = Collection[Function | None]
#: The part of a cost line that each figure sums.
ELEMENTS: dict[str, CostElement] = {
    "cost_piece": "piece",
    "cost_material": "material",
    "cost_labour": "labour",
    "cost_burden": "burden",
    "cost_markup": "markup",
    "cost_packaging": "packaging",
    "cost_tooling_per_piece": "tooling_per_piece",
    "tooling_investment": "tooling_investment",
}


def mass_lines(pack: PackFindings, functions: Functions) -> list[MassLine]:
    return [line for line in pack.mass_lines if line.function in functions]


def mass_known(pack: PackFindings, functions: Functions, count: int) -> Known | None:
    """Mass of the lines of some functions [kg], ``None`` where none has a mass."""
    value, samples, by_basis = 0.0, np.zeros(count), dict[Basis, float]()
    for line in mass_lines(pack, functions):
        if line.mass is not None and line.samples is not None and line.basis is not None:
            value, samples = value + line.mass, samples + line.samples
            by_basis[line.basis] = by_basis.get(line.basis, 0.0) + line.mass
    if not by_basis:
        return None
    shares = {basis: part / value for basis, part in by_basis.items()} if value > 0.0 else {}
    return Known(value=value, samples=samples, basis=shares, warnings=_unweighed(pack, functions))


def _unweighed(pack: PackFindings, functions: Functions) -> tuple[str, ...]:
    names = [f"{line.number} {line.name}" for line in mass_lines(pack, functions) if line.mass is None]
    return (f"without a mass and not in the sum: {', '.join(names)}",) if names else ()


def mass_sum(
    name: str, pack: PackFindings, functions: Functions, count: int, *, title: str | None = None
) -> Figure | None:
    """The mass of some functions as a figure."""
    number = mass_known(pack, functions, count)
    if number is None:
        return None
    lines = [line for line in mass_lines(pack, functions) if line.mass is not None]
    terms = [
        Term(label=f"{m.number} {m.name}", value=m.mass, basis=m.basis, item=m.item)
        for m in lines
        if m.mass is not None and m.basis is not None
    ]
    worked = WorkedLine(
        name=name,
        formula="sum of the lines in the scope",
        put_in=f"{len(lines)} lines",
        value=number.value,
        unit="kg",
    )
    return figure(
        name,
        number,
        working=[worked],
        terms=sorted(terms, key=lambda t: -t.value),
        unit="kg",
        title=title,
    )


def cost_lines(pack: PackFindings, functions: Functions) -> list[CostLine]:
    return [line for line in pack.cost_lines if line.function in functions]


def covers(pack: PackFindings, functions: Functions) -> Covers | None:
    """Share of the leaves of some functions, and of their mass, that is costed; ``None`` without any.

    Joints are costed lines but no leaves: they do not count here.
    """
    leaves = mass_lines(pack, functions)
    if not leaves:
        return None
    costed = {line.item for line in pack.cost_lines if line.status is CostStatus.COSTED}
    mass = sum(leaf.mass or 0.0 for leaf in leaves)
    behind = sum(leaf.mass or 0.0 for leaf in leaves if leaf.item in costed)
    return Covers(
        lines=sum(leaf.item in costed for leaf in leaves) / len(leaves),
        mass=behind / mass if mass > 0.0 else 0.0,
    )


def cost_known(name: str, pack: PackFindings, functions: Functions, count: int) -> Known | None:
    """A cost of the lines of some functions, ``None`` where none is costed."""
    element = ELEMENTS[name]
    value, found, sources = 0.0, list[CostLine](), list[str]()
    for line in cost_lines(pack, functions):
        money: Money | None = getattr(line, element)
        if line.status is CostStatus.COSTED and money is not None:
            value += money.value
            found.append(line)
            sources += line.sources
    if not found:
        return None
    return Known(
        value=value,
        samples=_cost_samples(pack, found, element, count),
        sources=tuple(dict.fromkeys(sources)),
    )


def _cost_samples(pack: PackFindings, lines: list[CostLine], element: CostElement, count: int) -> Samples:
    """Samples of an element over lines that are all those of their functions."""
    samples = np.zeros(count)
    if pack.cost_samples:
        for function in dict.fromkeys(line.function for line in lines):
            samples = samples + pack.cost_samples[function, element]
        return samples
    for line in lines:
        drawn, money = line.samples(element), getattr(line, element)
        samples = samples + (money.value if drawn is None else drawn)
    return samples


def cost_sum(name: str, pack: PackFindings, functions: Functions, count: int) -> Figure | None:
    """A cost of some functions as a figure, in the pack's own money, with what it covers."""
    whole = pack.figures.get(name)
    lines = cost_lines(pack, functions)
    if whole is not None and whole.value is not None and len(lines) == len(pack.cost_lines):
        return whole
    number = cost_known(name, pack, functions, count)
    if number is None or whole is None:
        return None
    costed = [line for line in lines if line.status is CostStatus.COSTED]
    worked = WorkedLine(
        name=name,
        formula="sum of the costed lines in the scope",
        put_in=f"{len(costed)} of {len(lines)} lines",
        value=number.value,
        unit=whole.unit,
    )
    return figure(
        name, number, working=[worked], covers=covers(pack, functions), unit=whole.unit, title=whole.title
    )
