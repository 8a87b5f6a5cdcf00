"""Small bench files by hand, in quite different styles, read as an engineer reads them.

Behaviour tests: what is expected stands beside each file and was worked out from its text.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from styles import books, texts

from lidoff.exchange import read_bench
from lidoff.quantities import Basis
from lidoff.records import Function, Item, Pack

#: Exact by definition: the pound in kilograms since 1959; the inch is 25.4 mm.
POUND, OUNCE, INCH = 0.45359237, 0.028349523125, 0.0254

#: (name, parent's name, pieces, kilograms each)
Want = list[tuple[str, str | None, int, float | None]]

TREES: list[tuple[Callable[[Path], Path], Want]] = [
    (texts.french, [
        ("Capot complet", None, 1, None), ("Tôle de capot", "Capot complet", 1, 11.4),
        ("Vis de capot M6x16", "Capot complet", 48, 0.0068), ("Barre de liaison", None, 6, 0.171)]),
    (texts.american, [
        ("Lid assembly", None, 1, None), ("Lid panel", "Lid assembly", 1, 25.13 * POUND),
        ("Lid screw", "Lid assembly", 48, 0.24 * OUNCE), ("Skid plate", None, 1, 14.79 * POUND)]),
    (texts.piped, [
        ("Switch box", None, 1, None), ("Main contactor", "Switch box", 2, 0.412),
        ("Box base", "Switch box", 1, 0.486), ("Box bars", "Switch box", 1, 0.640)]),
    (texts.pasted, [
        ("Batterie", None, 1, None), ("Deckel komplett", "Batterie", 1, None),
        ("Deckelblech", "Deckel komplett", 1, 9.9), ("Deckelschraube", "Deckel komplett", 94, 0.0041),
        ("Wanne", "Batterie", 1, None), ("Wannenblech", "Wanne", 1, 29.4),
        ("Querträger", "Wanne", 4, 2.16), ("Schweißmutter", "Wanne", 8, 0.0026)]),
    (texts.totals, [
        ("Cover", None, 1, None), ("Cover panel", "Cover", 1, 20.15),
        ("Cover screw", "Cover", 62, 0.4402 / 62), ("Damping sheet", "Cover", 4, 0.505)]),
    (texts.kilograms, [
        ("Wanne", None, 1, None), ("Wannenblech", "Wanne", 1, 29.4), ("Querträger", "Wanne", 4, 2.16),
        ("Schweißmutter M5", "Wanne", 94, 0.0026)]),
    (texts.shared_column, [
        ("Carrier", None, 1, 0.54), ("Cover panel", None, 1, 20.15), ("Side rail", None, 2, 9.09)]),
    (texts.unit_in_each_cell, [
        ("Deckelblech", None, 1, 11.4), ("Deckelschraube", None, 48, 0.0068),
        ("Längsträger", None, 2, 9.09), ("Dichtung", None, 1, 0.16)]),
    (texts.swiss, [
        ("Rahmen", None, 1, None), ("Längsträger", "Rahmen", 2, 9.0905), ("Querträger", "Rahmen", 4, 1.63),
        ("Blindnietmutter", "Rahmen", 62, 0.0042)]),
    (books.two_headings, [
        ("Frame", None, 1, None), ("Side rail", "Frame", 2, 9.09), ("Corner node", "Frame", 4, 0.668),
        ("Rivet nut M6", "Frame", 62, 0.0042)]),
    (books.far_corner, [
        ("Cooling circuit", None, 1, None), ("Cold plate", "Cooling circuit", 2, 5.21),
        ("Supply hose", "Cooling circuit", 1, 0.206), ("Harness", None, 1, 1.98)]),
    (books.typed_numbers, [
        ("Bus bar set", None, 1, None), ("Module link", "Bus bar set", 11, 0.171),
        ("Return bar, complete", "Bus bar set", 1, None), ("Return bar", "Return bar, complete", 1, 1.48),
        ("Bar sleeve", "Return bar, complete", 1, 0.035),
        ("Bar nut M8", "Bus bar set", 26, 0.0112)]),
    (books.side_notes, [
        ("Deckel", None, 1, 9.9), ("Wanne", None, 1, 29.4), ("Schraube M5", None, 94, 0.0041)]),
]  # fmt: skip


def _pack(path: Path) -> Pack:
    return read_bench(path, pack_id="p").pack


def _named(pack: Pack, name: str) -> Item:
    (item,) = [item for item in pack.items if item.name == name]
    return item


@pytest.mark.parametrize(("write", "wanted"), TREES, ids=[write.__name__ for write, _ in TREES])
def test_tree_counts_and_masses(tmp_path: Path, write: Callable[[Path], Path], wanted: Want) -> None:
    pack = _pack(write(tmp_path))
    names = {item.id: item.name for item in pack.items}
    got = [(item.name, names.get(item.parent or "")) for item in pack.items if not item.held]
    assert got == [(name, parent) for name, parent, _, _ in wanted]
    for name, _, pieces, mass in wanted:
        item = _named(pack, name)
        assert item.quantity is not None and item.quantity.value == pieces, name
        if mass is None:
            assert item.mass is None, name
        else:  # floats carry some fifteen digits; the file's own figures must come through whole
            assert item.mass is not None and item.mass.value == pytest.approx(mass, rel=1e-9), name
    assert pack.questions == () and pack.rejections == ()


@pytest.mark.parametrize(
    ("write", "name", "metres"),
    [
        (texts.french, "Tôle de capot", (1.8, 0.9, 0.0009)),
        (texts.american, "Lid panel", (70.9 * INCH, 35.4 * INCH, 0.035 * INCH)),
        (texts.kilograms, "Wannenblech", (2.18, 1.51, 0.0012)),
        (texts.unit_in_each_cell, "Deckelblech", (1.8, 0.9, 0.0009)),
        (texts.unit_in_each_cell, "Längsträger", (2.56, 0.075, 0.098)),
        (texts.unit_in_each_cell, "Dichtung", (6.3, 0.014, 0.006)),
        (books.two_headings, "Corner node", (0.16, 0.12, 0.09)),
    ],
)
def test_sizes(
    tmp_path: Path, write: Callable[[Path], Path], name: str, metres: tuple[float, float, float]
) -> None:
    item = _named(_pack(write(tmp_path)), name)
    got = (item.length, item.width, item.thickness or item.wall)
    assert [reading.value if reading else None for reading in got] == pytest.approx(list(metres), rel=1e-9)


@pytest.mark.parametrize(
    ("write", "functions"),
    [
        (texts.french, {"Tôle de capot": "cover", "Vis de capot M6x16": "fasteners"}),
        (texts.french, {"Barre de liaison": "busbars"}),
        (texts.american, {"Lid panel": "cover", "Lid screw": "fasteners", "Skid plate": "tray"}),
        (texts.piped, {"Main contactor": "switching", "Box bars": "busbars"}),
        (books.far_corner, {"Cold plate": "cooling", "Harness": "monitoring"}),
    ],
)  # fmt: skip
def test_functions_in_the_benchs_own_words(
    tmp_path: Path, write: Callable[[Path], Path], functions: dict[str, str]
) -> None:
    pack = _pack(write(tmp_path))
    words = {name: _named(pack, name).function for name in functions}
    assert {name: word.means if word else None for name, word in words.items()} == functions
    assert set(functions.values()) <= set(Function)


def test_material_and_process_in_one_column_are_both_kept(tmp_path: Path) -> None:
    pack = _pack(texts.shared_column(tmp_path))
    for name, material, process in (
        ("Carrier", "PA66-GF30", "injection moulded"), ("Cover panel", "steel", "deep drawn"),
        ("Side rail", "Al 6060", "extruded"),
    ):  # fmt: skip
        item = _named(pack, name)
        assert item.material is not None and item.material.text.startswith(material)
        assert item.process is not None and process in item.process.text


def test_evidence_of_masses(tmp_path: Path) -> None:
    pack = _pack(books.typed_numbers(tmp_path))
    bases = {item.number: item.mass.basis for item in pack.items if item.mass}
    assert bases == {
        "1.1": Basis.WEIGHED, "1.2.1": Basis.WEIGHED, "1.2.2": Basis.ESTIMATED, "1.3": Basis.PUBLISHED,
    }  # fmt: skip
    beam = _named(_pack(texts.unit_in_each_cell(tmp_path)), "Längsträger")
    assert beam.mass is not None and beam.mass.basis is Basis.ESTIMATED


def test_a_sheet_for_each_assembly(tmp_path: Path) -> None:
    pack = _pack(books.sheet_by_assembly(tmp_path))
    parts = {item.number: (item.name, item.mass.value) for item in pack.items if item.mass}
    assert parts == {
        "1.1": ("Deckelblech", pytest.approx(9.9, rel=1e-9)),
        "1.2": ("Deckelschraube", pytest.approx(0.0041, rel=1e-9)),
        "2.1": ("Wannenblech", pytest.approx(29.4, rel=1e-9)),
        "2.2": ("Querträger", pytest.approx(2.16, rel=1e-9)),
    }


def test_a_log_by_itself_with_a_date_on_each_days_first_line(tmp_path: Path) -> None:
    pack = _pack(texts.german_log(tmp_path))
    got = [(s.day, s.start, s.finish, s.is_break, s.people.value if s.people else None) for s in pack.steps]
    hour = 3600.0
    assert got == [
        (1, 7.5 * hour, 8 * hour + 300, False, 2), (1, 8 * hour + 300, 9 * hour, False, 2),
        (1, 9 * hour, 9 * hour + 1200, True, None), (1, 9 * hour + 1200, 10.75 * hour, False, 2),
        (2, 7.25 * hour, 11.5 * hour, False, 1), (2, 11.5 * hour, 12.25 * hour, True, None),
        (2, 12.25 * hour, 14 * hour, False, 3),
    ]  # fmt: skip
    assert [step.does for step in pack.steps][3] == "Deckel abgehoben"
    assert pack.items == () and pack.questions == ()


def test_a_german_book_with_front_page_joints_and_removals(tmp_path: Path) -> None:
    pack = _pack(books.side_notes(tmp_path))
    keys = ("mass_weighed", "envelope_length", "cells_series", "label_voltage")
    facts = {key: reading.value for key in keys if (reading := pack.fact(key))}
    assert facts == {
        "mass_weighed": 455.5,
        "envelope_length": 1.96,
        "cells_series": 112,
        "label_voltage": 358,
    }
    ids = {item.number: item.id for item in pack.items}
    screws, bolts, bead = pack.joints
    assert (screws.first, screws.second, screws.live) == (ids["1"], ids["2"], False)
    assert [reading.value for reading in screws.torques] == [4.4, 4.6, 4.5]
    assert bolts.second is None and bolts.second_text == "Fahrzeug"
    assert bead.count is None and bead.length is not None and bead.length.value == 6.4
    assert [(r.ordinal, r.duration.value) for r in pack.removals] == [(1, 2460), (2, 1620), (3, 1020)]
