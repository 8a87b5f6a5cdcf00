"""Kept: what earlier evaluations on the same terms computed, so that one changed part costs one part."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from threading import Lock

import numpy as np

from ...methods import Book
from ...prices import PriceBook
from ...quantities.draws import draws_key
from ...quantities.sampling import Samples
from ...records import Item, Joint, Scenario
from ..findings import MassLine
from .frame import Frame
from .joints import joint_line
from .lines import Costed, item_line

#: Evaluations kept (terms and number of samples), by their number and by their samples in all.
_FRAMES_KEPT = 6
_SAMPLES_OF_FRAMES = 20_000
#: Lines kept in one evaluation of up to 1,000 samples (64 kB a line), in proportion fewer at more, but
#: never fewer than somebody may be looking at.
_LINES_KEPT, _LINES_KEPT_AT, _FEW_LINES = 2_000, 1_000, 16

_Print = tuple[object, ...]


@dataclass(slots=True)
class Kept:
    """A frame with the lines computed in it, by item: an item, what else its line rests on, the line."""

    frame: Frame
    lines: OrderedDict[tuple[str, _Print], tuple[Item | Joint, Costed]] = field(default_factory=OrderedDict)
    lock: Lock = field(default_factory=Lock)

    def line(self, item: Item, mass: MassLine) -> Costed:
        """The line of a leaf, computed once for the same item and roll-up line."""
        return self._once(item, _print(mass), lambda: item_line(self.frame, item, mass))

    def joint(self, joint: Joint) -> Costed:
        """The line of a group of joints, computed once for the same joint."""
        return self._once(joint, (), lambda: joint_line(self.frame, joint))

    def _once(self, record: Item | Joint, rest: _Print, make: Callable[[], Costed]) -> Costed:
        key = (record.id, rest)
        with self.lock:
            known = self.lines.get(key)
            if known is not None:
                self.lines.move_to_end(key)
        if known is not None and (known[0] is record or known[0] == record):
            return known[1]
        made = make()
        with self.lock:
            self.lines[key] = (record, made)
            while len(self.lines) > self._most:
                self.lines.popitem(last=False)
        return made

    @property
    def _most(self) -> int:
        count = self.frame.count
        if count <= _LINES_KEPT_AT:
            return _LINES_KEPT
        return _FEW_LINES if count > 4 * _LINES_KEPT_AT else _LINES_KEPT * _LINES_KEPT_AT // count


def _print(mass: MassLine) -> _Print:
    """What of a roll-up line its cost depends on, besides the item itself.

    Of its samples two sums, the second weighted, so that the same numbers in another order differ.
    """
    sums: _Print = ()
    if mass.samples is not None and mass.samples.size:
        samples = mass.samples
        sums = samples.size, float(samples.sum()), float(samples @ _ramp(samples.size))
    return mass.count, mass.function, mass.mass, mass.basis, mass.number, mass.name, *sums


_ramps: dict[int, Samples] = {}


def _ramp(size: int) -> Samples:
    if size not in _ramps:
        _ramps.clear()
        _ramps[size] = np.sqrt(np.arange(1.0, size + 1.0))
    return _ramps[size]


_frames: OrderedDict[Hashable, Kept] = OrderedDict()


def frame_for(
    scenario: Scenario, prices: PriceBook, shelf: Mapping[str, Book], samples: int, seed: int
) -> Kept:
    """The frame of earlier evaluations on the same terms: prices draw once, items compute once."""
    key = (scenario, id(prices), id(shelf), samples, seed, draws_key())
    kept = _frames.get(key)
    # The frame holds its price book and shelf, so that the id of a living one is never another's.
    if kept is None or kept.frame.prices is not prices or kept.frame.books is not shelf:
        frame = Frame(scenario=scenario, prices=prices, books=shelf, count=samples, seed=seed)
        kept = _frames[key] = Kept(frame)
    _frames.move_to_end(key)
    while len(_frames) > 1 and (len(_frames) > _FRAMES_KEPT or _drawn() > _SAMPLES_OF_FRAMES):
        _frames.popitem(last=False)
    return kept


def _drawn() -> int:
    return sum(kept.frame.count for kept in _frames.values())
