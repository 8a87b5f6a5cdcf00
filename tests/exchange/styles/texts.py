"""Text files by hand, as quite different benches write them."""

from __future__ import annotations

from pathlib import Path


def _write(path: Path, text: str, encoding: str = "utf-8", newline: str = "\n") -> Path:
    path.write_bytes(text.strip("\n").replace("\n", newline).encode(encoding) + newline.encode(encoding))
    return path


def french(folder: Path) -> Path:
    """Semicolons, commas, kilograms, an old code page."""
    return _write(
        folder / "lot.csv",
        """
Repère;Désignation;Qté;Masse unitaire (kg);Matière;Longueur (mm);Largeur (mm);Épaisseur (mm);Fonction
1;Capot complet;1;;;;;;
1.1;Tôle de capot;1;11,4;acier zingué;1800;900;0,9;capot
1.2;Vis de capot M6x16;48;0,0068;acier 8.8;;;;visserie
2;Barre de liaison;6;0,171;cuivre;172;28;4;barres
""",
        "cp1252",
        "\r\n",
    )


def american(folder: Path) -> Path:
    """Pounds and inches, an ounce where the scale showed one, a note on top."""
    return _write(
        folder / "shop.csv",
        """
"Strip list, unit 7 - weights in pounds, dims in inches"
Item,Part,Qty,Wt (lb),L (in),W (in),Thk (in),Matl,Used for,Notes
1,Lid assembly,1,,,,,,,
1-1,Lid panel,1,25.13,70.9,35.4,0.035,"steel, e-coated",lid,
1-2,Lid screw,48 off,0.24 oz,,,,steel 8.8,fasteners,weighed ten together
2,Skid plate,1,14.79,88.6,47.6,0.087,PP-GF30 (marked),frame,dented
""",
    )


def piped(folder: Path) -> Path:
    """A table out of a text note, with the line of dashes under its heading."""
    return _write(
        folder / "note.md",
        """
| No. | Part                | Qty | Mass each (g) | Material   | Function |
|-----|---------------------|----:|--------------:|------------|----------|
| 1   | Switch box          |   1 |               |            |          |
| 1.1 | Main contactor      |   2 |           412 | bought-in  | switching |
| 1.2 | Box base            |   1 |           486 | PBT-GF30   | switching |
| 1.3 | Box bars            |   1 |           640 | Cu         | busbars  |
""",
    )


def pasted(folder: Path) -> Path:
    """Pasted from a mail: tabs between, blanks in front of the name for each level down."""
    return _write(
        folder / "paste.txt",
        """
Teil\tAnzahl\tMasse je Stück [g]\tWerkstoff
Batterie\t1\t\t
  Deckel komplett\t1\t\t
    Deckelblech\t1\t9900\tStahl, verzinkt
    Deckelschraube\t94\t4,1\tStahl 8.8
  Wanne\t1\t\t
    Wannenblech\t1\t29400\tStahl, verzinkt
    Querträger\t4\t2160\tStahl
    Schweißmutter\t8\t2,6\tStahl
""",
    )


def totals(folder: Path) -> Path:
    """Only what all pieces of a line weigh together."""
    return _write(
        folder / "totals.csv",
        """
Pos;Description;Quantity;Total mass [g];Material
1;Cover;1;;
1.1;Cover panel;1;20150;steel
1.2;Cover screw;62;440.2;steel 8.8
1.3;Damping sheet;4;2020;butyl
""",
    )


def kilograms(folder: Path) -> Path:
    """Kilograms in the heading, commas, hard blanks between the thousands of a length."""
    return _write(
        folder / "kilo.csv",
        """
Pos.;Benennung;Menge;Gewicht/Stk. [kg];Werkstoff;Länge [mm];Breite [mm];Dicke [mm];Bemerkung
1;Wanne;1;;;;;;
1.1;Wannenblech;1;29,4;Stahl, verzinkt;2\u00a0180;1\u00a0510;1,2;vor Beschnitt
1.2;Querträger;4;2,160;Stahl;1\u00a0150;172;1,4;
1.3;Schweißmutter M5;94;0,0026;Stahl;;;;Katalogwert
;Summe;;38,28;;;;;
""",
        "utf-16",
        "\r\n",
    )


def shared_column(folder: Path) -> Path:
    """Material and process in one column."""
    return _write(
        folder / "shared.csv",
        """
No,Part,Qty,Mass ea g,Material / process,Fn
1,Carrier,1,540,"PA66-GF30, injection moulded",module
2,Cover panel,1,20150,"steel, deep drawn",lid
3,Side rail,2,9090,"Al 6060, extruded",frame
""",
    )


def german_log(folder: Path) -> Path:
    """A log by itself: a date on each day's first line, times with dots all through, a break."""
    return _write(
        folder / "ablauf.csv",
        """
Zerlegung Pack 3
Datum;Nr.;Beginn;Ende;Personen;Tätigkeit;Werkzeug
11.03.2026;1;07.30;08.05;2;Kühlmittel ablassen;Pumpe
;2;08.05;09.00;2;Deckelschrauben gelöst;TX30
;;09.00;09.20;;Pause;
;3;09.20;10.45;2;Deckel abgehoben;Kran
12.03.2026;4;07.15;11.30;1;Module ausgebaut;Hand
;;11.30;12.15;;Mittagspause;
;5;12.15;14.00;3;wiegen;Waage
""",
        "cp1252",
    )


def unit_in_each_cell(folder: Path) -> Path:
    """No unit in the headings: every cell says its own."""
    return _write(
        folder / "cells.tsv",
        """
Bauteil\tMenge\tGewicht\tAbmessungen\tWerkstoff
Deckelblech\t1\t11,4 kg\t1800 x 900 x 0,9 mm\tStahl, verzinkt
Deckelschraube\t48 Stk\t6,8 g\t\tStahl 8.8
Längsträger\t2\tca. 9,09 kg\t256 x 7,5 x 9,8 cm\tAl-Strangpressprofil
Dichtung\t1\t160 g\t6,3 m x 14 mm x 6 mm\tEPDM
""",
    )


def swiss(folder: Path) -> Path:
    """An apostrophe between the thousands, a point before the decimals."""
    return _write(
        folder / "schwyz.csv",
        """
Pos;Bezeichnung;Anzahl;Masse je Stk (g);Material
1;Rahmen;1;;
1.1;Längsträger;2;9'090.5;Al 6060
1.2;Querträger;4;1'630.0;Al 6060
1.3;Blindnietmutter;62;4.2;Stahl
""",
    )
