"""Behaviour of the price-book loader, and physics of the shipped numbers."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from lidoff.materials import MATERIALS
from lidoff.prices import PriceError, price_book, price_books
from lidoff.quantities import Basis, parse_unit
from lidoff.sources import source

HEAD = 'name = "x"\ntitle = "x"\nregion = "EU"\ncurrency = "EUR"\nyear = 2024\n'
ROW = (
    '[rows."material.copper"]\nvalue = 9.0\nunit = "EUR/kg"\nspread = 0.1\n'
    'date = "2024"\nsource = "project_choice"\n'
)


def book(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "x.toml"
    path.write_text(HEAD + text, "utf-8")
    return path


def test_the_shipped_book_is_listed_and_says_its_money() -> None:
    assert price_books()["eu-2024"] == "EU"
    shipped = price_book("eu-2024")
    assert (shipped.currency, shipped.year) == ("EUR", 2024)


def test_foreign_money_is_converted_by_the_stated_rate() -> None:
    shipped = price_book()
    # 9,380 USD/t at 0.9239 EUR/USD
    assert shipped.price("metal.copper").value == pytest.approx(9380 * 0.9239 / 1000, rel=1e-12)
    assert shipped.price("metal.copper").unit == "EUR/t"


def test_a_sum_moves_with_its_terms() -> None:
    shipped = price_book()
    billet, sheet = (shipped.samples(f"material.aluminium_{k}", 4000) for k in ("billet", "sheet"))
    metal = shipped.samples("metal.aluminium", 4000)
    assert abs(np.corrcoef(billet - metal, metal)[0, 1]) < 0.05  # premium apart from metal; 3 / sqrt(4000)
    assert np.corrcoef(billet, sheet)[0, 1] > 0.2
    row = shipped.price("material.aluminium_billet")
    assert np.std(billet) / np.mean(billet) == pytest.approx(row.u, rel=0.05)


def test_nothing_in_another_currency_slips_in(tmp_path: Path) -> None:
    with pytest.raises(PriceError, match="is in USD, the book in EUR: state an exchange rate for USD"):
        price_book(book(tmp_path, ROW.replace("EUR/kg", "USD/kg")))


def test_nothing_of_another_year_slips_in(tmp_path: Path) -> None:
    old = ROW.replace('"2024"', '"2021-06"')
    with pytest.raises(PriceError, match="is of 2021, the book of 2024: name an index"):
        price_book(book(tmp_path, old))
    index = '[index.ppi]\nfrom = 2021\nto = 2024\nvalue = 1.2\ndate = "2024"\nsource = "project_choice"\n'
    with pytest.raises(PriceError, match="index 'ppi' starts in 2020"):
        price_book(book(tmp_path, old + 'index = "ppi"\n' + index.replace("2021", "2020")))
    path = tmp_path / "y.toml"
    path.write_text(HEAD + old + 'index = "ppi"\n' + index, "utf-8")
    assert price_book(path).price("material.copper").value == pytest.approx(10.8, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (ROW.replace('source = "project_choice"', 'source = "hearsay"'), "no source 'hearsay'"),
        (ROW.replace('date = "2024"\n', ""), "no date stated"),
        (ROW.replace("9.0", "-9.0"), "is not above zero"),
        (ROW.replace("9.0", "nan"), "is not a number"),
        (ROW.replace("EUR/kg", "EUR/zentner"), "unknown unit 'EUR/zentner'"),
        (ROW.replace("spread = 0.1", "spread = 9"), "spread 9"),
        (ROW + "colour = 1\n", "unknown entries: colour"),
        (ROW + '[rows.a]\nsum = { b = 1 }\ndate = "2024"\nsource = "project_choice"\n', "sums 'b'"),
        ('[rows.a]\nsum = { a = 1 }\ndate = "2024"\nsource = "project_choice"\n', "a sum of itself"),
        ("[rows", "x.toml: "),
    ],
)
def test_a_bad_row_is_told_in_one_sentence(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(PriceError, match=says):
        price_book(book(tmp_path, text))


def test_an_unknown_book_is_told_with_what_there_is() -> None:
    with pytest.raises(PriceError, match="no price book 'mars-2031'; shipped are: eu-2024"):
        price_book("mars-2031")


def overlay(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "ours.toml"
    path.write_text(text, "utf-8")
    return path


def test_an_overlay_takes_the_place_of_a_row_and_of_what_is_made_of_it(tmp_path: Path) -> None:
    ours = overlay(
        tmp_path,
        '[rows."metal.aluminium"]\nvalue = 3000\nunit = "EUR/t"\ndate = "2024-11"\nsource = "contract 12"\n',
    )
    plain, laid = price_book("eu-2024"), price_book("eu-2024", ours)
    row = laid.price("metal.aluminium")
    assert (row.value, row.source, row.overlaid) == (3.0, "contract 12", True)
    premium = plain.price("premium.aluminium_billet").value
    assert laid.price("material.aluminium_billet").value == pytest.approx(3.0 + premium, rel=1e-12)
    assert laid.price("material.copper") == plain.price("material.copper")


def test_an_overlay_is_read_again_when_it_changes(tmp_path: Path) -> None:
    row = '[rows."wage.production"]\nvalue = {}\nunit = "EUR/h"\ndate = "2024"\nsource = "works council"\n'
    ours = overlay(tmp_path, row.format(20))
    assert price_book("eu-2024", ours).price("wage.production").value == pytest.approx(20 / 3600, rel=1e-12)
    ours.write_text(row.format(25.5), "utf-8")
    assert price_book("eu-2024", ours).price("wage.production").value == pytest.approx(25.5 / 3600, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[rows.a]\nvalue = 1\nunit = "EUR/kg"\ndate = "2024"\n', "no source stated"),
        ('[rows.a]\nvalue = 1\nunit = "GBP/kg"\ndate = "2024"\nsource = "x"\n', "exchange rate for GBP"),
        ('[rows.a]\nvalue = 1\nunit = "EUR/kg"\ndate = "May"\nsource = "x"\n', "does not start with a year"),
        ('currency = "USD"\n', "currency USD is not the book's EUR"),
        ("year = 2020\n", "year 2020 is not the book's 2024"),
    ],
)
def test_a_bad_overlay_is_told_with_its_name(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(PriceError, match=f"ours.toml: .*{says}"):
        price_book("eu-2024", overlay(tmp_path, text))


def test_a_missing_overlay_is_told(tmp_path: Path) -> None:
    with pytest.raises(PriceError, match="cannot be read"):
        price_book("eu-2024", tmp_path / "none.toml")


def test_every_row_of_ours_has_a_source_in_the_table() -> None:
    shipped = price_book()
    for row in (*shipped.rows.values(), *shipped.tables.values()):
        assert source(row.source)


def test_every_price_a_material_names_exists_save_cells() -> None:
    shipped = price_book()
    for material in MATERIALS.values():
        for key in (material.price, material.scrap):
            if key is not None and material.family != "cell":
                assert key in shipped.rows, f"{material.key}: {key}"
        if material.family == "cell":  # no book for cells yet, so none may look costed
            assert material.price not in shipped.rows


def test_scrap_is_worth_less_than_new() -> None:
    shipped = price_book()
    for material in MATERIALS.values():
        if material.scrap and material.price:
            assert shipped.price(material.scrap).value < shipped.price(material.price).value, material.key


def test_machines_come_in_ascending_size_and_price() -> None:
    for table in price_book().tables.values():
        first = next(iter(table.columns))
        for key in (first, "capex"):
            values = [float(row[key]) for row in table.rows]
            assert values == sorted(set(values)), (table.key, key)
        assert {"capex", "power", "area", "life"} <= set(table.columns)
        assert parse_unit(table.columns["capex"]).money == "EUR"


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Main contactor", "bought.contactor"),
        ("Pre-charge resistor", "bought.resistor"),
        ("Rivet nut M6", "bought.rivet_nut"),
        ("Screw M6x16 flange, patch", "bought.screw"),
        ("Schweißmutter M5", "bought.nut"),
        ("Kupplung Kühlmittel", "bought.coupling"),
        ("HV-Anschluss", "bought.hv_connector"),
        ("Lader + DC/DC, in der Batterie", "bought.charger"),
        ("Messplatine", "bought.monitor_board"),
        ("Berstventil", "bought.vent"),
    ],
)
def test_a_bought_part_finds_its_class_by_name(name: str, key: str) -> None:
    row = price_book().bought_class(name)
    assert row is not None and row.key == key
    assert row.basis is Basis.ASSUMED  # no quotation behind it


def test_a_name_of_no_class_finds_none() -> None:
    assert price_book().bought_class("Zellblock") is None


ALLOY = ROW.replace("copper", "steel").replace("9.0", "1.0")
PAIR = (
    '[[correlations]]\nfirst = "material.copper"\nsecond = "material.steel"\n'
    'rank = 0.6\nsource = "project_choice"\n'
)


def test_rows_may_be_declared_to_move_together(tmp_path: Path) -> None:
    read = price_book(book(tmp_path, ROW + ALLOY + PAIR))
    (pair,) = read.correlations
    assert (pair.first, pair.second, pair.rank) == ("price:material.copper", "price:material.steel", 0.6)
    over = tmp_path / "own.toml"
    over.write_text(PAIR.replace("0.6", "-0.1").replace("project_choice", "our purchasing"), "utf-8")
    (own,) = price_book(book(tmp_path, ROW + ALLOY + PAIR), overlay=over).correlations
    assert (own.rank, own.origin) == (-0.1, "our purchasing")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("material.steel", "material.brass"), "no row 'material.brass'"),
        (("0.6", "1.2"), "is 1.2, not from"),
        (("0.6", '"high"'), "rank 'high' is not a number"),
        (('source = "project_choice"', ""), "takes first, second, rank and source"),
        (("material.steel", "material.copper"), "itself"),
    ],
)
def test_a_correlation_that_cannot_be_is_refused(tmp_path: Path, change: tuple[str, str], says: str) -> None:
    with pytest.raises(PriceError, match=says):
        price_book(book(tmp_path, ROW + ALLOY + PAIR.replace(*change)))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Harness clip", "bought.clip"),
        ("Federclip Kupplung", "bought.clip"),
        ("Sicherung Lader 40 A", "bought.fuse"),
        ("Schraube M4x8 Platine", "bought.screw"),
        ("HV-Stecker am Lader", "bought.hv_connector"),
        ("Shunt with board", "bought.current_sensor"),
        ("Rivet nut M6", "bought.rivet_nut"),
        ("Kabelbinder mit Clip", "bought.clip"),
        ("Leitung Platine-Modul", "bought.cable"),
        ("Kühlleitung innen, Satz", "bought.hose"),
        ("Connector, coolant", "bought.coupling"),
        ("Bonded washer under clamp screw", "bought.rivet"),
    ],
)
def test_the_noun_that_heads_a_name_decides(name: str, key: str) -> None:
    row = price_book().bought_class(name)
    assert row is not None and row.key == key
