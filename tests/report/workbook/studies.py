"""Studies that workbooks are made of, each as recorded and with inputs changed, on both sides alike.

Every change is told once as what the engine gets and once as the cell that a person would write into.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from lidoff.app.bench import read_pack
from lidoff.compare import Comparison, compare
from lidoff.demo import STORY, files
from lidoff.evaluate import Findings, evaluate
from lidoff.prices import PriceBook, price_book
from lidoff.records import Item, Pack, Study
from lidoff.report.workbook import workbook

ISSUED = datetime(2024, 11, 25, 12, 0, tzinfo=UTC)
DATA = Path(__file__).parents[2] / "data"
SAMPLES = 20
#: Columns of the sheets, counted from one.
PER_PARENT, MASS, THIRD, WALL = 4, 6, 14, 15

#: A user's own prices: steel by the pound in another currency, at a rate of its own.
OVERLAY = """
[exchange.GBP]
value = {rate}
date = "2024"
source = "quotation"

[rows."material.steel_sheet"]
value = 0.31
unit = "GBP/lb"
date = "2024"
source = "quotation"
"""


@dataclass(frozen=True)
class Told:
    """A study with its findings and the workbook made of it."""

    study: Study
    findings: Findings
    comparison: Comparison | None
    file: bytes


def told(study: Study, prices: PriceBook) -> Told:
    found = evaluate(study, samples=SAMPLES, prices=prices)
    compared = compare(found, study, like_for_like=True) if len(study.packs) > 1 else None
    return Told(study, found, compared, workbook(study, found, compared, ISSUED))


@cache
def heron_pack() -> Pack:
    return read_pack(DATA / "heron.xlsx", pack_id="heron").pack


@cache
def demo_packs() -> tuple[Pack, ...]:
    return tuple(read_pack(one.path, pack_id=one.pack_id).pack for one in files())


def with_items(pack: Pack, changes: Mapping[str, Callable[[Item], Item]]) -> Pack:
    """The pack with lines changed, by their number."""
    assert changes.keys() <= {item.number for item in pack.items}
    items = tuple(changes[i.number](i) if i.number in changes else i for i in pack.items)
    return replace(pack, items=items)


def reading(item: Item, **values: float) -> Item:
    """The item with the values [SI] of some of its readings changed."""
    return replace(
        item, **{name: replace(getattr(item, name), value=value) for name, value in values.items()}
    )


# -- Heron: a mass, a wall, a quantity, a volume, a wage and an exchange rate --------------------


def heron(folder: Path, *, changed: bool = False) -> Told:
    pack = heron_pack()
    study = Study(id="birds", name="Birds", packs=(pack,))
    overlay = folder / "own.toml"
    overlay.write_text(OVERLAY.format(rate=1.31 if changed else 1.18), "utf-8")
    prices = price_book("eu-2024", overlay)
    if changed:
        pack = with_items(
            pack,
            {
                "1.2.1": lambda i: reading(i, mass=10.25, wall=0.0031),
                "1.1.4": lambda i: reading(i, quantity=70.0),
            },
        )
        study = replace(study, packs=(pack,), scenario=replace(study.scenario, volume=62_000.0))
        wage = replace(prices.rows["wage.production"], value=41.5 / 3600.0)
        prices = replace(prices, rows={**prices.rows, "wage.production": wage})
    return told(study, prices)


def edit_heron(path: Path, out: Path) -> None:
    book = load_workbook(path)
    parts = sheet_ending(book.sheetnames, "parts")
    write(book[parts], "1.2.1", MASS, 10.25)
    write(book[parts], "1.2.1", WALL, 3.1)
    write(book[parts], "1.1.4", PER_PARENT, 70)
    write(book["Scenario"], "Packs a year", 2, 62_000)
    write(book["Prices"], "wage.production", 3, 41.5)
    write(book["Prices"], "exchange GBP", 3, 1.31)
    book.save(out)


# -- The demo: years, a capacity, an exchange rate, a machine, a mass and a gauge ---------------


def demo(folder: Path, *, changed: bool = False) -> Told:
    packs = demo_packs()
    study = Study(id="demo", name=STORY.study, packs=packs, scenario=STORY.scenario)
    prices = price_book("eu-2024")
    if changed:
        first = with_items(
            packs[0], {"2-01": lambda i: reading(i, mass=i.mass.value * 1.5 if i.mass else 0.0)}
        )
        facts = tuple(
            replace(fact, reading=replace(fact.reading, value=5.1 * 3600.0))
            if fact.key == "cell_capacity" and fact.reading is not None
            else fact
            for fact in packs[1].facts
        )
        second = with_items(replace(packs[1], facts=facts), {"1.2.1": lambda i: reading(i, thickness=0.0041)})
        study = replace(study, packs=(first, second), scenario=replace(study.scenario, life=5.0))
        prices = price_book(_changed_prices(folder))
    return told(study, prices)


def _changed_prices(folder: Path) -> Path:
    """The shipped book with another dollar and a dearer press, written as a book of its own."""
    import lidoff.prices

    text = (Path(lidoff.prices.__file__).parent / "books" / "eu-2024.toml").read_text("utf-8")
    for old, new in (
        ("value = 0.9239", "value = 1.02"),
        ("[630, 900, 120, 250000.0,", "[630, 900, 120, 610000.0,"),
    ):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "other.toml"
    path.write_text(text, "utf-8")
    return path


def edit_demo(path: Path, out: Path) -> None:
    book = load_workbook(path)
    first, second = (name for name in book.sheetnames if name.endswith(" parts"))
    mass = next(item.mass for item in demo_packs()[0].items if item.number == "2-01")
    assert mass is not None
    write(book[first], "2-01", MASS, mass.value * 1.5)
    write(book[second], "1.2.1", THIRD, 4.1)
    write(book["Scenario"], "Years of production", 2, 5)
    write(book["Prices"], "exchange USD", 3, 1.02)
    data = book["Pack data"]
    rows = [row for row in data.iter_rows() if row[1].value == "capacity of a cell"]
    rows[1][2].value = 5.1
    machines = book["Machines"]
    row = next(
        r
        for r in range(1, machines.max_row)
        if str(machines.cell(r, 1).value).startswith("machines.press_pr")
    )
    capex = next(c for c in range(1, 20) if str(machines.cell(row + 1, c).value).startswith("capex"))
    assert machines.cell(row + 2, capex).value == 250_000
    machines.cell(row + 2, capex).value = 610_000
    book.save(out)


# -- cells as a person finds them ---------------------------------------------------------------


def sheet_ending(names: list[str], kind: str) -> str:
    return next(name for name in names if name.endswith(f" {kind}"))


def write(sheet: Worksheet, label: str, column: int, value: float) -> None:
    """Write over the number beside a label of the first column."""
    rows = [r for r in range(1, sheet.max_row + 1) if sheet.cell(r, 1).value == label]
    assert len(rows) == 1, (sheet.title, label, rows)
    cell = sheet.cell(rows[0], column)
    assert isinstance(cell.value, int | float), (sheet.title, label, cell.value)
    assert cell.value != value
    cell.value = value
