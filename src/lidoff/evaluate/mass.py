"""Mass: leaves add up, whole weighings only close, coolant stays out of the dry mass."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..quantities import Basis
from ..records import FUNCTIONS, Function, Pack
from .build import figure, line, missing, put
from .closing import assembly_lines
from .findings import Figure, MassLine, Term, WorkedLine
from .known import Known, known
from .later import Later
from .leaves import Leaf, leaves
from .names import STRUCTURE
from .tree import Tree

ESTIMATES = frozenset({Basis.ESTIMATED, Basis.ASSUMED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Masses:
    """Lines and figures of one pack; ``rolled``, ``cells`` and ``structure`` for other topics."""

    lines: tuple[MassLine, ...]
    figures: Mapping[str, Figure]
    rolled: Known | None
    cells: Known | None
    structure: Known | None


def masses(pack: Pack, tree: Tree, count: int) -> Masses:
    """Mass figures of a pack with ``count`` samples. A leaf without a mass is listed, never zero."""
    found = leaves(pack, tree, count)
    dry = [leaf for leaf in found if not leaf.is_coolant]
    wet = [leaf for leaf in found if leaf.is_coolant]
    notes = _notes(tree, dry)
    rolled, coolant = total(dry, count), total(wet, count)
    figures = {"mass_rolled": _sum_figure("mass_rolled", tree, dry, count, notes)}
    figures |= _closing(pack, tree, rolled, coolant, count)
    estimated = [leaf for leaf in dry if leaf.line.basis in ESTIMATES]
    figures["mass_estimated"] = _sum_figure(
        "mass_estimated", tree, estimated, count, (), zero=rolled is not None
    )
    groups = {f: [leaf for leaf in found if leaf.node.function is f] for f in FUNCTIONS}
    for function, group in groups.items():
        if group:
            name = f"mass_{function}"
            figures[name] = _sum_figure(name, tree, group, count, _unweighed(group))
    unassigned = [leaf for leaf in dry if leaf.node.function is None]
    if unassigned:
        figures["mass_unassigned"] = _sum_figure(
            "mass_unassigned", tree, unassigned, count, _unweighed(unassigned)
        )
    cells = total(groups[Function.CELLS], count)
    figures["cell_mass_fraction"] = _cell_fraction(cells, rolled)
    return Masses(
        lines=tuple(leaf.line for leaf in found),
        figures=figures,
        rolled=rolled,
        cells=cells,
        structure=total([leaf for f in STRUCTURE for leaf in groups[f]], count),
    )


def total(group: Iterable[Leaf], count: int) -> Known | None:
    """Sum of the leaves that have a mass, ``None`` where none has."""
    value, samples = 0.0, np.zeros(count)
    by_basis: dict[Basis, float] = {}
    for leaf in group:
        mass, draws, reading = leaf.mass, leaf.samples, leaf.node.item.mass
        if mass is not None and draws is not None and reading is not None:
            value += mass
            samples += draws
            by_basis[reading.basis] = by_basis.get(reading.basis, 0.0) + mass
    if not by_basis:
        return None
    shares = {basis: part / value for basis, part in by_basis.items()} if value > 0.0 else {}
    return Known(value=value, samples=samples, basis=shares)


def _sum_figure(
    name: str, tree: Tree, group: Sequence[Leaf], count: int, warnings: Sequence[str], *, zero: bool = False
) -> Figure:
    number = total(group, count)
    if number is None:
        if zero and not group:
            return figure(name, Known(value=0.0, samples=np.zeros(count)), warnings=warnings)
        return missing(name, *(warnings or ("no line has a mass",)))
    return figure(
        name,
        number,
        working=Later(
            lambda: [*_worked(tree, group), line(name, "sum of the lines", "", number.value, "kg")]
        ),
        terms=Later(lambda: _terms(group)),
        warnings=warnings,
    )


def _worked(tree: Tree, group: Sequence[Leaf]) -> list[WorkedLine]:
    lines = []
    for leaf in group:
        reading = leaf.node.item.mass
        if reading is not None and leaf.mass is not None:
            factors = [put(q) for q in tree.quantities(leaf.node)] + [put(reading.value, "kg")]
            about = str(reading.basis) + (f", {reading.origin}" if reading.origin else "")
            lines.append(
                line(
                    leaf.node.label,
                    "quantities down the tree × mass each",
                    " × ".join(factors),
                    leaf.mass,
                    "kg",
                    about=about,
                )
            )
    return lines


def _terms(group: Iterable[Leaf]) -> list[Term]:
    terms = [
        Term(
            label=leaf.node.label,
            value=leaf.mass,
            basis=leaf.node.item.mass.basis,
            item=leaf.node.item.id,
            origin=leaf.node.item.mass.origin,
        )
        for leaf in group
        if leaf.mass is not None and leaf.node.item.mass is not None
    ]
    return sorted(terms, key=lambda term: -term.value)


def _notes(tree: Tree, dry: Sequence[Leaf]) -> tuple[str, ...]:
    return (*tree.problems, *_unweighed(dry))


def _unweighed(group: Iterable[Leaf]) -> tuple[str, ...]:
    names = [leaf.node.label for leaf in group if leaf.mass is None]
    if not names:
        return ()
    lines = "1 line has" if len(names) == 1 else f"{len(names)} lines have"
    return (f"{lines} no mass and {'is' if len(names) == 1 else 'are'} not in the sum: {', '.join(names)}",)


def holds_coolant(pack: Pack) -> bool | None:
    """Whether the pack was weighed with its coolant; ``None`` where nobody wrote it."""
    fact = pack.fact("coolant_in_weighing")
    return None if fact is None else fact.value > 0.0


def _closing(
    pack: Pack, tree: Tree, rolled: Known | None, coolant: Known | None, count: int
) -> dict[str, Figure]:
    names = ("mass_weighed", "mass_closure", "mass_unaccounted")
    wet = {"mass_coolant": missing("mass_coolant", "no coolant line has a mass")} if coolant is None else {}
    reading = pack.fact("mass_weighed")
    if reading is None:
        return {**{name: missing(name, "the whole pack was not weighed") for name in names}, **wet}
    weighed = known(reading, f"{pack.id}.mass_weighed", count)
    figures = {"mass_weighed": figure("mass_weighed", weighed), **wet}
    held, notes = holds_coolant(pack), list[str]()
    if coolant is not None and held is None:
        notes.append("whether the weighing held coolant is not recorded; taken as drained")
    if rolled is None or weighed.value <= 0.0:
        return {**figures, **{name: missing(name, "no line has a mass") for name in names[1:]}}
    listed, put_in = rolled, put(rolled.value)
    if held and coolant is not None:
        listed = Known(
            value=rolled.value + coolant.value, samples=rolled.samples + coolant.samples, basis=rolled.basis
        )
        put_in = f"{put_in} + {put(coolant.value)}"
    elif held:
        notes.append("the weighing held coolant of which no mass is listed")
    formula = "dry leaves + coolant" if held and coolant is not None else "dry leaves"
    share = (listed / weighed).times(100.0)
    closure = line(
        "mass_closure",
        f"({formula}) / weighed",
        f"({put_in}) kg / {put(weighed.value, 'kg')}",
        share.value,
        "%",
    )
    figures["mass_closure"] = figure(
        "mass_closure",
        share,
        working=Later(lambda: [closure, *assembly_lines(tree, count)]),
        warnings=notes,
    )
    gap = Known(value=weighed.value - listed.value, samples=weighed.samples - listed.samples)
    worked = line(
        "mass_unaccounted", f"weighed − ({formula})", f"{put(weighed.value)} − ({put_in})", gap.value, "kg"
    )
    figures["mass_unaccounted"] = figure("mass_unaccounted", gap, working=[worked], warnings=notes)
    return figures


def _cell_fraction(cells: Known | None, rolled: Known | None) -> Figure:
    if cells is None or rolled is None or rolled.value <= 0.0:
        return missing("cell_mass_fraction", "no cell line has a mass" if cells is None else "no dry mass")
    share = (cells / rolled).times(100.0)
    worked = line(
        "cell_mass_fraction",
        "cells / dry leaves",
        f"{put(cells.value)} / {put(rolled.value, 'kg')}",
        share.value,
        "%",
    )
    return figure("cell_mass_fraction", share, working=[worked])
