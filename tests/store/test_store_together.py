"""Behaviour: people who save at the same time lose nothing of each other's."""

from __future__ import annotations

import multiprocessing
import random
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from store_samples import a_pack, an_item

from lidoff.store import Kind, RecordEdit, RecordKey, StaleEdit, Store

FORK = multiprocessing.get_context("fork")
SAVES = 12


def save_own(store: Store, who: str) -> None:
    """One person's work: a new item a save, each on the study as it was just read."""
    for turn in range(SAVES):
        identity = f"{who}.{turn}"
        key = RecordKey(Kind.ITEM, "heron", identity)
        edit = RecordEdit(key=key, record=an_item(identity), based_on=store.load("s").revision)
        store.save_edits("s", [edit], who=who, summary=identity)


def count_up(store: Store, who: str) -> int:
    """Everybody at one record: read, add one, save; again when somebody was quicker."""
    stale = 0
    done = 0
    while done < SAVES:
        study = store.load("s")
        item = study.packs[0].items[0]
        more = replace(item, position=item.position + 1)
        edit = RecordEdit(key=RecordKey(Kind.ITEM, "heron", item.id), record=more, based_on=study.revision)
        try:
            store.save_edits("s", [edit], who=who, summary="")
        except StaleEdit:
            stale += 1
        else:
            done += 1
    return stale


def check_all_there(store: Store, people: list[str]) -> None:
    items = {item.id for item in store.load("s").packs[0].items}
    assert items == {"1.1"} | {f"{who}.{turn}" for who in people for turn in range(SAVES)}
    history = store.history("s")
    assert [r.number for r in history] == list(range(1 + SAVES * len(people), 0, -1))
    places = [item.id for item in store.load("s").packs[0].items]
    for who in people:  # each in the order made
        assert [i for i in places if i.startswith(who)] == [f"{who}.{t}" for t in range(SAVES)]


def test_threads_lose_nothing(store: Store) -> None:
    store.save_pack("s", a_pack(1), who="Ines", summary="", make_study=True)
    people = ["Jo", "Kim", "Lou"]
    with ThreadPoolExecutor() as pool:
        list(pool.map(lambda who: save_own(store, who), people))
    check_all_there(store, people)


def test_processes_lose_nothing(store: Store, workspace: Path) -> None:
    store.save_pack("s", a_pack(1), who="Ines", summary="", make_study=True)
    store.close()

    def work(who: str) -> None:
        with Store.open(workspace) as opened:
            save_own(opened, who)

    people = ["Jo", "Kim"]
    children = [FORK.Process(target=work, args=(who,)) for who in people]
    for child in children:
        child.start()
    for child in children:
        child.join()
        assert child.exitcode == 0
    check_all_there(store, people)


def test_one_record_wanted_by_all_counts_every_change(store: Store) -> None:
    store.save_pack("s", a_pack(1), who="Ines", summary="", make_study=True)
    with ThreadPoolExecutor() as pool:
        list(pool.map(lambda who: count_up(store, who), ["Jo", "Kim", "Lou"]))
    assert store.load("s").packs[0].items[0].position == 3 * SAVES


def test_whole_packs_saved_from_one_base_are_merged(store: Store) -> None:
    """Each saves the whole pack as loaded at revision 1 with one item of its own changed."""
    base = a_pack(6)
    store.save_pack("s", base, who="Ines", summary="", make_study=True)

    def work(turn: int) -> None:
        items = tuple(replace(i, remarks=f"by {turn}") if n == turn else i for n, i in enumerate(base.items))
        store.save_pack("s", replace(base, items=items), who=f"{turn}", summary="", based_on=1)

    with ThreadPoolExecutor() as pool:
        list(pool.map(work, range(6)))
    assert [i.remarks for i in store.load("s").packs[0].items] == [f"by {turn}" for turn in range(6)]


def test_several_open_a_new_workspace_at_once(workspace: Path) -> None:
    def work(who: str) -> None:
        with Store.open(workspace) as opened:
            opened.create_study(who, who=who)

    names = ["a", "b", "c"]
    children = [FORK.Process(target=work, args=(who,)) for who in names]
    for child in children:
        child.start()
    for child in children:
        child.join()
        assert child.exitcode == 0
    with Store.open(workspace) as opened:
        assert [s.id for s in opened.studies()] == names


@pytest.mark.parametrize("run", range(3))
def test_random_edits_of_three_people_agree_with_a_plain_model(store: Store, run: int) -> None:
    """A model of the rule: an edit stands unless its record changed since its base."""
    seed = random.SystemRandom().randrange(2**32)
    print(f"run {run}, seed {seed}")
    draw = random.Random(seed)
    store.save_pack("s", a_pack(3), who="Ines", summary="", make_study=True)
    states = [{item.id: item.remarks for item in a_pack(3).items}]  # by revision, from 1
    for _ in range(40):
        based_on = draw.randint(max(1, len(states) - 3), len(states))
        identity = draw.choice(["1.1", "1.2", "1.3", "1.4"])
        remark = draw.choice(["a", "b", None])
        record = None if remark is None else an_item(identity, remark)
        edit = RecordEdit(key=RecordKey(Kind.ITEM, "heron", identity), record=record, based_on=based_on)
        seen = [state.get(identity) for state in states[based_on - 1 :]]
        if any(one != other for one, other in pairwise(seen)):
            with pytest.raises(StaleEdit):
                store.save_edits("s", [edit], who="Jo", summary="")
        else:
            store.save_edits("s", [edit], who="Jo", summary="")
            if remark != seen[-1]:
                after = {k: v for k, v in states[-1].items() if k != identity}
                states.append(after if remark is None else after | {identity: remark})
        study = store.load("s")
        assert study.revision == len(states)
        assert {item.id: item.remarks for item in study.packs[0].items} == states[-1]
