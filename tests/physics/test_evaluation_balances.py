"""Physics of the roll-up: balances, limits, monotony, and what sampling must do."""

import secrets
from dataclasses import replace

import numpy as np
import pytest
from by_hand import fact, pack, part, read

from lidoff.evaluate import evaluate
from lidoff.evaluate.layout import layout_figures
from lidoff.evaluate.mass import masses
from lidoff.evaluate.tree import build
from lidoff.quantities import Basis, Shape, Spread
from lidoff.records import FUNCTIONS, Function, Pack, Study


def random_pack(rng: np.random.Generator) -> Pack:
    """A three-storey tree at random, coolant and unassigned lines among it."""
    items = [part("1", "pack")]
    for a in range(1, int(rng.integers(3, 7))):
        function = str(rng.choice([f.value for f in FUNCTIONS]))
        items.append(part(f"1.{a}", "group", quantity=float(rng.integers(1, 13)), function=function))
        for b in range(1, int(rng.integers(2, 8))):
            own = str(rng.choice([f.value for f in FUNCTIONS])) if rng.random() < 0.5 else None
            mass = float(rng.lognormal(-2.0, 1.5))
            count = float(rng.integers(1, 400))
            items.append(part(f"1.{a}.{b}", "line", mass, quantity=count, function=own))
    items.append(part("1.99", "loose", 0.5))
    total = sum(
        i.mass.value * i.quantity.value * (items_count(items, i))
        for i in items
        if i.mass is not None and i.quantity is not None
    )
    facts = (fact("mass_weighed", total * 1.01, "kg"), fact("coolant_in_weighing", 1.0))
    return pack(*items, facts=facts)


def items_count(items, item) -> float:
    """Pieces of the group that an item hangs in."""
    above = next((i for i in items if i.id == item.parent), None)
    return 1.0 if above is None or above.quantity is None else above.quantity.value


@pytest.fixture
def record() -> Pack:
    seed = secrets.randbits(32)
    print(f"seed {seed}")
    return random_pack(np.random.default_rng(seed))


def test_functions_sum_to_the_dry_mass_and_coolant_stays_out(record: Pack) -> None:
    figures = masses(record, build(record), 100).figures
    parts = [f"mass_{f}" for f in FUNCTIONS if f is not Function.COOLANT] + ["mass_unassigned"]
    total = sum(figures[n].value for n in parts if n in figures)
    assert total == pytest.approx(figures["mass_rolled"].value, rel=1e-12)
    samples = sum(figures[n].samples for n in parts if n in figures)
    np.testing.assert_allclose(samples, figures["mass_rolled"].samples, rtol=1e-12)


def test_dry_mass_coolant_and_gap_make_up_the_weighed_mass(record: Pack) -> None:
    figures = masses(record, build(record), 100).figures
    coolant = figures["mass_coolant"].value or 0.0
    total = figures["mass_rolled"].value + coolant + figures["mass_unaccounted"].value
    assert total == pytest.approx(figures["mass_weighed"].value, rel=1e-12)
    closure = 100.0 * (figures["mass_rolled"].value + coolant) / figures["mass_weighed"].value
    assert figures["mass_closure"].value == pytest.approx(closure, rel=1e-12)


def test_shares_of_basis_and_terms_are_the_whole(record: Pack) -> None:
    rolled = masses(record, build(record), 100).figures["mass_rolled"]
    assert sum(rolled.basis.values()) == pytest.approx(1.0, rel=1e-12)
    assert sum(term.value for term in rolled.terms) == pytest.approx(rolled.value, rel=1e-12)
    assert rolled.low < rolled.value < rolled.high


def test_a_heavier_part_never_makes_a_lighter_pack(record: Pack) -> None:
    before = masses(record, build(record), 10).figures["mass_rolled"].value
    for index, item in enumerate(record.items):
        if item.mass is None:
            continue
        heavier = replace(item, mass=replace(item.mass, value=item.mass.value * 1.1))
        changed = replace(record, items=(*record.items[:index], heavier, *record.items[index + 1 :]))
        assert masses(changed, build(changed), 10).figures["mass_rolled"].value >= before


def test_adding_a_part_moves_no_other_part_s_samples(record: Pack) -> None:
    before = masses(record, build(record), 200).lines
    more = replace(record, items=(part("1.0", "early", 3.0), *record.items, part("1.98", "late", 2.0)))
    after = {line.item: line for line in masses(more, build(more), 200).lines}
    for line in before:
        np.testing.assert_array_equal(line.samples, after[line.item].samples)


def one(mass: float, u: float) -> Pack:
    return pack(part("1", "part", mass, u=u))


def width(record: Pack, count: int) -> float:
    rolled = masses(record, build(record), count).figures["mass_rolled"]
    assert rolled.low is not None and rolled.high is not None
    return rolled.high - rolled.low


def test_the_interval_is_as_wide_as_the_spread() -> None:
    # One normal reading: 2 × 1.959964 u; 40,000 samples give the width to about 0.8 %.
    assert width(one(10.0, 0.1), 40_000) == pytest.approx(2 * 1.959964 * 0.1, rel=0.03)
    assert width(one(10.0, 0.2), 1000) == pytest.approx(2 * width(one(10.0, 0.1), 1000), rel=1e-9)


def test_parts_of_their_own_add_as_squares_and_one_part_many_times_adds_straight() -> None:
    many = pack(*(part(f"1.{n}", "part", 1.0, u=0.1, parent=None) for n in range(16)))
    same = pack(part("1", "part", 1.0, quantity=16, u=0.1))
    assert width(many, 20_000) == pytest.approx(4 * width(one(1.0, 0.1), 20_000), rel=0.04)
    assert width(same, 20_000) == pytest.approx(16 * width(one(1.0, 0.1), 20_000), rel=1e-9)


def test_one_scale_s_calibration_moves_all_its_weighings_together() -> None:
    def weighed(n: int, scale: str):
        spread = Spread(shape=Shape.NORMAL, u=0.0, shared=((f"instrument:{scale}", 0.01),))
        return replace(part(f"1.{n}", "part", 1.0, parent=None), mass=replace(read(1.0), spread=spread))

    shared = pack(*(weighed(n, "bench") for n in range(9)))
    apart = pack(*(weighed(n, f"scale {n}") for n in range(9)))
    assert width(shared, 20_000) == pytest.approx(3 * width(apart, 20_000), rel=0.04)


ENERGY = (
    fact("cells_series", 96.0),
    fact("cells_parallel", 3.0),
    fact("cell_voltage", 3.65, "V"),
    fact("cell_capacity", 63.8 * 3600.0, "Ah"),
)


def energy(*facts) -> tuple[float, float]:
    record = pack(part("1", "cell", 0.9, quantity=288, function="cells"), facts=facts)
    tree = build(record)
    found = layout_figures(record, tree, masses(record, tree, 100), 100)
    return found["energy_nominal"].value, found["specific_energy"].value


def test_energy_is_cells_times_charge_times_voltage() -> None:
    kwh, per_kg = energy(*ENERGY)
    assert kwh == pytest.approx(96 * 3 * 63.8 * 3.65 / 1000, rel=1e-12)
    assert per_kg == pytest.approx(1000 * kwh / (288 * 0.9), rel=1e-12)


def test_energy_grows_in_proportion_to_each_of_them() -> None:
    kwh, _ = energy(*ENERGY)
    for index in range(4):
        reading = ENERGY[index].reading
        assert reading is not None
        doubled = replace(ENERGY[index], reading=replace(reading, value=2 * reading.value))
        facts = (*ENERGY[:index], doubled, *ENERGY[index + 1 :])
        assert energy(*facts)[0] == pytest.approx(2 * kwh, rel=1e-12)


def test_series_against_parallel_changes_voltage_and_not_energy() -> None:
    swapped = (fact("cells_series", 3.0), fact("cells_parallel", 96.0), *ENERGY[2:])
    assert energy(*swapped)[0] == pytest.approx(energy(*ENERGY)[0], rel=1e-12)


def test_every_figure_lies_about_the_middle_of_its_samples() -> None:
    sides = (fact("volume", 0.3, "l"), fact("mass_weighed", 290.0, "kg"))
    items = (
        part("1.1", "cell", 0.9, quantity=288, function="cells", parent=None),
        part("1.2", "tray", 25.0, function="tray", parent=None),
        part("1.3", "glycol", 2.0, function="coolant", parent=None),
    )
    record = pack(*items, facts=(*ENERGY, *sides))
    found = evaluate(Study(id="s", name="s", packs=(record,)), topics=("mass", "energy"), samples=4000)
    figures = [
        f for f in found.packs["wren"].figures.values() if f.value is not None and f.samples is not None
    ]
    assert {"specific_energy", "energy_density", "mass_closure"} <= {f.name for f in figures}
    for figure in figures:
        assert figure.value is not None and figure.samples is not None
        spread = float(np.std(figure.samples))
        # The mean of 4,000 samples strays by u/63; ratios of spreads of 1 % bend it by far less.
        assert abs(float(np.mean(figure.samples)) - figure.value) <= 0.1 * spread + 1e-12, figure.name


def test_the_spread_of_a_ratio_adds_as_squares_of_shares() -> None:
    # 96 × 3.65 V, no spread but the charge's 0.5 % (default of a measurement) against 0.2 % of mass.
    exact = (fact("cells_series", 96.0), fact("cells_parallel", 3.0), fact("cell_voltage", 3.65, "V", u=0.0))
    record = pack(
        part("1", "cell", 0.9, quantity=288, function="cells"),
        facts=(*exact, fact("cell_capacity", 63.8 * 3600.0, "Ah", u=0.005 * 63.8 * 3600.0)),
    )
    tree = build(record)
    found = layout_figures(record, tree, masses(record, tree, 40_000), 40_000)["specific_energy"]
    assert found.samples is not None and found.value is not None
    relative = float(np.std(found.samples)) / found.value
    assert relative == pytest.approx(np.hypot(0.005, 0.002), rel=0.03)


def test_findings_are_the_same_twice_and_do_not_hang_on_other_packs(record: Pack) -> None:
    alone = Study(id="s", name="s", packs=(record,))
    other = one(5.0, 0.1)
    both = Study(id="s", name="s", packs=(replace(other, id="o", name="o"), record))
    first = evaluate(alone, topics=("mass",), samples=300).packs["wren"]
    second = evaluate(both, topics=("mass",), samples=300).packs["wren"]
    np.testing.assert_array_equal(first.figures["mass_rolled"].samples, second.figures["mass_rolled"].samples)


def test_shared_findings_cannot_be_written_over(record: Pack) -> None:
    found = evaluate(Study(id="s", name="s", packs=(record,)), topics=("mass",), samples=50)
    samples = found.packs["wren"].figures["mass_rolled"].samples
    assert samples is not None
    with pytest.raises(ValueError, match="read-only"):
        samples[0] = 0.0


def test_a_spread_of_a_count_reaches_the_mass() -> None:
    drops = replace(read(100.0, "", Basis.ESTIMATED), spread=Spread(shape=Shape.NORMAL, u=5.0, stated=True))
    record = pack(replace(part("1", "drop", 0.01, u=0.0), quantity=drops))
    assert width(record, 40_000) == pytest.approx(2 * 1.959964 * 0.05, rel=0.03)
