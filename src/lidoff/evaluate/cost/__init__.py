"""Should-cost: what a pack's lines cost to make or buy, from method books, price book and scenario."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextvars import copy_context
from dataclasses import dataclass, field, replace
from functools import partial

from ...methods import Book
from ...methods import books as shipped
from ...prices import PriceBook
from ...quantities.sampling import Samples
from ...records import Function, Item, Pack, Scenario
from ..findings import CostElement, CostLine, CostStatus, Figure, MassLine, Money
from .figures import figures_of
from .kept import Kept, frame_for
from .lines import Costed, not_costed
from .sums import Sums
from .workers import in_order

__all__ = ["CostResult", "cost_pack"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostResult:
    """Lines in the order of the parts tree, joints after them, and the figures.

    ``samples`` are those of the lines of a function added up, by element.
    """

    lines: tuple[CostLine, ...]
    figures: Mapping[str, Figure]
    samples: Mapping[tuple[Function | None, CostElement], Samples] = field(default_factory=dict)


def cost_pack(
    pack: Pack,
    scenario: Scenario,
    prices: PriceBook,
    mass_lines: Sequence[MassLine],
    samples: int,
    seed: int = 0,
    *,
    energy: Figure | None = None,
    books: Mapping[str, Book] | None = None,
) -> CostResult:
    """Cost every line of a pack.

    ``mass_lines`` are the leaves of its roll-up with their draws (held lines are not among them),
    ``energy`` the figure `energy_nominal`; ``samples`` may be 0 for nominal values only, ``books`` are
    the method books (the shipped ones where ``None``). Lines of parts seen before on the same terms
    are not computed again. Raises ``ValueError`` where the scenario asks for another currency, region
    or year than the price book's, or for no packs.
    """
    _fitting(scenario, prices)
    kept = frame_for(scenario, prices, shipped() if books is None else books, samples, seed)
    items = {item.id: item for item in pack.items}
    makers = [_leaf(kept, items.get(mass.item), mass) for mass in mass_lines]
    makers += [_made(kept, partial(kept.joint, joint)) for joint in pack.joints]
    sums = Sums(count=samples)
    for make, costed in zip(makers, in_order(makers, samples), strict=True):
        sums.add(costed, _shed(costed, make))
    return CostResult(
        lines=tuple(one.line for one in sums.costed),
        figures=figures_of(kept.frame, sums, mass_lines, energy),
        samples=sums.samples,
    )


def _leaf(kept: Kept, item: Item | None, mass: MassLine) -> Callable[[], Costed]:
    if item is None:
        return lambda: Costed(line=not_costed(mass, "it is not in the parts list"), basis={})
    return _made(kept, partial(kept.line, item, mass))


def _made(kept: Kept, make: Callable[[], Costed]) -> Callable[[], Costed]:
    """In the context of now, whoever calls: samples come from whoever draws at this moment."""
    if not kept.frame.count:
        return make
    context = copy_context()
    return lambda: context.copy().run(make)


def _shed(costed: Costed, make: Callable[[], Costed]) -> Costed:
    """The line without its samples, which it draws again when asked."""
    line = costed.line
    if line.status is not CostStatus.COSTED or line.piece is None or line.piece.samples is None:
        return costed
    bare = replace(
        line,
        material=_bare(line.material),
        labour=_bare(line.labour),
        burden=_bare(line.burden),
        markup=_bare(line.markup),
        packaging=_bare(line.packaging),
        piece=_bare(line.piece),
        tooling_per_piece=_bare(line.tooling_per_piece),
        tooling_investment=_bare(line.tooling_investment),
        redraw=lambda: make().line,
    )
    return Costed(line=bare, basis=costed.basis)


def _bare(money: Money | None) -> Money | None:
    return None if money is None else Money(value=money.value, low=money.low, high=money.high)


def _fitting(scenario: Scenario, prices: PriceBook) -> None:
    if scenario.volume <= 0.0 or scenario.life <= 0.0:
        raise ValueError(
            f"a cost needs packs to be made: {scenario.volume:g} packs a year for {scenario.life:g} years"
        )
    for name, wanted, has in (
        ("currency", scenario.currency, prices.currency),
        ("region", scenario.region, prices.region),
        ("year", scenario.year, prices.year),
    ):
        if wanted is not None and wanted != has:
            raise ValueError(
                f"the scenario asks for {name} {wanted}, the price book {prices.name!r} has {has}"
            )
