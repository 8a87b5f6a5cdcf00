"""Going and measuring, on the records themselves: a reading or rate put in the place of the old one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

from lidoff.app.bench import read_pack
from lidoff.demo import STORY, files
from lidoff.evaluate.known import qualified
from lidoff.evaluate.spread import InputKind, Named
from lidoff.exchange import read_bench
from lidoff.prices import PriceBook
from lidoff.quantities import Basis, Reading
from lidoff.quantities.spread import normal
from lidoff.records import Item, Pack, Study

DATA = Path(__file__).parents[2] / "data"


@cache
def birds() -> Study:
    return Study(
        id="birds",
        name="birds",
        packs=(
            read_bench(DATA / "heron.xlsx", pack_id="birds/heron").pack,
            read_bench(DATA / "marlin.csv", pack_id="birds/marlin").pack,
        ),
    )


@cache
def demo() -> Study:
    packs = tuple(read_pack(one.path, pack_id=one.pack_id).pack for one in files())
    return Study(id="demo", name="demo", packs=packs, scenario=STORY.scenario)


def measured(
    study: Study, prices: PriceBook, named: Named, value: float, u: float
) -> tuple[Study, PriceBook]:
    """The study after somebody found ``value`` with standard uncertainty ``u`` (both SI)."""
    if named.kind is InputKind.PRICE:
        row = replace(prices.rows[named.key], value=value, u=u / value, terms=())
        return study, replace(prices, rows={**prices.rows, named.key: row})
    if named.kind is InputKind.INSTRUMENT:
        return _each_item(study, lambda item: _recalibrated(item, named.stream, u)), prices
    reading = Reading(value=value, unit=named.unit, basis=Basis.WEIGHED, spread=normal(u))
    if named.kind is InputKind.FACT:
        return _facts(study, named, reading), prices
    assert named.item is not None
    field = named.stream.rpartition(".")[2]
    return _each_item(
        study, lambda item: replace(item, **{field: reading}) if item.id == named.item else item
    ), prices


def _each_item(study: Study, change: Callable[[Item], Item]) -> Study:
    packs = tuple(replace(pack, items=tuple(change(item) for item in pack.items)) for pack in study.packs)
    return replace(study, packs=packs)


def _facts(study: Study, named: Named, reading: Reading) -> Study:
    def changed(pack: Pack) -> Pack:
        facts = tuple(replace(f, reading=reading) if f.key == named.key else f for f in pack.facts)
        return replace(pack, facts=facts) if pack.id == named.pack else pack

    return replace(study, packs=tuple(changed(pack) for pack in study.packs))


def _recalibrated(item: Item, instrument: str, relative: float) -> Item:
    """All masses read on a scale whose own error is now known to ``relative``."""
    if item.mass is None:
        return item
    spread = qualified(item.mass).spread
    shared = tuple(
        (name, relative * abs(item.mass.value) if name == instrument else u) for name, u in spread.shared
    )
    return replace(item, mass=replace(item.mass, spread=replace(spread, shared=shared)))
