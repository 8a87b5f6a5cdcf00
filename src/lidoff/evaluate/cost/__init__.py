"""Should-cost: what a pack's lines cost to make or buy, from method books, price book and scenario."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import blake2b

from ...methods import books
from ...prices import PriceBook
from ...quantities.draws import draws_key
from ...records import Item, Pack, Scenario
from ..findings import CostLine, Figure, MassLine
from .figures import cost_figures
from .frame import Frame
from .joints import joint_line
from .lines import Costed, item_line, not_costed

__all__ = ["CostResult", "cost_pack"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostResult:
    """Lines in the order of the parts tree, joints after them, and the figures."""

    lines: tuple[CostLine, ...]
    figures: Mapping[str, Figure]


def cost_pack(
    pack: Pack,
    scenario: Scenario,
    prices: PriceBook,
    mass_lines: Sequence[MassLine],
    samples: int,
    seed: int = 0,
    *,
    energy: Figure | None = None,
) -> CostResult:
    """Cost every line of a pack.

    ``mass_lines`` are the leaves of its roll-up with their draws (held lines are not among them),
    ``energy`` the figure `energy_nominal`; ``samples`` may be 0 for nominal values only. Lines of
    parts seen before under the same scenario and prices are not computed again. Raises
    ``ValueError`` where the scenario asks for another currency, region or year than the price
    book's, or for no packs.
    """
    _fitting(scenario, prices)
    frame = _frame(scenario, prices, samples, seed)
    items = {item.id: item for item in pack.items}
    costed = [_line(frame, items.get(mass.item), mass) for mass in mass_lines]
    costed += [joint_line(frame.context, joint) for joint in pack.joints]
    figures = cost_figures(frame.context, costed, mass_lines, energy)
    return CostResult(lines=tuple(one.line for one in costed), figures=figures)


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


# -- what was computed before ------------------------------------------------------------------

#: Evaluations kept (scenario, prices, samples), and numbers of samples kept in lines of one.
_FRAMES_KEPT = 6
_SAMPLES_KEPT = 8_000_000
_SAMPLES_OF_A_LINE = 8  # one array each for the elements of a line


@dataclass(slots=True)
class _Kept:
    context: Frame
    lines: OrderedDict[tuple[Item, bytes], Costed]


_frames: OrderedDict[tuple[Scenario, int, int, int, Hashable], _Kept] = OrderedDict()


def _frame(scenario: Scenario, prices: PriceBook, samples: int, seed: int) -> _Kept:
    """The frame of earlier evaluations on the same terms: prices draw once, items compute once."""
    key = (scenario, id(prices), samples, seed, draws_key())
    kept = _frames.get(key)
    # The frame holds its price book, so that the id of a living book is never another's.
    if kept is None or kept.context.prices is not prices:
        context = Frame(scenario=scenario, prices=prices, books=books(), count=samples, seed=seed)
        kept = _frames[key] = _Kept(context=context, lines=OrderedDict())
    _frames.move_to_end(key)
    while len(_frames) > _FRAMES_KEPT:
        _frames.popitem(last=False)
    return kept


def _line(kept: _Kept, item: Item | None, mass: MassLine) -> Costed:
    if item is None:
        return Costed(line=not_costed(mass, "it is not in the parts list"), basis={})
    key = (item, _fingerprint(mass))
    if key not in kept.lines:
        kept.lines[key] = item_line(kept.context, item, mass)
        most = max(256, _SAMPLES_KEPT // (_SAMPLES_OF_A_LINE * max(kept.context.count, 1)))
        while len(kept.lines) > most:
            kept.lines.popitem(last=False)
    return kept.lines[key]


def _fingerprint(mass: MassLine) -> bytes:
    """What of a roll-up line its cost depends on, besides the item itself."""
    digest = blake2b(f"{mass.count!r}|{mass.function}|{mass.mass!r}|{mass.basis}".encode(), digest_size=16)
    if mass.samples is not None:
        digest.update(mass.samples.tobytes())
    return digest.digest()
