"""Behaviour: every save has its revision; stale edits are refused; what others did is not lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from store_samples import a_pack, a_reading, an_item

from lidoff.records import Change, Pack, Rejection, Scenario
from lidoff.store import Kind, RecordEdit, RecordKey, StaleEdit, Store, StoreError, UnknownStudy


def item_key(identity: str, pack: str = "heron") -> RecordKey:
    return RecordKey(Kind.ITEM, pack, identity)


def with_item(pack: Pack, identity: str, **new: object) -> Pack:
    """The pack with one item changed."""
    changed = (replace(i, **new) if i.id == identity else i for i in pack.items)  # type: ignore[arg-type]
    return replace(pack, items=tuple(changed))


@pytest.fixture
def pack(store: Store) -> Pack:
    """A pack of three items, at revision 1 of study "s"."""
    made = a_pack(3)
    assert store.save_pack("s", made, who="Ines", summary="import", make_study=True) == 1
    return made


def test_a_list_of_studies(store: Store, pack: Pack) -> None:
    before = datetime.now(UTC)
    store.create_study("b", "Second study", who="Ines")
    store.save_pack("s", a_pack(2, identity="marlin"), who="Ines", summary="")
    second, first = store.studies()
    assert (first.id, first.name, first.packs, first.items, first.revision) == (
        "s",
        "s",
        ("Heron", "Marlin"),
        5,
        2,
    )
    assert (second.id, second.name, second.packs, second.items) == ("b", "Second study", (), 0)
    assert timedelta(0) <= first.changed_at - before < timedelta(minutes=1)
    assert first.changed_at.tzinfo is UTC


def test_only_differences_are_written(store: Store, pack: Pack) -> None:
    items = (replace(pack.items[0], mass=a_reading(1.25)), pack.items[1], an_item("1.9"))
    assert store.save_pack("s", replace(pack, items=items), who="Jo", summary="second bench day") == 2
    last, first = store.history("s")
    assert (last.who, last.summary, last.number) == ("Jo", "second bench day", 2)
    assert (last.added, last.changed, last.removed) == (1, 1, 1)
    assert (first.added, first.changed, first.removed) == (6, 0, 0)  # study, scenario, pack, three items
    assert store.load("s").packs[0].items == items


def test_history_of_a_record_tells_before_and_after(store: Store, pack: Pack) -> None:
    store.save_pack("s", with_item(pack, "1.2", mass=a_reading(25.0)), who="Jo", summary="kilograms")
    last, first = store.history("s", "1.2", pack="heron")
    (entry,) = last.entries
    assert entry.before is not None and entry.after is not None
    assert (entry.before["mass"]["value"], entry.after["mass"]["value"]) == (1.2, 25.0)
    assert entry.fields() == ("mass",)
    assert first.entries[0].before is None
    assert store.history("s", "1.2", pack="marlin") == ()


def test_saving_the_same_again_is_no_revision(store: Store, pack: Pack) -> None:
    assert store.save_pack("s", pack, who="Jo", summary="again") == 1
    assert store.save_study(store.load("s"), who="Jo", summary="again", based_on=1) == 1
    assert len(store.history("s")) == 1


def test_a_new_order_is_kept(store: Store, pack: Pack) -> None:
    turned = replace(pack, items=pack.items[::-1])
    assert store.save_pack("s", turned, who="Jo", summary="turned") == 2
    assert store.load("s").packs == (turned,)


def test_rejections_alike_are_all_kept(store: Store, pack: Pack) -> None:
    one, two = Rejection(where="A1", why="no number", text="x"), Rejection(where="A2", why="no number")
    for rejections in ((one, two, one), (two, one), (one,)):
        changed = replace(pack, rejections=rejections)
        store.save_pack("s", changed, who="Jo", summary="")
        assert store.load("s").packs == (changed,)


def test_an_edit_on_what_others_changed_is_refused(store: Store, pack: Pack) -> None:
    store.save_pack("s", with_item(pack, "1.2", remarks="Jo's"), who="Jo", summary="")
    stands = store.load("s")
    mine = replace(pack.items[1], remarks="mine")
    other = replace(pack.items[2], remarks="mine too")
    with pytest.raises(StaleEdit) as caught:
        store.save_edits(
            "s",
            [
                RecordEdit(key=item_key("1.3"), record=other, based_on=1),
                RecordEdit(key=item_key("1.2"), record=mine, based_on=1),
            ],
            who="Ines",
            summary="",
        )
    stale = caught.value
    assert (stale.key, stale.who, stale.revision, stale.based_on) == (item_key("1.2"), "Jo", 2, 1)
    assert abs(stale.when - datetime.now(UTC)) < timedelta(minutes=1)
    assert str(stale).startswith("item 1.2 of pack heron was changed by Jo at 20")
    assert store.load("s") == stands


def test_a_whole_pack_over_what_others_changed_is_refused(store: Store, pack: Pack) -> None:
    store.save_pack("s", with_item(pack, "1.2", remarks="Jo's"), who="Jo", summary="")
    stands = store.load("s")
    with pytest.raises(StaleEdit, match=r"item 1\.2 of pack heron was changed by Jo"):
        store.save_pack("s", with_item(pack, "1.2", remarks="mine"), who="Ines", summary="", based_on=1)
    with pytest.raises(StaleEdit, match=r"item 1\.2 of pack heron was changed by Jo"):
        store.remove_pack("s", "heron", who="Ines", summary="", based_on=1)
    assert store.load("s") == stands


def test_what_others_did_elsewhere_stays(store: Store, pack: Pack) -> None:
    """Three ways: Jo changes one, removes one, adds one; a pack loaded before changes another."""
    items = (pack.items[0], replace(pack.items[1], remarks="Jo's"), an_item("1.9"))
    store.save_pack("s", replace(pack, items=items), who="Jo", summary="")
    store.save_pack("s", with_item(pack, "1.1", remarks="mine"), who="Ines", summary="", based_on=1)
    mine = replace(pack.items[0], remarks="mine")
    assert store.load("s").packs[0].items == (mine, items[1], items[2])
    assert [(r.added, r.changed, r.removed) for r in store.history("s")][:2] == [(0, 1, 0), (1, 1, 1)]


def test_the_same_change_twice_is_no_conflict(store: Store, pack: Pack) -> None:
    changed = with_item(pack, "1.2", remarks="both")
    assert store.save_pack("s", changed, who="Jo", summary="", based_on=1) == 2
    assert store.save_pack("s", changed, who="Ines", summary="", based_on=1) == 2


def test_single_records_are_edited_added_and_removed(store: Store, pack: Pack) -> None:
    edits = [
        RecordEdit(key=item_key("1.1"), record=replace(pack.items[0], held=True), based_on=1),
        RecordEdit(key=item_key("1.2"), record=None, based_on=1),
        RecordEdit(key=item_key("2.1"), record=an_item("2.1"), based_on=1),
        RecordEdit(key=item_key("2.0"), record=an_item("2.0"), based_on=1),
    ]
    assert store.save_edits("s", edits, who="Jo", summary="form") == 2
    items = store.load("s").packs[0].items
    assert [(i.id, i.held) for i in items] == [("1.1", True), ("1.3", False), ("2.1", False), ("2.0", False)]


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (
            RecordEdit(key=item_key("1.1", "tern"), record=an_item("1.1"), based_on=1),
            "there is no pack 'tern'",
        ),
        (RecordEdit(key=item_key("1.1"), record=an_item("1.2"), based_on=1), "cannot take another id"),
        (RecordEdit(key=item_key("1.1"), record=Scenario(), based_on=1), "cannot become a Scenario"),
        (RecordEdit(key=item_key("1.1"), record=None, based_on=7), "revision 7 is yet to come"),
    ],
)
def test_edits_that_make_no_sense_are_refused(store: Store, pack: Pack, edit: RecordEdit, says: str) -> None:
    with pytest.raises(StoreError, match=says):
        store.save_edits("s", [edit], who="Jo", summary="")
    assert store.load("s").revision == 1


def test_one_record_twice_in_a_save_is_refused(store: Store, pack: Pack) -> None:
    edit = RecordEdit(key=item_key("1.1"), record=None, based_on=1)
    with pytest.raises(StoreError, match=r"item 1\.1 of pack heron is edited twice"):
        store.save_edits("s", [edit, edit], who="Jo", summary="")
    assert len(store.load("s").packs[0].items) == 3


def test_a_record_is_put_back(store: Store, pack: Pack) -> None:
    store.save_pack("s", with_item(pack, "1.2", mass=None), who="Jo", summary="")
    store.save_pack("s", replace(pack, items=pack.items[:1]), who="Jo", summary="")
    store.restore("s", item_key("1.2"), 1, who="Ines")
    items = store.load("s").packs[0].items
    assert items == pack.items[:2]
    assert store.history("s")[0].summary == "item 1.2 of pack heron put back to revision 1"
    with pytest.raises(StoreError, match=r"item 9 of pack heron was not there at revision 1"):
        store.restore("s", item_key("9"), 1, who="Ines")


def test_scenario_and_changes(store: Store, pack: Pack) -> None:
    scenario = Scenario(volume=20_000.0, region="EU", year=2024)
    changes = (
        Change(id="lid", title="thinner lid", edits=()),
        Change(id="nut", title="fewer nuts", edits=()),
    )
    assert store.save_scenario("s", scenario, who="Jo", summary="client's volume", based_on=1) == 2
    assert store.save_changes("s", changes, who="Jo", summary="ideas", based_on=2) == 3
    study = store.load("s")
    assert (study.scenario, study.changes, study.packs) == (scenario, changes, (pack,))
    with pytest.raises(StaleEdit, match="the scenario was changed by Jo"):
        store.save_scenario("s", Scenario(volume=1.0), who="Ines", summary="", based_on=1)


def test_a_pack_is_removed_and_comes_back_last(store: Store, pack: Pack) -> None:
    marlin = a_pack(1, identity="marlin")
    store.save_pack("s", marlin, who="Jo", summary="")
    store.remove_pack("s", "heron", who="Jo", summary="wrong study")
    assert store.load("s").packs == (marlin,)
    store.save_pack("s", pack, who="Jo", summary="")
    assert store.load("s").packs == (marlin, pack)
    with pytest.raises(StoreError, match="there is no pack 'tern' in the study"):
        store.remove_pack("s", "tern", who="Jo", summary="")


def test_two_studies_of_the_same_files_stay_apart(store: Store, pack: Pack) -> None:
    store.save_pack("t", with_item(pack, "1.2", remarks="t's"), who="Jo", summary="", make_study=True)
    store.remove_pack("t", "heron", who="Jo", summary="")
    assert store.load("s").packs == (pack,)


def test_unknown_and_doubled_studies(store: Store, pack: Pack) -> None:
    with pytest.raises(UnknownStudy, match="there is no study 'x'; there are: s"):
        store.load("x")
    with pytest.raises(UnknownStudy):
        store.save_pack("x", pack, who="Jo", summary="")
    with pytest.raises(StoreError, match="there is a study 's' already"):
        store.create_study("s", who="Jo")
    assert [s.id for s in store.studies()] == ["s"]


def test_a_save_has_a_name(store: Store, pack: Pack) -> None:
    with pytest.raises(StoreError, match="a save needs the name of who makes it"):
        store.save_pack("s", replace(pack, name="Other"), who=" ", summary="")
    assert store.load("s").packs == (pack,)
