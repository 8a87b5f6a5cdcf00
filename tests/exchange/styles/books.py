"""Workbooks by hand, as quite different benches keep them."""

from __future__ import annotations

from pathlib import Path

import openpyxl


def two_headings(folder: Path) -> Path:
    """A heading of two rows: what a group of columns is about, and each column under it."""
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (
        ["Item", None, None, "Mass [g]", None, "Size [mm]", None, None, "Remarks"],
        ["Pos", "Name", "Qty", "each", "total", "L", "W", "H", None],
        ["1", "Frame", 1, None, None, 2560, 1350, 98, None],
        ["1.1", "Side rail", 2, 9090, 18180, 2560, 75, 98, "wall 2.5"],
        ["1.2", "Corner node", 4, 668, 2672, 160, 120, 90, None],
        ["1.3", "Rivet nut M6", 62, 4.2, 260.4, None, None, None, None],
    ):
        sheet.append(row)
    for area in ("A1:C1", "D1:E1", "F1:H1"):
        sheet.merge_cells(area)
    path = folder / "two.xlsx"
    book.save(path)
    return path


def far_corner(folder: Path) -> Path:
    """Notes in the corner, the table from D7 on, columns of the bench's own between."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Tear down"
    sheet["A1"] = "Bench 2"
    sheet["A2"] = "Strip of pack Plover, right hand first"
    sheet["B4"] = "masses in grams"
    rows = (
        ["Ref.", "Component", "Off", "Checked by", "Mass each", "Made of", "Group"],
        ["1", "Cooling circuit", 1, "ab", None, None, "cooling"],
        ["1.1", "Cold plate", 2, "ab", 5210, "Al sheet", "cooling"],
        ["1.2", "Supply hose", 1, "kw", 206, "PA12", "cooling"],
        ["2", "Harness", 1, "kw", 1980, "Cu/PVC", "electronics"],
    )
    for at, row in enumerate(rows, 7):
        for column, cell in enumerate(row, 4):
            sheet.cell(at, column, cell)
    path = folder / "corner.xlsx"
    book.save(path)
    return path


def sheet_by_assembly(folder: Path) -> Path:
    """One sheet for each assembly, each with its own table."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    heads = ["Pos.", "Benennung", "Menge", "Masse/Stk [g]", "Werkstoff"]
    for title, rows in (
        (
            "Deckel",
            [
                ["1.1", "Deckelblech", 1, 9900, "Stahl, verzinkt"],
                ["1.2", "Deckelschraube", 94, 4.1, "Stahl 8.8"],
            ],
        ),
        (
            "Wanne",
            [
                ["2.1", "Wannenblech", 1, 29400, "Stahl, verzinkt"],
                ["2.2", "Querträger", 4, 2160, "Stahl"],
            ],
        ),
    ):
        sheet = book.create_sheet(title)
        for row in ([title], heads, *rows):
            sheet.append(row)
    path = folder / "gruppen.xlsx"
    book.save(path)
    return path


def typed_numbers(folder: Path) -> Path:
    """Find numbers that the spreadsheet took for numbers, none of which lost a nought."""
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (
        ["Find no.", "Description", "Qty", "Mass ea [g]", "Basis"],
        [1, "Bus bar set", 1, None, None],
        [1.1, "Module link", "11 off", 171, "scale"],
        [1.2, "Return bar, complete", 1, None, None],
        ["1.2.1", "Return bar", 1, "1.48 kg", "scale"],
        ["1.2.2", "Bar sleeve", 1, "~35", "estimate"],
        [1.3, "Bar nut M8", "26x", 11.2, "catalogue"],
    ):
        sheet.append(row)
    path = folder / "typed.xlsx"
    book.save(path)
    return path


def side_notes(folder: Path) -> Path:
    """Front page, joints and removals as short sheets beside a short parts sheet."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Deckblatt"
    for row in (
        ["Zerlegebericht"],
        ["Gewicht gesamt, gewogen", "455,5 kg (Kranwaage, Teilung 0,5 kg)"],
        ["Außenmaße L x B x H", "1960 x 1290 x 148 mm"],
        ["Verschaltung", "112s1p"],
        ["Nennspannung", "358 V"],
    ):
        sheet.append(row)
    parts = book.create_sheet("Stückliste")
    for row in (
        ["Nr.", "Teil", "Anzahl", "Gewicht (g)"],
        ["1", "Deckel", 1, 9900],
        ["2", "Wanne", 1, 29400],
        ["3", "Schraube M5", 94, 4.1],
    ):
        parts.append(row)
    joints = book.create_sheet("Fügestellen")
    for row in (
        ["Teil A", "Teil B", "Art", "Anzahl", "Anzugsmoment [Nm]", "Unter Spannung?"],
        ["1", "2", "Schraube M5", 94, "4,4 4,6 4,5", "nein"],
        ["2", "Fahrzeug", "Schraube M12", 10, 112, "nein"],
        ["1", "2", "Dichtraupe", "6,4 m", None, "nein"],
    ):
        joints.append(row)
    removals = book.create_sheet("Ausbau")
    for row in (["Ausbau", "Minuten"], [1, 41], [2, 27], ["dieser", 17]):
        removals.append(row)
    path = folder / "bericht.xlsx"
    book.save(path)
    return path
