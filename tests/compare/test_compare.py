"""Behaviour and balance of a comparison: scope, like for like, paired differences."""

from dataclasses import replace

import numpy as np
import pytest
from by_hand import fact, pack, part, read

from lidoff.compare import compare
from lidoff.evaluate import CostLine, CostStatus, Figure, Findings, Money, evaluate
from lidoff.quantities import Shape, Spread
from lidoff.records import Function, Pack, Study

ENERGY = (
    fact("cells_series", 100.0),
    fact("cells_parallel", 1.0),
    fact("cell_voltage", 3.6, "V", u=0.01),
    fact("cell_capacity", 50.0 * 3600, "Ah", u=500.0),
)


def bird(name: str, tray: float, *more, cells: float = 1.0) -> Pack:
    items = (
        part("1", "pack", identity=f"{name}.1", parent=None),
        part(
            "1.1", "cell", cells, quantity=100, function="cells", identity=f"{name}.1.1", parent=f"{name}.1"
        ),
        part("1.2", "tray", tray, function="tray", identity=f"{name}.1.2", parent=f"{name}.1"),
        part("1.3", "coolant", 2.0, function="coolant", identity=f"{name}.1.3", parent=f"{name}.1"),
        *(replace(m, id=f"{name}.{m.id}", parent=f"{name}.1") for m in more),
    )
    facts = tuple(replace(f, id=f"{name}.{f.id}") for f in ENERGY)
    return pack(*items, facts=facts, identity=name)


def findings(*packs: Pack) -> tuple[Findings, Study]:
    study = Study(id="s", name="birds", packs=packs)
    return evaluate(study, topics=("mass", "energy"), samples=2000), study


def two(charger: float = 11.85) -> tuple[Findings, Study]:
    return findings(
        bird("wren", 30.0), bird("kite", 28.0, part("1.4", "charger", charger, function="conversion"))
    )


def test_everything_dry_is_compared_unless_asked_otherwise() -> None:
    found, study = two()
    comparison = compare(found, study)
    assert comparison.packs == ("wren", "kite")
    assert comparison.scope == (Function.CELLS, Function.CONVERSION, Function.TRAY)
    assert comparison.left_out == ()
    mass = comparison.row("mass_rolled")
    assert mass is not None
    for name, figure in mass.values.items():
        assert figure is not None
        assert figure.value == pytest.approx(found.packs[name].figures["mass_rolled"].value, rel=1e-12)
        np.testing.assert_allclose(
            figure.samples, found.packs[name].figures["mass_rolled"].samples, rtol=1e-12
        )


def test_like_for_like_leaves_out_what_only_one_has_and_shows_it_apart() -> None:
    found, study = two()
    comparison = compare(found, study, like_for_like=True)
    assert comparison.scope == (Function.CELLS, Function.TRAY)
    (entry,) = comparison.left_out
    assert (entry.pack, entry.function) == ("kite", Function.CONVERSION)
    assert "only kite has conversion inside the pack (charger)" in entry.why
    assert entry.mass is not None and entry.mass.value == pytest.approx(11.85, rel=1e-12)
    mass = comparison.row("mass_rolled")
    assert mass is not None and mass.difference is not None
    assert mass.difference.value == pytest.approx(2.0, rel=1e-12)


def test_the_scope_and_what_is_left_out_make_up_the_dry_mass() -> None:
    found, study = two()
    comparison = compare(found, study, like_for_like=True)
    mass = comparison.row("mass_rolled")
    assert mass is not None
    inside = mass.values["kite"]
    outside = comparison.left_out[0].mass
    assert (
        inside is not None and inside.value is not None and outside is not None and outside.value is not None
    )
    assert inside.value + outside.value == pytest.approx(
        found.packs["kite"].figures["mass_rolled"].value, rel=1e-12
    )


def test_what_one_pack_holds_alone_does_not_move_a_like_for_like_comparison() -> None:
    light, heavy = (compare(*two(mass), like_for_like=True) for mass in (5.0, 50.0))
    for row in light.rows:
        other = heavy.row(row.name)
        assert other is not None and other.differences == row.differences


def test_a_scope_asked_for_is_kept_to_and_coolant_never_in_it() -> None:
    found, study = two()
    comparison = compare(found, study, scope=[Function.TRAY, Function.COOLANT])
    assert comparison.scope == (Function.TRAY,)
    assert {(e.pack, e.function) for e in comparison.left_out} == {
        ("wren", Function.CELLS), ("kite", Function.CELLS), ("kite", Function.CONVERSION),
    }  # fmt: skip
    row = comparison.row("mass_rolled")
    assert row is not None and [v.value for v in row.values.values() if v is not None] == [30.0, 28.0]


def test_differences_are_the_first_less_each_other() -> None:
    found, study = findings(bird("wren", 30.0), bird("kite", 28.0), bird("rook", 33.0))
    row = compare(found, study).row("mass_tray_per_kwh")
    assert row is not None
    assert row.differences["kite"].value == pytest.approx(2.0 / 18.0, rel=1e-12)
    assert row.differences["rook"].value == pytest.approx(-3.0 / 18.0, rel=1e-12)
    assert row.difference == row.differences["kite"]


def test_what_the_interval_leaves_open_is_not_settled() -> None:
    found, study = findings(bird("wren", 30.0), bird("kite", 30.02), bird("rook", 25.0))
    row = compare(found, study).row("mass_rolled")
    assert row is not None
    near, far = row.differences["kite"], row.differences["rook"]
    assert near.low < 0.0 < near.high and not near.settled
    assert far.low > 0.0 and far.settled


def test_what_packs_share_makes_the_difference_tighter_than_either() -> None:
    def on_scale(record: Pack, scale: str) -> Pack:
        spread = Spread(shape=Shape.NORMAL, u=0.0, shared=((f"instrument:{scale}", 0.05),))
        items = tuple(
            replace(i, mass=replace(i.mass, spread=spread)) if i.mass is not None else i for i in record.items
        )
        return replace(record, items=items)

    def width(first: str, second: str) -> tuple[float, float]:
        found, study = findings(on_scale(bird("wren", 30.0), first), on_scale(bird("kite", 28.0), second))
        row = compare(found, study).row("mass_rolled")
        assert row is not None and row.difference is not None
        own = row.values["wren"]
        assert own is not None and own.low is not None and own.high is not None
        return row.difference.high - row.difference.low, own.high - own.low

    shared, own = width("bench", "bench")
    apart, _ = width("bench", "other")
    assert shared < 0.01 * own  # the scale's error cancels piece for piece
    assert apart == pytest.approx(np.sqrt(2.0) * own, rel=0.05)  # 2,000 samples: width to about 3.5 %


def test_a_variant_shares_all_it_has_not_changed() -> None:
    base = bird("wren", 30.0)
    variant = replace(
        base,
        id="wren2",
        name="wren2",
        items=tuple(replace(i, mass=read(29.9)) if i.number == "1.2" else i for i in base.items),
    )
    found, study = findings(base, variant)
    row = compare(found, study).row("mass_rolled")
    assert row is not None and row.difference is not None
    assert row.difference.settled  # 0.1 kg of 130, though either is only known to ±0.4
    assert row.difference.value == pytest.approx(0.1, rel=1e-9)


def test_a_function_only_one_has_gives_a_row_without_a_difference() -> None:
    found, study = two()
    row = compare(found, study).row("mass_conversion_per_kwh")
    assert row is not None
    assert row.values["wren"] is None and row.values["kite"] is not None
    assert row.difference is None


def test_lines_without_a_function_are_left_out_of_like_for_like_and_named() -> None:
    found, study = findings(bird("wren", 30.0), bird("kite", 28.0, part("1.9", "oddment", 1.0)))
    everything = compare(found, study).row("mass_rolled")
    assert everything is not None and everything.values["kite"] is not None
    assert everything.values["kite"].value == pytest.approx(129.0, rel=1e-12)
    (entry,) = compare(found, study, like_for_like=True).left_out
    assert entry.function is None and "oddment" in entry.why


def test_per_kilowatt_hour_and_share_follow_from_mass_and_energy() -> None:
    comparison = compare(*two(), like_for_like=True)
    for name, expected in (
        ("energy_nominal", 100 * 50 * 3.6 / 1000),
        ("mass_per_kwh", 130 / 18.0),
        ("structure_per_kwh", 30 / 18.0),
        ("cell_mass_fraction", 100 * 100 / 130),
        ("mass_tray_share", 100 * 30 / 130),
        ("specific_energy", 18000 / 130),
    ):
        row = comparison.row(name)
        assert row is not None and row.values["wren"] is not None, name
        assert row.values["wren"].value == pytest.approx(expected, rel=1e-12), name


def money(value: float, count: int) -> Money:
    return Money(value=value, low=value, high=value, samples=np.full(count, value))


def costed(found: Findings) -> Findings:
    """The findings with a cost of a euro a kilogram on every line but the cells."""
    packs = {}
    for name, p in found.packs.items():
        lines = []
        for line in p.mass_lines:
            done = line.function is not Function.CELLS
            worth = money(line.mass or 0.0, found.samples)
            lines.append(
                CostLine(
                    item=line.item, number=line.number, name=line.name, function=line.function,
                    count=line.count, mass=line.mass,
                    status=CostStatus.COSTED if done else CostStatus.NOT_COSTED,
                    piece=worth if done else None, tooling_investment=worth if done else None,
                )
            )  # fmt: skip
        whole = {
            n: Figure(name=n, title=n, unit=u, value=1.0, samples=np.ones(found.samples))
            for n, u in (("cost_piece", "EUR2024/pack"), ("tooling_investment", "EUR2024"))
        }
        packs[name] = replace(p, cost_lines=tuple(lines), figures={**p.figures, **whole})
    return replace(found, packs=packs)


def test_costs_are_restricted_to_the_scope_and_say_what_they_cover() -> None:
    found, study = two()
    comparison = compare(costed(found), study, like_for_like=True)
    piece, per_kwh = comparison.row("cost_piece"), comparison.row("cost_per_kwh")
    assert piece is not None and per_kwh is not None
    figure = piece.values["kite"]
    assert figure is not None and figure.covers is not None
    assert figure.value == pytest.approx(28.0, rel=1e-12)
    assert (figure.covers.lines, figure.covers.mass) == pytest.approx((1 / 2, 28 / 128), rel=1e-12)
    assert per_kwh.unit == "EUR2024/kWh"
    assert per_kwh.values["kite"] is not None
    assert per_kwh.values["kite"].value == pytest.approx(28 / 18.0, rel=1e-12)
    assert per_kwh.values["kite"].covers == figure.covers
    (entry,) = comparison.left_out
    assert entry.cost is not None and entry.cost.value == pytest.approx(11.85, rel=1e-12)


def test_one_pack_or_an_empty_scope_is_refused() -> None:
    found, study = findings(bird("wren", 30.0))
    with pytest.raises(ValueError, match="it takes two"):
        compare(found, study)
    with pytest.raises(ValueError, match="scope is empty"):
        compare(*two(), scope=[Function.CONVERSION], like_for_like=True)
