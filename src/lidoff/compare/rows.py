"""The rows of a comparison: figures of each pack within the scope, and their differences."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from ..evaluate import Figure, Findings, PackFindings, WorkedLine
from ..evaluate.build import figure, put
from ..evaluate.known import Known
from ..evaluate.names import STRUCTURE
from ..quantities.sampling import interval
from ..records import Function
from .comparison import ComparedRow, Difference
from .sums import Functions, cost_sum, mass_known, mass_sum

Maker = Callable[[PackFindings], Figure | None]


def rows(findings: Findings, scope: Functions) -> tuple[ComparedRow, ...]:
    """Every row of which at least one pack has a value. ``None`` in the scope stands for lines whose
    function is not known."""
    count = findings.drawn
    makers: list[Maker] = [
        lambda p: mass_sum("mass_rolled", p, scope, count, title="Dry mass in the scope"),
        lambda p: _whole(p, "energy_nominal"),
        lambda p: _whole(p, "voltage_nominal"),
        lambda p: _per_kwh("mass_per_kwh", "Dry mass per kWh", p, scope, count),
        lambda p: _share("cell_mass_fraction", "Cell fraction", p, [Function.CELLS], scope, count),
        lambda p: _specific_energy(p, scope, count),
        lambda p: _whole(p, "energy_density"),
        lambda p: _per_kwh(
            "structure_per_kwh", "Structure per kWh", p, [f for f in STRUCTURE if f in scope], count
        ),
    ]
    functions = [f for f in scope if f is not None]
    makers += [_function_per_kwh(f, count) for f in functions]
    makers += [_function_share(f, scope, count) for f in functions]
    makers += [
        lambda p: cost_sum("cost_piece", p, scope, count),
        lambda p: _cost_per_kwh(p, scope, count),
        lambda p: cost_sum("cost_tooling_per_piece", p, scope, count),
        lambda p: cost_sum("tooling_investment", p, scope, count),
    ]
    made = (_row(findings, maker) for maker in makers)
    return tuple(row for row in made if row is not None)


def _function_per_kwh(function: Function, count: int) -> Maker:
    return lambda p: _per_kwh(f"mass_{function}_per_kwh", f"Mass per kWh: {function}", p, [function], count)


def _function_share(function: Function, scope: Functions, count: int) -> Maker:
    return lambda p: _share(
        f"mass_{function}_share", f"Share of dry mass: {function}", p, [function], scope, count
    )


def _row(findings: Findings, maker: Maker) -> ComparedRow | None:
    values = {pack.pack: maker(pack) for pack in findings.packs.values()}
    named = next((f for f in values.values() if f is not None), None)
    if named is None:
        return None
    return ComparedRow(
        name=named.name,
        title=named.title,
        unit=named.unit,
        values=values,
        differences=_differences(values),
        note=_covered(findings, values),
    )


def _covered(findings: Findings, values: Mapping[str, Figure | None]) -> str:
    """How much of each pack a cost stands for: two costs compare only as far as both are covered."""
    parts = [
        f"{findings.packs[pack].name} {f.covers.lines:.0%} of lines and {f.covers.mass:.0%} of mass"
        for pack, f in values.items()
        if f is not None and f.covers is not None
    ]
    return f"costed: {'; '.join(parts)}" if parts else ""


def _differences(values: Mapping[str, Figure | None]) -> dict[str, Difference]:
    """First less each other. Packs are paired sample by sample, so what they share cancels."""
    (_, first), *others = values.items()
    found = {}
    for pack, other in others:
        difference = None if first is None or other is None else differ(first, other)
        if difference is not None:
            found[pack] = difference
    return found


def differ(first: Figure, other: Figure) -> Difference | None:
    """First less other, ``None`` where either is missing or they are in different units."""
    if first.value is None or other.value is None or first.unit != other.unit:
        return None
    if first.samples is None or other.samples is None:
        return None
    low, high = interval(first.samples - other.samples)
    return Difference(value=first.value - other.value, low=low, high=high)


def _whole(pack: PackFindings, name: str) -> Figure | None:
    """A figure that no scope changes."""
    found = pack.figures.get(name)
    return None if found is None or found.value is None else found


def _energy(pack: PackFindings) -> Known | None:
    """Nominal energy [kWh]."""
    found = _whole(pack, "energy_nominal")
    if found is None or found.value is None or found.samples is None or found.value <= 0.0:
        return None
    return Known(value=found.value, samples=found.samples, basis=found.basis, sources=found.sources)


def _ratio(
    name: str,
    title: str,
    unit: str,
    formula: str,
    over: Known,
    under: Known,
    units: tuple[str, str],
    factor: float,
) -> Figure:
    number = (over / under).times(factor)
    put_in = f"{put(over.value, units[0])} / {put(under.value, units[1])}"
    worked = WorkedLine(name=name, formula=formula, put_in=put_in, value=number.value, unit=unit)
    return figure(name, number, working=[worked], unit=unit, title=title)


def _per_kwh(name: str, title: str, pack: PackFindings, functions: Functions, count: int) -> Figure | None:
    mass, energy = mass_known(pack, functions, count), _energy(pack)
    if mass is None or energy is None:
        return None
    return _ratio(name, title, "kg/kWh", "mass / energy", mass, energy, ("kg", "kWh"), 1.0)


def _share(
    name: str,
    title: str,
    pack: PackFindings,
    functions: Functions,
    scope: Functions,
    count: int,
) -> Figure | None:
    part = mass_known(pack, [f for f in functions if f in scope], count)
    whole = mass_known(pack, scope, count)
    if part is None or whole is None or whole.value <= 0.0:
        return None
    return _ratio(name, title, "%", "mass / dry mass in the scope", part, whole, ("kg", "kg"), 100.0)


def _specific_energy(pack: PackFindings, scope: Functions, count: int) -> Figure | None:
    mass, energy = mass_known(pack, scope, count), _energy(pack)
    if mass is None or energy is None or mass.value <= 0.0:
        return None
    return _ratio(
        "specific_energy",
        "Specific energy",
        "Wh/kg",
        "1000 × energy / dry mass in the scope",
        energy,
        mass,
        ("kWh", "kg"),
        1000.0,
    )


def _cost_per_kwh(pack: PackFindings, scope: Functions, count: int) -> Figure | None:
    cost, energy = cost_sum("cost_piece", pack, scope, count), _energy(pack)
    if cost is None or cost.value is None or cost.samples is None or energy is None:
        return None
    money = cost.unit.partition("/")[0]
    over = Known(value=cost.value, samples=cost.samples, basis=cost.basis, sources=cost.sources)
    made = _ratio(
        "cost_per_kwh",
        "Piece cost per kWh",
        f"{money}/kWh",
        "piece cost / energy",
        over,
        energy,
        (money, "kWh"),
        1.0,
    )
    return replace(made, covers=cost.covers)
