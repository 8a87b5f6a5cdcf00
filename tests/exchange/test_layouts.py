"""Behaviour: small files in many layouts, each holding what a person reads in it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from bench_files import asked, by_name, by_number, masses, read_book, read_text, rejected, sizes, tree

from lidoff.exchange import read_bench
from lidoff.quantities import Basis

LID_AND_BOLT = {"Lid": 9000.0, "Bolt": 7.1}


def test_pounds_and_inches_in_tabbed_text(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Item No\tDescription\tNo. off\tWt (lb)\tMatl\tSize (in)\tSystem\n"
        "10\tTop lid\t1\t21.8\tAl sheet\t70.9 x 51.2 x 0.09\tCover\n"
        "20\tBolt M6\t40\t0.015\tsteel\t\tFasteners\n30\tTray\t1\t33.07\tAl cast\t71 x 52 x 5.5\tStructure\n",
        name="a.tsv",
    )
    assert masses(got.pack) == {"Top lid": 9888.3137, "Bolt M6": 6.8039, "Tray": 15000.2997}
    assert sizes(by_name(got.pack)["Top lid"]) == [1800.86, 1300.48, 2.286]
    assert asked(got) == []


def test_a_german_workbook_with_a_row_of_units_and_a_total(tmp_path: Path) -> None:
    got = read_book(
        tmp_path,
        {
            "Stückliste": [
                ["Zerlegung Falke"], [],
                ["Ebene", "Pos.", "Benennung", "Menge", "Masse je Stück", "Länge", "Breite", "Höhe", "Foto"],
                ["", "", "", "Stk", "[g]", "[mm]", "[mm]", "[mm]", ""],
                [0, "1", "Batterie komplett", 1, "", 1800, 1200, 140, ""],
                [1, "1.1", "Deckel", 1, 8450, 1780, 1180, 1.5, "Bild 12-14"],
                [1, "1.2", "Schraube M6", 48, 7.1, "", "", "", ""],
                ["", "", "Gesamt", "", 8790.8, "", "", "", ""],
            ]
        },
    )  # fmt: skip
    assert masses(got.pack) == {"Batterie komplett": None, "Deckel": 8450.0, "Schraube M6": 7.1}
    assert by_name(got.pack)["Deckel"].photos == ("Bild 12", "Bild 13", "Bild 14")
    assert asked(got) == [] and any("Gesamt" in note for note in got.notes)


@pytest.mark.parametrize(
    "text",
    [
        "Part,Qty,Mass g\nBattery,1,\n  Cover,1,\n    Panel,1,9000\n  Module,4,\n    Cell,24,900\n",
        "Level;Part;Qty;Mass g\n0;Battery;1;\n1;Cover;1;\n2;Panel;1;9000\n1;Module;4;\n2;Cell;24;900\n",
        "Stufe;Teil;Anz;Masse g\n.;Battery;1;\n..;Cover;1;\n...;Panel;1;9000\n"
        "..;Module;4;\n...;Cell;24;900\n",
        "No;Part;Qty;Mass g\n1;Battery;1;\n1.1;Cover;1;\n1.1.1;Panel;1;9000\n"
        "1.2;Module;4;\n1.2.1;Cell;24;900\n",
        "No;Part;Qty;Mass g\n1;Battery;1;\n1-1;Cover;1;\n1-1-1;Panel;1;9000\n"
        "1-2;Module;4;\n1-2-1;Cell;24;900\n",
        "ID;Part;Parent;Qty;Mass g\nP1;Battery;;1;\nP2;Cover;P1;1;\nP3;Panel;P2;1;9000\nP4;Module;P1;4;\n"
        "P5;Cell;P4;24;900\n",
        "No;Part;Qty;Mass g\nA;Battery;1;\nA1;Cover;1;\nA1.1;Panel;1;9000\nA2;Module;4;\nA2.1;Cell;24;900\n",
        "Teil;Menge;Masse g\nBattery;1;\n- Cover;1;\n-- Panel;1;9000\n- Module;4;\n-- Cell;24;900\n",
    ],
    ids=["indented", "level", "dots", "dotted", "dashed", "parent", "letters", "marks"],
)  # fmt: skip
def test_the_tree_is_built_from_what_the_file_gives(tmp_path: Path, text: str) -> None:
    got = read_text(tmp_path, text)
    assert tree(got.pack) == {
        "Battery": None, "Cover": "Battery", "Panel": "Cover", "Module": "Battery", "Cell": "Module",
    }  # fmt: skip
    assert asked(got) == [] and rejected(got) == []


def test_names_stepping_to_the_right_are_a_tree(tmp_path: Path) -> None:
    for heads in (["No", "Description", "", ""], ["No", "Level 0", "Level 1", "Level 2"]):
        rows = [
            [*heads, "Qty", "Mass (kg)"], [1, "Pack", "", "", 1, ""], [2, "", "Lid", "", 1, ""],
            [3, "", "", "Sheet", 1, 9.1], [4, "", "", "Bolt", 40, 0.007], [5, "", "Tray", "", 1, 15.2],
        ]  # fmt: skip
        got = read_book(tmp_path, {"BOM": rows})
        assert tree(got.pack) == {"Pack": None, "Lid": "Pack", "Sheet": "Lid", "Bolt": "Lid", "Tray": "Pack"}


def test_numbers_in_blocks_are_a_tree(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "No;Name;Qty;Mass g\n100;Cover;1;\n110;Panel;1;9000\n120;Screw;20;4\n200;Tray;1;\n210;Rail;2;3000\n",
    )
    assert tree(got.pack) == {"Cover": None, "Panel": "Cover", "Screw": "Cover", "Tray": None, "Rail": "Tray"}


def test_lone_headings_between_rows_head_groups(tmp_path: Path) -> None:
    got = read_text(
        tmp_path, "Part;Qty;Mass [g]\nCOVER;;\nPanel;1;9000\nScrew;20;4.1\nFRAME;;\nRail;2;3000\nNode;4;600\n"
    )
    assert tree(got.pack) == {
        "COVER": None, "Panel": "COVER", "Screw": "COVER", "FRAME": None, "Rail": "FRAME", "Node": "FRAME",
    }  # fmt: skip


def test_totals_are_divided_by_the_quantity(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Bezeichnung;Anzahl;Gesamtgewicht [kg]\n1;Deckel;1;9,9\n2;Schraube;100;0,41\n3;Zelle;96;275,52\n",
    )
    assert masses(got.pack) == {"Deckel": 9900.0, "Schraube": 4.1, "Zelle": 2870.0}


@pytest.mark.parametrize(
    ("rows", "merged"),
    [
        (
            [
                ["Part", "", "Qty", "Mass [g]", "", "Size [mm]", "", ""],
                ["No", "Name", "", "each", "total", "L", "W", "H"],
                ["1", "Lid", 1, 9000, 9000, 1800, 1200, 2], ["2", "Bolt", 40, 7.1, 284, "", "", ""],
            ],
            ["A1:B1", "D1:E1", "F1:H1"],
        ),
        (
            [
                ["Pos", "Bezeichnung", "Menge", "Masse", "", "Abmessungen", "", ""],
                ["", "", "", "je Stk [g]", "gesamt [g]", "L [mm]", "B [mm]", "H [mm]"],
                ["1", "Lid", 1, 9000, 9000, 1800, 1200, 2], ["2", "Bolt", 40, 7.1, 284, "", "", ""],
            ],
            [],
        ),
    ],
    ids=["merged", "blanks"],
)  # fmt: skip
def test_headings_of_two_rows(tmp_path: Path, rows: list[list[object]], merged: list[str]) -> None:
    got = read_book(tmp_path, {"BOM": rows}, merged=merged)
    assert masses(got.pack) == LID_AND_BOLT
    assert sizes(by_name(got.pack)["Lid"]) == [1800.0, 1200.0, 2.0] and asked(got) == []


def test_a_blank_column_within_a_table_does_not_part_it(tmp_path: Path) -> None:
    rows = [
        ["No", "Part", "", "Material", "Qty", "Mass g"],
        ["1", "Lid", "", "Al", 1, 9000],
        ["2", "Bolt", "", "steel", 40, 7.1],
    ]
    assert masses(read_book(tmp_path, {"BOM": rows}).pack) == LID_AND_BOLT


def test_tables_beside_each_other_are_apart(tmp_path: Path) -> None:
    rows = [
        ["Pos", "Part", "Qty", "Mass [g]", "", "Removal", "Minutes"], ["1", "Lid", 1, 9000, "", 1, 40],
        ["2", "Bolt", 40, 7.1, "", 2, 30],
    ]  # fmt: skip
    got = read_book(tmp_path, {"All": rows})
    assert masses(got.pack) == LID_AND_BOLT
    assert [r.duration.value / 60.0 for r in got.pack.removals] == [40.0, 30.0]


@pytest.mark.parametrize("text", [
    "Pack Gull\n\n| Pos | Part | Qty | Mass (g) |\n|---|:--|--:|---:|\n"
    "| 1 | Lid | 1 | 9000 |\n| 2 | Bolt | 40 | 7.1 |\n",
    "Pos | Part | Qty | Mass (g)\n1 | Lid | 1 | 9000\n2 | Bolt | 40 | 7.1\n",
    "PARTS\n\nPos   Part         Qty   Mass g\n1     Lid          1     9000\n2     Bolt         40    7.1\n",
    'sep=;\nPos;Part;Qty;"Mass\n(g)"\n1;Lid;1;9000\n2;Bolt;40;7,1\n',
    'Pos,Part,Qty,Mass (kg)\n1,Lid,1,"9,000"\n2,Bolt,40,"0,0071"\n',
    'Pos;Part;Qty;Mass g;Material\n1;Lid;1;9000;"Al; 5754"\n2;Bolt;40;7.1;""\n',
], ids=["markdown", "piped", "fixed", "declared", "quoted", "semicolon in quotes"])  # fmt: skip
def test_text_tables_of_every_kind(tmp_path: Path, text: str) -> None:
    got = read_text(tmp_path, text, name="table.txt")
    assert masses(got.pack) == LID_AND_BOLT and rejected(got) == []


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "cp1252", "cp850", "utf-16", "utf-16-le", "mac_roman"]
)
def test_every_encoding(tmp_path: Path, encoding: str) -> None:
    text = "Pos;Bezeichnung;Länge mm;Menge;Masse g\n1;Längsträger außen, Größe ü;1800;2;9000\n"
    got = read_text(tmp_path, text, encoding=encoding)
    assert masses(got.pack) == {"Längsträger außen, Größe ü": 9000.0}


@pytest.mark.parametrize(
    ("head", "rows"),
    [
        ("Repère;Désignation;Quantité;Masse unitaire (g);Longueur (mm);Largeur (mm);Épaisseur (mm);Fonction",
         ["couvercle", "visserie"]),
        ("Pos;Descrizione;Quantità;Peso unitario [g];Lunghezza mm;Larghezza mm;Spessore mm;Funzione",
         ["coperchio", "viteria"]),
        ("Nº;Descripción;Cantidad;Peso (g);Largo mm;Ancho mm;Alto mm;Función", ["tapa", "tornillería"]),
        ("Pos;Omschrijving;Aantal;Gewicht per stuk (g);Lengte mm;Breedte mm;Dikte mm;Functie",
         ["deksel", "bevestiging"]),
    ],
    ids=["French", "Italian", "Spanish", "Dutch"],
)  # fmt: skip
def test_other_languages(tmp_path: Path, head: str, rows: list[str]) -> None:
    got = read_text(tmp_path, f"{head}\n1;Lid;1;9000;1800;1200;1,5;{rows[0]}\n2;Bolt;40;7,1;;;;{rows[1]}\n")
    assert masses(got.pack) == LID_AND_BOLT and asked(got) == []
    items = by_name(got.pack)
    assert sizes(items["Lid"]) == [1800.0, 1200.0, 1.5]
    assert [items[n].function.means for n in LID_AND_BOLT] == ["cover", "fasteners"]  # type: ignore[union-attr]


def test_a_table_without_headings_is_read_by_what_it_holds_and_asked_about(tmp_path: Path) -> None:
    got = read_text(tmp_path, "1;Lid;1;9000;Al\n2;Bolt;40;7,1;Stahl\n3;Tray;1;15000;Al\n")
    assert masses(got.pack) == LID_AND_BOLT | {"Tray": 15000.0}
    assert any("no headings" in q for q in asked(got))


def test_ditto_marks_are_written_out(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        'Pos;Name;Qty;Mass g;Material\n1;Lid;1;9000;Al 5754\n2;Rail;2;3000;""""\n3;Node;4;600;dto.\n',
    )
    assert [i.material.text for i in got.pack.items if i.material] == ["Al 5754"] * 3


def test_what_no_heading_claims_is_kept(tmp_path: Path) -> None:
    got = read_text(tmp_path, "Pos;Name;Qty;Mass g;Colour code\n1;Lid;1;9000;C-17\n2;Bolt;40;7.1;\n")
    assert by_name(got.pack)["Lid"].extra == (("Colour code", "C-17"),)


def test_the_mass_of_an_assembly_is_a_weighing_of_it(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Qty;Mass kg;Basis\n1;Pack;1;301.5;weighed\n1.1;Lid;1;9.1;weighed\n"
        "1.2;Module;2;24.1;weighed\n"
        "1.2.1;Cell;24;0.9;weighed\n1.2.2;Frame;1;2.2;estimated\n",
    )
    module = by_number(got.pack)["1.2"]
    assert module.mass is None and [w.value for w in module.weighings] == [24.1]
    weighed = got.pack.fact("mass_weighed")
    assert weighed is not None and weighed.value == 301.5


def test_a_front_page_in_any_form_is_facts(tmp_path: Path) -> None:
    parts = [["Pos", "Part", "Qty", "Mass g"], ["1", "Lid", 1, 9000]]
    rows = {
        "unit beside": [["Batterie", "Falke"], ["Gewicht", "301,5", "kg"], ["Länge", 1800, "mm"],
                        ["Kühlmittel", "abgelassen"]],
        "pairs": [["Pack:", "Falke", "Mass:", "301.5 kg"], ["Length [mm]:", 1800, "Coolant:", "drained"]],
        "table": [["Merkmal", "Wert", "Einheit"], ["Batterie", "Falke", ""], ["Gewicht", "301,5", "kg"],
                  ["Länge", 1800, "mm"], ["Kühlmittel", "abgelassen", ""]],
        "one cell": [["Pack: Falke"], ["Weight: 301.5 kg (drained)"], ["Length: 1800 mm"]],
    }  # fmt: skip
    for front in rows.values():
        pack = read_book(tmp_path, {"Front": front, "Parts": parts}).pack
        values = [pack.fact(k).value for k in ("mass_weighed", "envelope_length", "coolant_in_weighing")]  # type: ignore[union-attr]
        assert (pack.name, values) == ("Falke", [301.5, 1.8, 0.0])


def test_a_log_in_other_ways(tmp_path: Path) -> None:
    clocked = read_text(
        tmp_path,
        "Nr;Uhrzeit von;Uhrzeit bis;Tätigkeit;Personen\n04.03.2026;;;;\n1;8 Uhr 10;8 Uhr 40;Sichtprüfung;2\n"
        "2;8:40 Uhr;9:10 Uhr;Deckel ab;zwei\n;9:10 Uhr;9:30 Uhr;Pause;\n05.03.2026;;;;\n"
        "3;7:30 Uhr;9:00 Uhr;Module;MK, JS\n",
    )
    steps = clocked.pack.steps
    assert [(s.day, s.start, s.finish) for s in steps] == [
        (1, 29400, 31200), (1, 31200, 33000), (1, 33000, 34200), (2, 27000, 32400),
    ]  # fmt: skip
    assert [s.people.value for s in steps if s.people] == [2, 2, 2] and steps[2].is_break
    half = read_text(tmp_path, "Time;Duration (min);What\n8:00 AM;20;bolts off\n1:05 PM;1 h 10 min;cells\n")
    assert [(s.start, s.finish) for s in half.pack.steps] == [(28800, 30000), (47100, 51300)]
    bare = read_text(tmp_path, "Step;What;Minutes\n1;drain;20\n2;lid off;45\n")
    assert [s.duration for s in bare.pack.steps] == [1200, 2700] and any("durations" in n for n in bare.notes)
    dotted = read_text(tmp_path, "Nr;Beginn;Ende;Tätigkeit\n1;8.10;8.40;a\n2;8.40;9.10;b\n")
    assert [s.start for s in dotted.pack.steps] == [29400, 31200] and asked(dotted) == []


def test_spreadsheet_times_of_every_type(tmp_path: Path) -> None:
    rows = [
        ["Step", "Start", "Finish", "What"], [1, dt.time(8, 10), dt.time(8, 40), "a"],
        [2, dt.datetime(2026, 3, 4, 8, 40), dt.datetime(2026, 3, 4, 9, 10), "b"], [3, 0.4, 0.5, "c"],
        [4, 1210, 1300, "d"],
    ]  # fmt: skip
    got = read_book(tmp_path, {"Log": rows})
    assert [(s.start, s.finish) for s in got.pack.steps] == [
        (29400, 31200), (31200, 33000), (34560, 43200), (43800, 46800),
    ]  # fmt: skip


def test_joints_in_other_ways(tmp_path: Path) -> None:
    parts = "Pos;Name;Menge;Masse g\n1;Deckel;1;9000\n2;Wanne;1;15000\n\n"
    paired = read_text(
        tmp_path, parts + "Verbindung;Art;Anzahl;Werkzeug;Lösemoment [Nm]\n"
                          "1 - 2;Schraube M6;40;T30;9,5 / 9,8\n"
        "Deckel / Wanne;Dichtraupe;6,2 m;Messer;\nWanne - Fahrzeug;M12;10;SW18;110\n",
    )  # fmt: skip
    ids = {i.name: i.id for i in paired.pack.items}
    assert [(j.first, j.second) for j in paired.pack.joints] == [
        (ids["Deckel"], ids["Wanne"]), (ids["Deckel"], ids["Wanne"]), (ids["Wanne"], None),
    ]  # fmt: skip
    assert [t.value for t in paired.pack.joints[0].torques] == [9.5, 9.8]
    from_to = read_text(tmp_path, parts + "From;To;Type;Qty;Torque [in-lb]\nDeckel;Wanne;M6 bolt;40;88\n")
    (joint,) = from_to.pack.joints
    assert (joint.first, joint.second) == (ids["Deckel"], ids["Wanne"])
    assert joint.torques[0].value == pytest.approx(88 * 0.1129848290276167, rel=1e-9)  # inch-pound in N·m


def test_removals_in_one_line(tmp_path: Path) -> None:
    got = read_text(tmp_path, "Removal times: 41, 27, 21 min\n\nPos,Part,Qty,Mass (g)\n1,Lid,1,9000\n")
    assert [(r.ordinal, r.duration.value / 60.0) for r in got.pack.removals] == [(1, 41), (2, 27), (3, 21)]


def test_bases_of_masses(tmp_path: Path) -> None:
    got = read_text(
        tmp_path,
        "Pos;Name;Menge;Masse g;Quelle\n1;A;1;5;gewogen\n2;B;1;5;lt. Katalog\n"
        "3;C;1;5;geschätzt\n4;D;1;~5;gewogen\n"
        "5;E;1;5;Aufdruck\n6;F;1;5;Differenz\n7;G;1;;nicht gewogen\n8;H;1;5;aus CAD berechnet\n",
    )
    bases = [i.mass.basis if i.mass else None for i in got.pack.items]
    assert bases == [
        Basis.WEIGHED, Basis.PUBLISHED, Basis.ESTIMATED, Basis.ESTIMATED, Basis.MARKED, Basis.BY_DIFFERENCE,
        None, Basis.BY_MODEL,
    ]  # fmt: skip
    assert asked(got) == []


@pytest.mark.parametrize("kind", ["xls", "ods"])
def test_older_and_open_workbooks(tmp_path: Path, kind: str) -> None:
    rows = [["Pos", "Part", "Qty", "Mass g"], ["1", "Lid", 1, 9000.0], ["2", "Bolt", 40, 7.1]]
    path = tmp_path / f"bench.{kind}"
    if kind == "xls":
        import xlwt

        book = xlwt.Workbook()
        sheet = book.add_sheet("Parts")
        for r, row in enumerate(rows):
            for c, cell in enumerate(row):
                sheet.write(r, c, cell)
        book.save(str(path))
    else:
        from odf.opendocument import OpenDocumentSpreadsheet
        from odf.table import Table, TableCell, TableRow
        from odf.text import P

        document = OpenDocumentSpreadsheet()
        table = Table(name="Parts")
        for row in rows:
            line = TableRow()
            for cell in row:
                number = isinstance(cell, float | int)
                made = TableCell(valuetype="float", value=cell) if number else TableCell(valuetype="string")
                made.addElement(P(text=str(cell)))
                line.addElement(made)
            table.addElement(line)
        document.spreadsheet.addElement(table)
        document.save(str(path))
    assert masses(read_bench(path, pack_id="p").pack) == LID_AND_BOLT
