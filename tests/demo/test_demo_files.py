"""The demo's files judged from outside: read by openpyxl and csv, checked by geometry and counting.

Behaviour and physics of invented data. Nothing here uses the importer or the script's own formulas.
"""

from __future__ import annotations

import csv
import math
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from demo_rows import HOME, Row, orchard_table, parts, quarry_table
from openpyxl import load_workbook

from lidoff.materials import MATERIALS, recognise

ROOT = Path(__file__).parents[2]
PACKS = ("quarry", "orchard")

#: Slips planted on purpose: a mass in kilograms in a gram column, a line entered twice.
UNIT_SLIP, DOUBLED = ("orchard", "1.3.16"), ("quarry", "3-09")


def right(pack: str) -> list[Row]:
    """The lines as they should have been: the doubled one once, the slip in its unit."""
    seen: set[str] = set()
    out = []
    for row in parts(pack):
        if row.number in seen:
            continue
        seen.add(row.number)
        if (pack, row.number) == UNIT_SLIP:
            assert row.mass is not None
            row = Row(**{**row.__dict__, "mass": row.mass * 1000.0})
        out.append(row)
    return out


def leaves(pack: str) -> list[Row]:
    return [row for row in right(pack) if row.leaf]


@pytest.fixture(scope="module")
def made_again(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    subprocess.run([sys.executable, str(ROOT / "tools" / "make_demo.py"), str(folder)], check=True)
    return folder


def test_the_script_makes_the_shipped_text_file(made_again: Path) -> None:
    assert (made_again / "orchard.csv").read_bytes() == (HOME / "orchard.csv").read_bytes()


def test_the_script_makes_the_shipped_workbook(made_again: Path) -> None:
    # Cells are compared, not bytes: another release of the writer may pack the same cells otherwise.
    ours, shipped = load_workbook(made_again / "quarry.xlsx"), load_workbook(HOME / "quarry.xlsx")
    assert ours.sheetnames == shipped.sheetnames
    for name in ours.sheetnames:
        assert [r for r in ours[name].iter_rows(values_only=True)] == [
            r for r in shipped[name].iter_rows(values_only=True)
        ]


@pytest.mark.parametrize("pack", PACKS)
def test_at_least_a_hundred_lines_of_parts(pack: str) -> None:
    assert len(leaves(pack)) >= 100


def test_numbers_are_used_once_but_for_the_planted_line() -> None:
    for pack in PACKS:
        twice = [n for n, count in Counter(r.number for r in parts(pack)).items() if count > 1]
        assert twice == ([DOUBLED[1]] if pack == DOUBLED[0] else [])


def summed(pack: str, *, coolant: bool) -> float:
    words = ("coolant", "Kühlmittel")
    return sum(
        row.mass * row.pieces
        for row in leaves(pack)
        if row.mass is not None and (coolant or row.function not in words)
    )


def weighed(pack: str) -> float:
    if pack == "quarry":
        text = next(str(r[1]) for r in quarry_table("Cover") if r[0] == "Weight")
    else:
        text = next(r[1] for r in orchard_table("Zerlegung Batterie Orchard") if r[0] == "Gewicht")
    return float(text.split()[0].replace(",", "."))


@pytest.mark.parametrize("pack", PACKS)
def test_the_lines_close_on_the_weighing(pack: str) -> None:
    """Quarry was weighed drained, Orchard with its coolant; neither list may be heavier than its pack."""
    assert 0.97 <= summed(pack, coolant=pack == "orchard") / weighed(pack) < 1.0


@pytest.mark.parametrize("pack", PACKS)
def test_only_the_one_line_meant_to_has_no_mass(pack: str) -> None:
    blank = [row.number for row in leaves(pack) if row.mass is None]
    assert blank == (["5-07"] if pack == "quarry" else ["1.3.11"])


#: Share of the box length × width × third size that each way of making fills. Geometry and common
#: practice: a trimmed sheet keeps 60 to 100 % of its blank, an open shell or a hollow section a few
#: per cent to two thirds of its box, a ring or round bar at most π/4.
FILL = (
    (("bought", "Zukauf"), (0.03, 1.0)),
    (("turned", "gedreht"), (0.1, math.pi / 4)),
    (("extru",), (0.04, 1.0)),
    (("HPDC", "Druckguss", "injection", "Spritzguss"), (0.03, 0.66)),
    (("dispensed", "dosiert"), (0.5, 1.02)),
    (("gelötet", "brazed"), (0.15, 1.0)),
    (("moulded",), (0.3, 1.0)),
    (("stamped", "gestanzt", "die cut", "tiefgezogen", "deep drawn", "rollgeformt", "gepresst"), (0.6, 1.02)),
)  # fmt: skip

#: A solid of a bought part's outer size: plastic with air in it to copper and steel [kg/m³].
BOUGHT_DENSITY = (200.0, 3000.0)


def mass_bounds(row: Row) -> tuple[float, float] | None:
    """Least and most mass [kg] for the sizes, by the material's density and the way it is made."""
    if row.length is None or row.width is None or row.third is None or row.mass is None:
        return None
    box = row.length * row.width * row.third * 1e-9
    found = recognise(row.material)
    assert found is not None, row
    material = MATERIALS[found.key]
    if material.family in ("bought", "electronics"):
        return BOUGHT_DENSITY[0] * box, BOUGHT_DENSITY[1] * box
    density, spread = material.density.value, math.exp(2.0 * material.density.u)
    if material.family == "cell":  # a cell's sizes are its own, round ones fill π/4 of the box
        return 0.7 * 2000.0 * box, 3000.0 * box
    low, high = next(bounds for words, bounds in FILL if any(word in row.how for word in words))
    least = most = box
    if row.wall is not None and "extru" not in row.how and high > 0.9:
        # Formed sheet: the third size is the formed height. Its blank is the face with its edges
        # turned up, twice that where two halves are brazed into a box.
        least = row.length * row.width * row.wall * 1e-9
        edges = (row.length + 2.0 * row.third) * (row.width + 2.0 * row.third)
        most = edges * row.wall * 1e-9 * (2.0 if "brazed" in row.how else 1.0)
    return low * density / spread * least, high * density * spread * most


@pytest.mark.parametrize("pack", PACKS)
def test_masses_follow_from_sizes(pack: str) -> None:
    checked = 0
    for row in leaves(pack):
        bounds = mass_bounds(row)
        if bounds is None or row.mass is None:
            continue
        checked += 1
        assert bounds[0] <= row.mass <= bounds[1], (row, bounds)
    assert checked >= 60


def test_the_planted_unit_slip_breaks_the_same_bounds() -> None:
    row = next(r for r in parts(UNIT_SLIP[0]) if r.number == UNIT_SLIP[1])
    bounds = mass_bounds(row)
    assert bounds is not None and row.mass is not None
    assert row.mass < bounds[0] / 20.0


def test_hollow_sections_weigh_at_least_their_skin() -> None:
    """A hollow profile is its outer skin at the wall given, and at most as much again in ribs and flanges."""
    density = MATERIALS["aluminium_6xxx"].density.value if "aluminium_6xxx" in MATERIALS else 2700.0
    rails = [
        r for r in leaves("quarry") if r.how.startswith("extruded") and r.wall and r.third and r.third > 20
    ]
    rails = [r for r in rails if r.material.startswith("Al")]
    assert len(rails) >= 6
    for row in rails:
        assert row.length and row.width and row.third and row.wall and row.mass
        skin = 2.0 * (row.width + row.third - 2.0 * row.wall) * row.wall * row.length * 1e-9 * density
        assert 0.9 * skin <= row.mass <= 2.1 * skin, row


@pytest.mark.parametrize("pack", PACKS)
def test_screws_weigh_what_their_thread_and_a_head_weigh(pack: str) -> None:
    """Between a rod of the stress area (ISO 898-1) and one of the nominal diameter longer by 2.7 d."""
    stress_area = {4: 8.78, 5: 14.2, 6: 20.1, 8: 36.6}
    screws = [(r, re.search(r"\bM(\d+)x(\d+)", r.name)) for r in leaves(pack)]
    found = [(r, int(m[1]), int(m[2])) for r, m in screws if m]
    assert len(found) >= 10
    for row, size, length in found:
        assert row.mass is not None
        most = math.pi / 4.0 * size**2 * (length + 2.7 * size)
        assert 7.8e-6 * stress_area[size] * length < row.mass < 7.9e-6 * most, row


@pytest.mark.parametrize(("pack", "series", "parallel"), [("quarry", 96, 56), ("orchard", 96, 3)])
def test_cells_listed_are_the_cells_of_the_layout(pack: str, series: int, parallel: int) -> None:
    cells = [r for r in leaves(pack) if r.function in ("cell", "Zellen")]
    assert sum(r.pieces for r in cells) == series * parallel


@pytest.mark.parametrize(
    ("series", "parallel", "voltage", "capacity", "label"),
    [(96, 56, 3.60, 4.95, (346.0, 96.0)), (96, 3, 3.65, 63.8, (350.0, 67.0))],
)
def test_label_agrees_with_cell_and_layout(
    series: int, parallel: int, voltage: float, capacity: float, label: tuple[float, float]
) -> None:
    """The label is the product rounded to whole volts and kilowatt hours; 400 V class stays under 450 V."""
    assert abs(series * voltage - label[0]) <= 0.5
    assert abs(series * parallel * voltage * capacity * 1e-3 - label[1]) <= 0.5
    assert series * voltage > 300.0 and series * 4.2 < 450.0
    text = str(quarry_table("Cover")) + str(orchard_table("Zerlegung Batterie Orchard"))
    assert f"{label[0]:.0f} V" in text and f"{label[1]:.0f} kWh" in text


@pytest.mark.parametrize("pack", PACKS)
def test_each_screw_listed_is_undone_in_the_joint_list(pack: str) -> None:
    """Joints name the part they use in brackets; what they use must be what the pack holds."""
    table = quarry_table("Fixings") if pack == "quarry" else orchard_table("Verbindungen")
    used: Counter[str] = Counter()
    for row in table[2:]:
        named = re.search(r"\(([\d.-]+)\)", str(row[2]))
        if named:
            used[named[1]] += int(str(row[3]))
    held = {r.number: r.pieces for r in leaves(pack)}
    assert len(used) >= 10
    assert dict(used) == {number: held[number] for number in used}


@pytest.mark.parametrize("pack", PACKS)
def test_modules_weighed_whole_agree_with_their_parts(pack: str) -> None:
    """The unweighed paste is in the module on the scale but not in its list."""
    if pack == "quarry":
        text = next(str(r[2]) for r in quarry_table("Parts") if "modules weighed" in str(r[2]))
        inside = [r for r in leaves(pack) if r.number.startswith("3-")]
        count, paste = 16, 0.0
    else:
        text = next(r[1] for r in orchard_table("Teile") if r[1:] and "Module einzeln" in r[1])
        inside = [r for r in leaves(pack) if r.number.startswith("1.3.")]
        count, paste = 12, 0.314 * 0.318 * 0.0009 * 0.95 * 2000.0
    weights = [float(w.replace(",", ".")) for w in text.split("]:")[1].split()]
    assert len(weights) == count
    listed = sum((r.mass or 0.0) * r.pieces for r in inside) / count
    # Estimates inside (glue, filler, wires) are good to some 15 %: a few hundred grams a module at most.
    assert sum(weights) / count == pytest.approx(listed + paste, rel=0.01)


def test_bus_bars_have_the_section_their_remark_states() -> None:
    stated = 0
    for row in leaves("quarry") + leaves("orchard"):
        section = re.search(r"(\d+) mm2(?: Al)?", row.remarks)
        if section and row.width and row.third and row.material.startswith(("Cu", "Al")) and row.third < 5:
            stated += 1
            assert row.width * row.third == float(section[1])
    assert stated >= 4


def test_the_aluminium_return_bar_carries_like_the_copper_links() -> None:
    """Same resistance per length needs 1.64 times the section (61 % IACS against 100 %, IEC 60028/60889)."""
    bar = next(r for r in leaves("quarry") if r.name == "Long return bar")
    link = next(r for r in leaves("quarry") if r.number == "4-01")
    assert bar.width and bar.third and link.width and link.third
    ratio = bar.width * bar.third / (link.width * link.third)
    assert 1.64 <= ratio <= 1.9


def _minutes(clock: object) -> int:
    hours, minutes = re.split(r"[:.]", str(clock))
    return int(hours) * 60 + int(minutes)


@pytest.mark.parametrize("pack", PACKS)
def test_log_runs_without_gaps_or_overlap_in_a_day(pack: str) -> None:
    table = quarry_table("Strip log") if pack == "quarry" else orchard_table("Protokoll")
    before, days, breaks = 24 * 60, 0, 0
    for row in table[2:]:
        start, finish = _minutes(row[2]), _minutes(row[3])
        assert start < finish
        if start < before:
            days += 1
        else:
            assert start == before
        breaks += str(row[5]) in ("BREAK", "LUNCH", "Pause", "Mittag")
        before = finish
    assert days == (3 if pack == "quarry" else 2)
    assert breaks >= 3


def test_removals_get_quicker_and_quarry_ends_between_ten_and_fifteen_minutes() -> None:
    quarry = [int(str(r[1])) for r in quarry_table("From the car")[3:]]
    orchard = [int(r[1]) for r in orchard_table("Ausbau aus dem Fahrzeug")[3:]]
    for times in (quarry, orchard):
        assert len(times) == 4 and times == sorted(times, reverse=True)
    assert 10 <= quarry[-1] <= 15


def test_one_dotted_time_stands_in_the_log() -> None:
    dotted = [r for r in quarry_table("Strip log")[2:] if "." in f"{r[2]}{r[3]}"]
    assert len(dotted) == 1


def test_text_file_is_what_a_german_spreadsheet_saves() -> None:
    raw = (HOME / "orchard.csv").read_bytes()
    with pytest.raises(UnicodeDecodeError):
        raw.decode("utf-8")
    rows = list(csv.reader(raw.decode("cp1252").splitlines(), delimiter=";"))
    assert max(len(r) for r in rows) == 13
