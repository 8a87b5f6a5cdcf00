"""Behaviour: the word lists hold together, and records built quickly are ordinary ones."""

from __future__ import annotations

from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.exchange import swift
from lidoff.exchange.clock import moment
from lidoff.exchange.columns import FIND_NUMBER
from lidoff.exchange.findnumber import key_of
from lidoff.exchange.headings import Kind, claims
from lidoff.exchange.item_words import basis_of, function_of, photos_of
from lidoff.exchange.notes import labels
from lidoff.exchange.scales import read_scales
from lidoff.exchange.vocabulary import functions, load, normal, spellings
from lidoff.quantities import Basis, Reading, Spread
from lidoff.records import FACTS, Function, Item


def test_every_function_and_fact_has_words() -> None:
    assert set(load("functions")) == {f.value for f in Function}
    named = {key for spec in load("facts").values() for key in spec["keys"]}
    assert named == set(FACTS)
    assert {b for b in load("basis") if b != "none"} <= {b.value for b in Basis}


@pytest.mark.parametrize("meaning", [f.value for f in Function])
def test_every_function_word_means_its_function(meaning: str) -> None:
    for word in load("functions")[meaning]["words"]:
        assert meaning in functions().exact[normal(word)], word


def test_every_label_word_means_its_fact() -> None:
    for meaning, spec in load("facts").items():
        for word in spec["words"]:
            assert meaning in labels().exact[normal(word)], word


@pytest.mark.parametrize("kind", list(Kind))
def test_every_heading_word_claims_its_field(kind: Kind) -> None:
    for field, spec in load("headings")[kind.value].items():
        for word in spec["words"]:
            assert any(c.kind is kind and c.field == field for c in claims(word)), (field, word)


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Mass ea [g]", "mass_each", "g"), ("Masse je Stk (g)", "mass_each", "g"),
        ("Gewicht/kg", "mass_each", "kg"),
        ("weight in lbs", "mass_each", "lb"), ("Gesamtmasse (kg)", "mass_total", "kg"),
        ("L mm", "length", "mm"),
        ("Dicke/Höhe mm", "thickness", "mm"), ("Maße [mm]", "size", "mm"), ("Laenge_mm", "length", "mm"),
        ("Bauteilgewicht [g]", "mass_each", "g"), ("Gewicht ges. (kg)", "mass_total", "kg"),
        ("kg", "mass_each", "kg"),
    ],
)  # fmt: skip
def test_headings_say_field_and_unit(heading: str, field: str, unit: str) -> None:
    best = next(c for c in claims(heading) if c.kind is Kind.PARTS)
    assert (best.field, best.unit) == (field, unit)


@pytest.mark.parametrize(
    ("text", "function"),
    [
        ("lid", "cover"), ("screws etc", "fasteners"), ("BMS + LV", "monitoring"),
        ("connection to car", "interface"),
        ("Befestigungsteile", "fasteners"), ("elektrische Isolation", "insulation"),
        ("HV-Schienen", "busbars"),
        ("enclosure lid", "cover"), ("vis de couvercle", "fasteners"), ("fixation véhicule", "mount"),
        ("Kuehlung", "cooling"), ("Modulaufbau", "module"), ("cooling fluid", "coolant"),
    ],
)  # fmt: skip
def test_functions_in_a_benchs_words(text: str, function: str) -> None:
    found, _ = function_of(text)
    assert found is not None and found.value == function


@pytest.mark.parametrize("text", ["blorb", "", "42", "sundry"])
def test_words_for_no_function_are_not_guessed(text: str) -> None:
    assert function_of(text)[0] is None


def test_sizes_and_masses_stay_apart_in_spelling() -> None:
    assert normal("Maße") != normal("Masse") and normal("Länge") == normal("LAENGE")
    assert set(spellings("Größe")) >= {"groesze", "groesse", "grosze"}


def test_bases_in_a_benchs_words() -> None:
    assert basis_of("selbst gewogen") is Basis.WEIGHED and basis_of("lt. Katalog") is Basis.PUBLISHED
    assert basis_of("n. gew.") == "none" and basis_of("zorb") is None


@pytest.mark.parametrize(
    ("text", "photos"),
    [
        ("IMG_2240-2242", ("IMG_2240", "IMG_2241", "IMG_2242")), ("IMG_2246", ("IMG_2246",)),
        ("IMG_2240, 2243", ("IMG_2240", "IMG_2243")), ("P100-03", ("P100", "P101", "P102", "P103")),
        ("DSC001.jpg-DSC002.jpg", ("DSC001.jpg", "DSC002.jpg")), ("see board", ("see board",)),
    ],
)  # fmt: skip
def test_runs_of_photos_are_written_out(text: str, photos: tuple[str, ...]) -> None:
    assert photos_of(text) == photos


def test_scales_in_a_note() -> None:
    parts = read_scales("parts 6 kg / 0.1 g; 60 kg / 5 g", ".")
    assert [(s.capacity, round(s.division, 9)) for s in parts] == [(6.0, 0.0001), (60.0, 0.005)]
    (crane,) = read_scales("Kranwaage Teilung 0,5 kg", ",")
    assert (crane.capacity, crane.division) == (None, 0.5)
    assert [s.division for s in read_scales("454 kg (crane scale, 0.5 kg div, cal. 01/26)", ".")] == [0.5]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("08:10", 490),
        ("8.10", 490),
        ("8h10", 490),
        ("8 Uhr 10", 490),
        ("0810", 490),
        ("8:10 pm", 1210),
        ("24:00", 0),
    ],
)
def test_times_of_day(text: str, minutes: int) -> None:
    read = moment(text)
    assert read is not None and read.seconds == minutes * 60


@pytest.mark.parametrize("text", ["25:10", "8:70", "hand", "12.05.2026 something"])
def test_what_is_no_time_of_day(text: str) -> None:
    assert moment(text) is None


@given(st.lists(st.integers(1, 40), min_size=1, max_size=5), st.sampled_from(".-/_"))
def test_find_numbers_mean_the_same_in_every_spelling(parts: list[int], mark: str) -> None:
    spelled = mark.join(f"{p:02d}" for p in parts)
    assert FIND_NUMBER.fullmatch(spelled) and key_of(spelled) == key_of(".".join(map(str, parts))) == tuple(
        parts
    )


def test_records_built_quickly_are_ordinary_ones() -> None:
    spread = Spread(u=1.0)
    quick = swift.reading(1.0, "g", Basis.WEIGHED, spread, "scale", "a!B1", "1")
    usual = Reading(
        value=1.0, unit="g", basis=Basis.WEIGHED, spread=spread, instrument="scale", origin="a!B1", text="1"
    )
    assert quick == usual and type(quick) is Reading and hash(quick) == hash(usual)
    nothing = (None,) * 9
    made = swift.item("i", "1", "Lid", None, 3, *nothing, (), ("P1",), "r", "o", (("a", "b"),))
    plain = Item(
        id="i",
        number="1",
        name="Lid",
        position=3,
        photos=("P1",),
        remarks="r",
        origin="o",
        extra=(("a", "b"),),
    )
    assert made == plain and {f.name for f in fields(Item)} == set(Item.__slots__)
    with pytest.raises(AttributeError):
        made.name = "other"  # type: ignore[misc]
