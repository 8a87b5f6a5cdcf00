"""Records for the tests of the store: small ones by hand, and any at all by hypothesis."""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

from hypothesis import strategies as st

from lidoff.quantities import Basis, Evidence, Reading, Shape, Spread, Word
from lidoff.records import (
    Change,
    Correlation,
    Edit,
    EditKind,
    Fact,
    Item,
    Joint,
    Marking,
    Pack,
    Question,
    Rejection,
    Removal,
    Scenario,
    Step,
    Study,
)

T = TypeVar("T")


def a_reading(value: float = 1.2) -> Reading:
    spread = Spread(shape=Shape.NORMAL, u=0.001, shared=(("instrument:bench scale", 0.0006),))
    return Reading(value=value, unit="g", basis=Basis.WEIGHED, spread=spread, origin="bench.csv!E6")


def an_item(identity: str, remarks: str = "") -> Item:
    return Item(
        id=identity,
        number=identity,
        name=f"bracket {identity}",
        mass=a_reading(),
        material=Word(text="PA66 FR", means="polyamide_66", evidence=Evidence.MARKED),
        weighings=(a_reading(2.4), a_reading(2.41)),
        remarks=remarks,
    )


def a_pack(count: int = 3, *, identity: str = "heron", remarks: str = "") -> Pack:
    items = tuple(an_item(f"1.{n}", remarks) for n in range(1, count + 1))
    return Pack(id=identity, name=identity.title(), items=items)


texts = st.text(max_size=12)
ids = st.text(min_size=1, max_size=8)
numbers = st.floats(allow_nan=False, allow_infinity=False)
wholes = st.integers(min_value=-(2**63), max_value=2**63 - 1)
maybe_texts = st.none() | texts
pairs = st.tuples(texts, texts)

spreads = st.builds(
    Spread,
    shape=st.sampled_from(Shape),
    u=numbers,
    low=st.none() | numbers,
    high=st.none() | numbers,
    choices=st.lists(st.tuples(numbers, numbers), max_size=2).map(tuple),
    shared=st.lists(st.tuples(texts, numbers), max_size=2).map(tuple),
    stated=st.booleans(),
)
readings = st.builds(
    Reading,
    value=numbers,
    unit=texts,
    basis=st.sampled_from(Basis),
    spread=spreads,
    instrument=maybe_texts,
    origin=texts,
    text=texts,
    note=texts,
    count=wholes,
)
words = st.builds(
    Word, text=texts, means=maybe_texts, evidence=st.sampled_from(Evidence), origin=texts, note=texts
)
markings = st.builds(Marking, text=texts, kind=texts, origin=texts)

_BY_TYPE: dict[str, st.SearchStrategy[Any]] = {
    "str": texts,
    "str | None": maybe_texts,
    "int": wholes,
    "int | None": st.none() | wholes,
    "float": numbers,
    "float | None": st.none() | numbers,
    "bool": st.booleans(),
    "bool | None": st.none() | st.booleans(),
    "Reading": readings,
    "Reading | None": st.none() | readings,
    "Word | None": st.none() | words,
    "tuple[Reading, ...]": st.lists(readings, max_size=2).map(tuple),
    "tuple[Marking, ...]": st.lists(markings, max_size=2).map(tuple),
    "tuple[str, ...]": st.lists(texts, max_size=2).map(tuple),
    "tuple[tuple[str, str], ...]": st.lists(pairs, max_size=2).map(tuple),
}


def records(cls: type[T], **own: st.SearchStrategy[Any]) -> st.SearchStrategy[T]:
    """Any record of a class, every field drawn by its type, so that a new field is drawn too."""
    drawn = {f.name: own[f.name] if f.name in own else _BY_TYPE[str(f.type)] for f in fields(cls)}  # type: ignore[arg-type]
    return st.builds(cls, **drawn)


items = records(Item, id=ids)
values = st.recursive(
    st.none() | st.booleans() | wholes | numbers | texts | readings | words | items,
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.lists(inner, max_size=2).map(tuple)
        | st.dictionaries(texts, inner, max_size=2)
    ),
    max_leaves=6,
)
edits = st.builds(Edit, kind=st.sampled_from(EditKind), record=texts, target=texts, field=texts, value=values)
edit_lists = st.lists(edits, max_size=2).map(tuple)


def several(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Up to two records, no two of one id: more would say no more and take hypothesis long."""
    return st.lists(strategy, max_size=2, unique_by=lambda record: record.id).map(tuple)


packs = st.builds(
    Pack,
    id=ids,
    name=texts,
    items=several(items),
    joints=several(records(Joint, id=ids)),
    steps=several(records(Step, id=ids)),
    removals=several(records(Removal, id=ids)),
    facts=several(records(Fact, id=ids)),
    questions=several(records(Question, id=ids, edits=edit_lists)),
    rejections=st.lists(records(Rejection), max_size=2).map(tuple),
)


def studies(identity: str) -> st.SearchStrategy[Study]:
    return st.builds(
        Study,
        id=st.just(identity),
        name=texts,
        packs=several(packs),
        scenario=records(Scenario),
        changes=several(records(Change, id=ids, edits=edit_lists)),
        correlations=several(records(Correlation, id=ids)),
        revision=st.just(0),
    )
