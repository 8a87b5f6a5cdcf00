"""Behaviour on the two bench packs: what a practitioner expects to be asked, and nothing silly.

Tolerances are half a unit of the last digit written.
"""

from pathlib import Path

import pytest

from lidoff.compare import compare
from lidoff.evaluate import apply_edits, check_pack, evaluate
from lidoff.exchange import read_bench
from lidoff.records import Function, Pack, Study

DATA = Path(__file__).parents[1] / "data"


@pytest.fixture(scope="module")
def heron() -> Pack:
    return read_bench(DATA / "heron.xlsx", pack_id="birds/heron").pack


@pytest.fixture(scope="module")
def marlin() -> Pack:
    return read_bench(DATA / "marlin.csv", pack_id="birds/marlin").pack


def figures(record: Pack):
    study = Study(id="birds", name="birds", packs=(record,))
    return evaluate(study, topics=("mass", "energy"), samples=1000).packs[record.id].figures


def kinds(record: Pack) -> list[str]:
    return [doubt.kind for doubt in check_pack(record)]


def test_heron_rolls_up_as_entered_and_as_corrected(heron: Pack) -> None:
    # Summed from the file by hand: 447.59 kg as entered, 0.30 kg more with the cover's kilograms.
    assert figures(heron)["mass_rolled"].value == pytest.approx(447.59, rel=1.2e-5)
    (slip,) = [d for d in check_pack(heron) if d.kind == "mass unit"]
    cover = heron.item(slip.item or "")
    assert cover is not None and cover.number == "1.4.3"
    mended = figures(apply_edits(heron, slip.edits))
    assert mended["mass_rolled"].value == pytest.approx(447.89, rel=1.2e-5)
    assert mended["mass_closure"].value == pytest.approx(99.2, rel=5.1e-4)
    assert mended["mass_estimated"].value == pytest.approx(3.6, rel=0.014)
    assert mended["mass_coolant"].value == pytest.approx(2.41, rel=1e-9)


def test_heron_s_modules_agree_with_their_parts_and_raise_nothing(heron: Pack) -> None:
    worked = figures(heron)["mass_closure"].working
    (line,) = [w for w in worked if "parts over whole" in w.name]
    assert line.put_in == "28.255 kg / 28.2383 kg"
    assert "mean of 12 weighings" in line.about and "agree within their interval" in line.about


def test_cells_and_voltages_follow_from_cell_and_layout(heron: Pack, marlin: Pack) -> None:
    # 108 × 3.62 V, 4320 × 4.72 Ah × 3.62 V; 112 × 3.2 V, 112 × 150 Ah × 3.2 V.
    one, other = figures(heron), figures(marlin)
    assert (one["cell_count"].value, other["cell_count"].value) == (4320, 112)
    assert one["voltage_nominal"].value == pytest.approx(390.96, rel=1e-9)
    assert other["voltage_nominal"].value == pytest.approx(358.4, rel=1e-9)
    assert one["energy_nominal"].value == pytest.approx(73.813248, rel=1e-9)
    assert other["energy_nominal"].value == pytest.approx(53.76, rel=1e-9)
    assert one["voltage_max"].value == pytest.approx(453.6, rel=1e-9)
    assert other["voltage_max"].value == pytest.approx(408.8, rel=1e-9)


def test_nothing_silly_is_asked_of_heron(heron: Pack) -> None:
    assert kinds(heron) == ["mass unit", "closure", "next weighing"]
    (closure,) = [d for d in check_pack(heron) if d.kind == "closure"]
    assert "labels and warning signs" in closure.proposed
    assert "3.6 kg of it rests on estimates" in closure.says


def test_marlin_s_adhesive_is_bounded_and_the_rest_unexplained(marlin: Pack) -> None:
    found = figures(marlin)
    assert found["mass_rolled"].value == pytest.approx(453.46, rel=1.2e-5)
    assert found["mass_unaccounted"].value == pytest.approx(2.0, rel=0.025)
    assert kinds(marlin) == ["mass missing", "closure", "next weighing"]
    missing, closure, _ = check_pack(marlin)
    assert "at most 0.23 kg each, 1.6 kg in the pack" in missing.says
    assert "first candidate is 1.5.7 Strukturkleber" in closure.says
    assert "0.4 kg stay unexplained" in closure.says


def test_like_for_like_leaves_marlin_s_charger_out_and_shows_it_apart(heron: Pack, marlin: Pack) -> None:
    study = Study(id="birds", name="birds", packs=(heron, marlin))
    comparison = compare(evaluate(study, topics=("mass", "energy"), samples=500), study, like_for_like=True)
    (entry,) = comparison.left_out
    assert (entry.pack, entry.function) == ("birds/marlin", Function.CONVERSION)
    assert entry.mass is not None and entry.mass.value == pytest.approx(11.85, rel=1e-9)
    mass = comparison.row("mass_rolled")
    assert mass is not None and mass.difference is not None and mass.difference.settled
