"""Behaviour: a workbook with a parts sheet for each assembly, each counted from one."""

from pathlib import Path

import openpyxl
import pytest

from lidoff.exchange import read_bench


def test_the_sheet_is_the_assembly(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    tray = book.active
    assert tray is not None
    tray.title = "Wanne"
    tray.append(["Teileliste Wanne (Gewichte in kg)"])
    head = ["Lfd. Nr.", "Bezeichnung", "Anz.", "Gewicht gesamt", "Material", "Fertigung", "Abmaße [mm]"]
    tray.append(head)
    tray.append([1, "Bodenblech", 1, 24.3, "Al 5754", "gestanzt", "1950x1400x3"])
    tray.append([2, "Längsprofil", 2, 15.8, "EN AW-6082", "stranggepresst", "2100x80x110"])
    module = book.create_sheet("Module")
    module.append(["Teileliste Modul, 12 Stück je Pack (Gewichte in g)"])
    module.append(head)
    module.append([1, "Zelle", 24, 24960, "NMC/Graphit", "Kaufteil", "148x26x98"])
    module.append([2, "Endplatte", 2, 820, "Al-Druckguss", "Druckguss", "150x100x15"])
    file = tmp_path / "bench.xlsx"
    book.save(file)

    pack = read_bench(file, pack_id="p").pack
    assert pack.questions == () and pack.rejections == ()
    items = {item.name: item for item in pack.items}
    assert items["Module"].quantity is not None and items["Module"].quantity.value == 12
    assert items["Zelle"].parent == items["Module"].id and items["Bodenblech"].parent == items["Wanne"].id
    masses = {n: i.mass.value for n, i in items.items() if i.mass is not None}
    # each = total / number; kilograms on one sheet, grams on the other
    assert masses == pytest.approx(
        {"Bodenblech": 24.3, "Längsprofil": 7.9, "Zelle": 1.04, "Endplatte": 0.41}, rel=1e-12
    )
