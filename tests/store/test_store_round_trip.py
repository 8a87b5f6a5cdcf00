"""Behaviour: what is loaded is what was saved, to the last bit, whatever the records hold."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from store_samples import a_pack, a_reading, an_item, items, packs, studies

from lidoff.quantities import Spread
from lidoff.records import Change, Edit, EditKind, Item, Scenario, Study
from lidoff.store import Store, StoreError
from lidoff.store.plain import from_text, to_text

COUNTER = count()
ROOM = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    with Store.open(tmp_path_factory.mktemp("shared")) as opened:
        yield opened


def same_bits(one: object, other: object) -> bool:
    """Equal in type and to the last bit: the shortest repr of a float tells it and its sign apart."""
    return one == other and repr(one) == repr(other)


@ROOM
@given(studies("any"))
def test_a_study_comes_back_as_it_was(shared: Store, study: Study) -> None:
    study = replace(study, id=f"study {next(COUNTER)}")
    revision = shared.save_study(study, who="Ines", summary="all")
    assert same_bits(shared.load(study.id), replace(study, revision=revision))


@ROOM
@given(first=studies("any"), second=studies("any"))
def test_a_study_saved_over_another_is_the_second(shared: Store, first: Study, second: Study) -> None:
    identity = f"study {next(COUNTER)}"
    shared.save_study(replace(first, id=identity), who="Ines", summary="first")
    revision = shared.save_study(replace(second, id=identity), who="Ines", summary="second")
    assert shared.load(identity) == replace(second, id=identity, revision=revision)


@ROOM
@given(st.lists(packs, min_size=2, max_size=2, unique_by=lambda pack: pack.id))
def test_packs_saved_one_by_one_keep_their_order(shared: Store, two: list[Study]) -> None:
    identity = f"study {next(COUNTER)}"
    shared.create_study(identity, who="Ines")
    for pack in (*two, two[0]):
        shared.save_pack(identity, pack, who="Ines", summary="pack")
    assert same_bits(shared.load(identity).packs, tuple(two))


@pytest.mark.parametrize(
    "value", [-0.0, 0.0, 5e-324, -1.7976931348623157e308, 0.1, 2.0**53 + 2.0, 1e15, -3.0, 1e-300]
)
def test_floats_keep_every_bit(store: Store, value: float) -> None:
    item = replace(an_item("1"), mass=replace(a_reading(value), spread=Spread(u=value, low=value)))
    store.save_pack("s", replace(a_pack(0), items=(item,)), who="Ines", summary="", make_study=True)
    mass = store.load("s").packs[0].items[0].mass
    assert mass is not None
    for back in (mass.value, mass.spread.u, mass.spread.low):
        assert back is not None and back.hex() == value.hex()


@pytest.mark.parametrize(
    "text", ['it\'s "so"', "a\nb\r\n\tc", "\x00", "ß 漢 🔋 e\u0301", "'; drop table item; --", " "]
)
def test_texts_come_back(store: Store, text: str) -> None:
    pack = a_pack(1, identity=text, remarks=text)
    store.save_pack("s", pack, who=text + "x", summary=text, make_study=True)
    assert store.load("s").packs == (pack,)
    assert store.history("s")[0].summary == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_no_number_is_refused(store: Store, value: float) -> None:
    pack = a_pack(2)
    store.save_pack("s", pack, who="Ines", summary="", make_study=True)
    bad = replace(pack, items=(replace(pack.items[0], mass=a_reading(value)), pack.items[1]))
    with pytest.raises(StoreError, match=r"item 1\.1 of pack heron: mass is -?(nan|inf), which is no number"):
        store.save_pack("s", bad, who="Ines", summary="")
    with pytest.raises(StoreError, match="volume is"):
        store.save_scenario("s", Scenario(volume=value), who="Ines", summary="")
    edit = Edit(kind=EditKind.SET, record="item", target="1.1", field="mass", value=value)
    with pytest.raises(StoreError, match="edits is"):
        store.save_changes("s", [Change(id="c", title="", edits=(edit,))], who="Ines", summary="")
    assert store.load("s") == Study(id="s", name="s", packs=(pack,), revision=1)


def test_a_whole_number_too_large_is_refused(store: Store) -> None:
    pack = replace(a_pack(0), items=(replace(an_item("1"), position=2**63),))
    with pytest.raises(StoreError, match=r"item 1 of pack heron: position is 922337203685… *, which is too"):
        store.save_pack("s", pack, who="Ines", summary="", make_study=True)
    assert store.studies() == ()


def test_a_broken_character_is_refused(store: Store) -> None:
    with pytest.raises(StoreError, match=r"the text 'half \\ud83d' holds a broken character"):
        store.save_pack("s", a_pack(1, remarks="half \ud83d"), who="Ines", summary="", make_study=True)
    assert store.studies() == ()


def test_two_records_of_one_id_are_refused(store: Store) -> None:
    pack = replace(a_pack(1), items=(an_item("1"), an_item("1", "again")))
    with pytest.raises(StoreError, match="item 1 of pack heron is there twice"):
        store.save_pack("s", pack, who="Ines", summary="", make_study=True)


@ROOM
@given(items)
def test_history_holds_a_record_whole(shared: Store, item: object) -> None:
    assert from_text(Item, to_text(item)) == item


def test_a_value_that_no_row_takes_is_refused(store: Store, tmp_path: Path) -> None:
    edit = Edit(kind=EditKind.SET, record="item", target="1", field="name", value=tmp_path)
    study = Study(id="s", name="s", changes=(Change(id="c", title="", edits=(edit,)),))
    with pytest.raises(StoreError, match="an edit's value of type PosixPath cannot be kept"):
        store.save_study(study, who="Ines", summary="")
    assert store.studies() == ()
