"""Behaviour: slips are asked about with a proposal, clean lines are not; bad cells are told."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from bench_files import asked, by_name, by_number, masses, read_book, read_text, rejected, tree

from lidoff.records import EditKind, Question


def question(imported: object, where: str) -> Question:
    found = [q for q in imported.pack.questions if q.where.startswith(where)]  # type: ignore[attr-defined]
    assert len(found) == 1, [q.where for q in imported.pack.questions]  # type: ignore[attr-defined]
    return found[0]


def test_a_find_number_that_lost_its_zero_is_put_right_and_asked_about(tmp_path: Path) -> None:
    numbers = ["1", *(float(f"1.{n}") for n in range(1, 10)), 1.1, "1.10.1", 1.11]
    rows = [[n, f"Part {at}", 1, 5.0 + at] for at, n in enumerate(numbers)]
    got = read_book(tmp_path, {"P": [["Find no.", "Name", "Qty", "Mass [g]"], *rows]})
    assert [i.number for i in got.pack.items][-3:] == ["1.10", "1.10.1", "1.11"]
    assert tree(got.pack)["Part 11"] == "Part 10"
    assert question(got, "P!A12").taken == "1.10"


def test_a_find_number_that_became_a_date_is_put_right_and_asked_about(tmp_path: Path) -> None:
    rows = [
        ["1", "Pack"],
        ["1.1", "A"],
        [dt.datetime(2001, 1, 1), "A1"],
        [dt.datetime(2002, 1, 1), "A2"],
        ["1.2", "B"],
    ]
    got = read_book(tmp_path, {"P": [["Pos.", "Name", "Menge", "Masse [g]"], *([*r, 1, 5] for r in rows)]})
    assert [i.number for i in got.pack.items] == ["1", "1.1", "1.1.1", "1.1.2", "1.2"]
    assert [q.where for q in got.pack.questions] == ["P!A4", "P!A5"]


def test_a_line_entered_twice_is_held_and_asked_about(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Menge;Masse g;Funktion\n1;Mutter M8;26;11,2;Befestigung\n"
        "1;Mutter M8;26;11,2;Schrauben\n2;Deckel;1;9000;\n",
    )
    assert [i.held for i in got.pack.items] == [False, True, False]
    (edit,) = question(got, "bench!A3").edits
    assert (edit.kind, edit.target) == (EditKind.REMOVE, got.pack.items[1].id)


def test_one_number_for_two_things_is_asked_about_and_both_stay(tmp_path: Path) -> None:
    got = read_text(
        tmp_path, "Pos;Name;Menge;Masse g\n1;Mutter M8;26;11,2\n1;Schraube;4;5\n2;Deckel;1;9000\n"
    )
    assert not any(i.held for i in got.pack.items) and "Schraube" in question(got, "bench!A3").what


def test_like_parts_in_different_places_are_no_doubles(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Menge;Masse g\n1;A;1;\n1.1;Nut;4;5\n1.2;Rail left;1;90\n"
        "1.3;Rail left;1;90\n2;B;1;\n2.1;Nut;4;5\n",
    )
    assert not any(i.held for i in got.pack.items) and asked(got) == []


def test_a_level_that_contradicts_its_number_is_asked_about(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Lvl;No;Name;Qty;Mass g\n0;1;Pack;1;\n1;1.1;Cover;1;\n2;1.1.1;Panel;1;9000\n"
        "1;1.1.2;Screw;20;4\n1;1.2;Tray;1;\n"
        "2;1.2.1;Rail;2;3000\n",
    )
    asking = question(got, "bench!A5")
    assert tree(got.pack)["Screw"] == "Cover"
    assert [(e.field, e.value) for e in asking.edits] == [("parent", by_number(got.pack)["1"].id)]


def test_a_function_nobody_knows_is_asked_about_once_with_the_nearest(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass g;Function\n1;Screw;2;5;fastners\n2;Nut;2;9;fastners\n"
        "3;Bracket;2;70;zorb\n4;Lid;1;9000;cover\n",
    )
    near = question(got, "bench!E2")
    assert (
        near.proposed == "fasteners"
        and {e.value for e in near.edits} == {"fasteners"}
        and len(near.edits) == 2
    )
    assert "zorb" in question(got, "bench!E4").what and len(got.pack.questions) == 2


@pytest.mark.parametrize(
    ("count", "value", "proposed"), [("2.5", 2.5, "2"), ("1,5", 1.5, "2")], ids=["point", "comma"]
)
def test_a_fraction_of_a_piece_is_asked_about(
    tmp_path: Path, count: str, value: float, proposed: str
) -> None:
    got = read_text(tmp_path, f"Pos;Name;Qty;Mass g\n1;Lid;{count};9000\n2;Bolt;40;7\n")
    quantity = by_name(got.pack)["Lid"].quantity
    assert quantity is not None and quantity.value == value
    assert question(got, "bench!C2").proposed == proposed


def test_a_mass_column_without_unit_is_asked_about_once(tmp_path: Path) -> None:
    got = read_text(tmp_path, "Pos;Name;Qty;Mass;Length mm\n1;Lid;1;9000;1800\n2;Bolt;40;7.1;16\n")
    assert masses(got.pack) == {"Lid": 9000.0, "Bolt": 7.1}
    assert [q.where for q in got.pack.questions] == ["bench!D1 (line 1, column Mass)"]


def test_units_stated_in_a_note_hold_for_the_file(tmp_path: Path) -> None:
    for note in ("masses in kg, sizes in cm unless said", "alle Massen in kg, Maße in cm"):
        got = read_text(tmp_path, f"{note}\nPos;Name;Qty;Mass;Length\n1;Lid;1;9;180\n2;Bolt;40;7.1 g;1.6\n")
        assert masses(got.pack) == {"Lid": 9000.0, "Bolt": 7.1} and asked(got) == []
        length = by_name(got.pack)["Lid"].length
        assert length is not None and length.value == pytest.approx(1.8, rel=1e-12)


def test_letters_for_digits_are_not_read_but_proposed(tmp_path: Path) -> None:
    got = read_text(tmp_path, "Pos;Name;Qty;Mass g\n1;Lid;1;9OO0\n2;Bolt;40;7.1\n3;Nut;4;5\n")
    assert by_name(got.pack)["Lid"].mass is None
    assert question(got, "bench!D2").edits[0].value == pytest.approx(9.0, rel=1e-12)


def test_an_unsure_mark_is_asked_about_with_the_other_value(tmp_path: Path) -> None:
    got = read_text(tmp_path, "Pos;Name;Qty;Mass g\n1;Lid;1;1,630\n2;Bolt;40;7\n3;Nut;4;5\n")
    asking = question(got, "bench!D2")
    assert masses(got.pack)["Lid"] == 1630.0 and asking.edits[0].value == pytest.approx(0.00163, rel=1e-12)


def test_each_and_total_that_disagree_are_asked_about(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass each g;Mass total g\n1;Lid;1;9000;9000\n2;Bolt;40;7.1;284\n3;Nut;10;5;500\n",
    )
    assert [q.where[:9] for q in got.pack.questions] == ["bench!D4 "]
    assert question(got, "bench!D4").edits[0].value == pytest.approx(0.05, rel=1e-12)


def test_several_weighed_together_must_bear_the_mass_out(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass g;Remarks\n1;Screw;62;7.1;10 off = 71 g\n"
        "2;Nut;26;71;10 off = 71 g\n3;Lid;1;9000;\n",
    )
    screw = by_name(got.pack)["Screw"].mass
    assert screw is not None and screw.count == 10
    assert question(got, "bench!D3").edits[0].value == pytest.approx(0.0071, rel=1e-12)


def test_times_that_cannot_be_are_told(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Nr;Start;Finish;What\n1;08:10;08:40;a\n2;08:40;25:70;b\n3;11.46;12:10;c\n"
        "4;12:50;12:10;d\n5;13:00;13:30;e\n",
    )
    assert [r.split(":", 1)[0] for r in rejected(got)] == ["bench!C3 (line 3, column Finish)"]
    assert [q.where[:8] for q in got.pack.questions] == ["bench!B4", "bench!C5"]


def test_a_reference_to_no_line_is_asked_about(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass g\n1.1;Lid;1;9000\n1.2;Tray;1;5000\n\n"
        "Between;And;What;Off;Tool\n1.1;1.9;screw;4;T30\n"
        "1.2;vehicle;bolt;10;18 mm\n",
    )
    assert "1.9" in question(got, "bench!B6").what and len(got.pack.questions) == 1


def test_weighings_in_a_line_are_readings_of_the_assembly(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Menge;Masse g\n1;Modul;3;\n1.1;Zelle;24;900\n1.2;Gehäuse;1;2000\n"
        ";3 Module im Ganzen gewogen [kg]: 23,61 23,58 23,60;;\n",
    )
    weighings = by_number(got.pack)["1"].weighings
    assert [w.value for w in weighings] == [23.61, 23.58, 23.60] and "23.600 kg" in question(
        got, "bench!B5"
    ).what


def test_every_edit_of_a_question_aims_at_a_record(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass g;Function\n1;Lid;2.5;1,630;fastners\n2;Nut;4;5;cover\n2;Nut;4;5;lid\n\n"
        "Nr;Start;Finish;What\n1;08:10;08:40;a\n2;08:40;09:10;b\n3;09.10;10:00;c\n",
    )
    records = {r.id for r in (*got.pack.items, *got.pack.joints, *got.pack.steps, *got.pack.facts)}
    edits = [e for q in got.pack.questions for e in q.edits]
    assert len(edits) >= 4 and all(e.target in records for e in edits)
