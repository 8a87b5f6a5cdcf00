"""Again: a study evaluated once, and after a change of some streams only where it draws from them.

Every line of cost, and the masses and the energy of a pack, keep which streams they drew from. A
stream that belongs to one part leaves all other lines as they were; a rate that all lines use moves
them all. The figures are put together by the same functions as in any evaluation.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Generic, TypeVar

import numpy as np

from ...methods import Book, Table, books
from ...methods.origins import Found
from ...prices import PriceBook, price_book
from ...quantities.draws import Draws, drawing, related
from ...records import Pack, Scenario, Study
from ..cost.amount import Amount
from ..cost.figures import figures_of
from ..cost.frame import Frame
from ..cost.joints import joint_line
from ..cost.lines import Costed, item_line, not_costed
from ..cost.sums import Sums
from ..findings import Figure, Findings, MassLine, PackFindings
from ..layout import layout_figures
from ..mass import Masses, masses
from ..related import copula
from ..tree import Tree, build
from .drawn import Listening

T = TypeVar("T")


@dataclass(slots=True, kw_only=True)
class _HeardFrame(Frame):
    """A frame that says again which streams a price or table it has kept was drawn from."""

    listening: Listening

    def amount(self, found: Found) -> Amount:
        with self.listening.heading(found.stream):
            return Frame.amount(self, found)

    def table(self, key: str) -> tuple[Table, Table | None] | None:
        with self.listening.heading(f"table:{key}"):
            return Frame.table(self, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept(Generic[T]):
    """Something computed, and the streams it drew from."""

    result: T
    uses: frozenset[str]

    def moved_by(self, streams: frozenset[str]) -> bool:
        return not self.uses.isdisjoint(streams)

    def anew(self, make: Callable[[], T]) -> _Kept[T]:
        return _Kept(result=make(), uses=self.uses)


@dataclass(frozen=True, slots=True, kw_only=True)
class _State:
    """One pack as evaluated; ``lines`` are those of its leaves, then those of its joints."""

    pack: Pack
    tree: Tree
    mass: _Kept[Masses]
    energy: _Kept[dict[str, Figure]]
    lines: tuple[_Kept[Costed], ...]

    def parts(self) -> Iterator[_Kept[Masses] | _Kept[dict[str, Figure]] | _Kept[Costed]]:
        yield self.mass
        yield self.energy
        yield from self.lines


@dataclass(slots=True)
class Again:
    """``first`` evaluates everything; ``changed`` starts from there each time.

    ``costs`` is false where no figure of cost is asked for.
    """

    study: Study
    scenario: Scenario
    prices: PriceBook
    shelf: Mapping[str, Book]
    costs: bool = True
    _states: list[_State] = field(default_factory=list)
    _frame: Frame | None = None
    _shared: frozenset[str] = frozenset()

    @classmethod
    def of(
        cls,
        study: Study,
        scenario: Scenario | None = None,
        prices: PriceBook | None = None,
        *,
        shelf: Mapping[str, Book] | None = None,
        costs: bool = True,
    ) -> Again:
        """Of a study, in its own scenario, price book and shelf where no others are given."""
        terms = scenario or study.scenario
        book = prices if prices is not None else price_book(terms.price_book)
        return cls(study, terms, book, books() if shelf is None else shelf, costs)

    def without_costs(self) -> Again:
        """The same without any cost, which is much quicker."""
        return Again(self.study, self.scenario, self.prices, self.shelf, costs=False)

    def first(self, draws: Draws, count: int) -> Findings:
        """Evaluate with ``count`` samples of ``draws``, and keep what was drawn where."""
        listening = Listening(draws)
        frame = _HeardFrame(
            scenario=self.scenario, prices=self.prices, books=self.shelf, count=count, listening=listening
        )
        with self._drawing(listening):
            self._states = [self._evaluated(pack, frame, listening) for pack in self.study.packs]
        self._shared, self._frame = listening.under_headings, frame
        return self._findings(self._states, frame)

    def changed(self, draws: Draws, streams: Collection[str]) -> Findings:
        """Evaluate with other ``draws``, which differ from the first in no more than ``streams``."""
        if self._frame is None:
            raise ValueError("nothing was evaluated yet")
        moved, frame = frozenset(streams), self._frame
        if not self._shared.isdisjoint(moved):
            frame = Frame(
                scenario=self.scenario, prices=self.prices, books=self.shelf, count=self._frame.count
            )
        with self._drawing(draws):
            states = [self._moved(state, frame, moved) for state in self._states]
        return self._findings(states, frame)

    def whole(self, draws: Draws, count: int) -> Findings:
        """Evaluate everything with other draws; what was kept stays."""
        return Again(self.study, self.scenario, self.prices, self.shelf, self.costs).first(draws, count)

    @property
    def streams(self) -> tuple[str, ...]:
        """Every stream that was drawn from."""
        found: dict[str, None] = {}
        for state in self._states:
            for kept in state.parts():
                found.update(dict.fromkeys(sorted(kept.uses)))
        return tuple(found)

    @contextmanager
    def _drawing(self, draws: Draws) -> Iterator[None]:
        """Whoever draws, what was declared to go together does."""
        pairs = copula(self.study.correlations, self.study.packs, self.prices)
        with related(pairs), drawing(draws):
            yield

    def _evaluated(self, pack: Pack, frame: Frame, listening: Listening) -> _State:
        def heard(make: Callable[[], T]) -> _Kept[T]:
            with listening.apart() as inside:
                result = make()
            return _Kept(result=result, uses=frozenset(inside))

        tree = build(pack)
        mass = heard(lambda: masses(pack, tree, frame.count))
        energy = heard(lambda: layout_figures(pack, tree, mass.result, frame.count))
        makers = _makers(pack, frame, mass.result.lines) if self.costs else []
        return _State(
            pack=pack, tree=tree, mass=mass, energy=energy, lines=tuple(heard(make) for make in makers)
        )

    def _moved(self, state: _State, frame: Frame, streams: frozenset[str]) -> _State:
        pack, tree, mass, energy = state.pack, state.tree, state.mass, state.energy
        if mass.moved_by(streams):
            mass = mass.anew(lambda: masses(pack, tree, frame.count))
        if mass is not state.mass or energy.moved_by(streams):
            energy = energy.anew(lambda: layout_figures(pack, tree, mass.result, frame.count))
        makers = _makers(pack, frame, mass.result.lines) if self.costs else []
        stale = [line.moved_by(streams) for line in state.lines]
        if mass is not state.mass:
            for n, (old, new) in enumerate(zip(state.mass.result.lines, mass.result.lines, strict=True)):
                stale[n : n + 1] = [s or not _same(old, new) for s in stale[n : n + 1]]
        lines = tuple(
            line.anew(make) if old else line
            for line, make, old in zip(state.lines, makers, stale, strict=True)
        )
        return _State(pack=pack, tree=tree, mass=mass, energy=energy, lines=lines)

    def _findings(self, states: list[_State], frame: Frame) -> Findings:
        packs = {}
        for state in states:
            mass, sums = state.mass.result, Sums(count=frame.count)
            for line in state.lines:
                sums.add(line.result, line.result)
            figures = {**mass.figures, **state.energy.result}
            if self.costs:
                figures |= figures_of(frame, sums, mass.lines, figures.get("energy_nominal"))
            packs[state.pack.id] = PackFindings(
                pack=state.pack.id,
                name=state.pack.name,
                figures=figures,
                mass_lines=mass.lines,
                cost_lines=tuple(one.line for one in sums.costed),
                cost_samples=sums.samples,
            )
        return Findings(
            study=self.study.id,
            scenario=self.scenario,
            currency=self.prices.currency,
            year=self.prices.year,
            samples=frame.count,
            packs=packs,
            prices=self.prices,
        )


def _makers(pack: Pack, frame: Frame, lines: tuple[MassLine, ...]) -> list[Callable[[], Costed]]:
    """What computes each cost line: leaves in their order, then joints."""
    items = {item.id: item for item in pack.items}

    def leaf(mass: MassLine) -> Callable[[], Costed]:
        item = items.get(mass.item)
        if item is None:
            return lambda: Costed(line=not_costed(mass, "it is not in the parts list"), basis={})
        return lambda: item_line(frame, item, mass)

    makers = [leaf(mass) for mass in lines]
    return makers + [(lambda joint=joint: joint_line(frame, joint)) for joint in pack.joints]


def _same(old: MassLine, new: MassLine) -> bool:
    if old.samples is None or new.samples is None:
        return old.samples is new.samples
    return bool(np.array_equal(old.samples, new.samples))
