"""Behaviour: the words a script relies on are written down and kept to."""

from pathlib import Path

from by_hand import fact, pack, part

from lidoff.evaluate import FIGURES, evaluate
from lidoff.evaluate.doubts import KINDS
from lidoff.records import FUNCTIONS, Study
from lidoff.sources import source

WORDS = (Path(__file__).parents[2] / "docs" / "words.md").read_text("utf-8")

#: Names that scripts were promised from the start, with the units they were promised in.
PROMISED = {
    "mass_rolled": "kg", "mass_weighed": "kg", "mass_closure": "%", "cell_count": "", "energy_nominal": "kWh",
    "voltage_nominal": "V", "voltage_max": "V", "cell_mass_fraction": "%", "specific_energy": "Wh/kg",
    "energy_density": "Wh/l", "cost_piece": "money/pack", "cost_material": "money/pack",
    "cost_labour": "money/pack", "cost_burden": "money/pack", "cost_markup": "money/pack",
    "cost_tooling_per_piece": "money/pack", "tooling_investment": "money", "cost_per_kwh": "money/kWh",
}  # fmt: skip


def test_promised_figures_keep_name_and_unit() -> None:
    assert {name: FIGURES[name].unit for name in PROMISED} == PROMISED


def test_every_figure_and_doubt_is_written_down_with_its_unit_and_meaning() -> None:
    for kind in FIGURES.values():
        assert f"| `{kind.name}` | {kind.unit or 'plain number'} | {kind.means} |" in WORDS
    for name in KINDS:
        assert f"| {name} | " in WORDS


def test_an_evaluation_gives_no_figure_that_is_not_listed() -> None:
    items = [part(f"1.{n}", "line", 1.0, function=f.value, parent=None) for n, f in enumerate(FUNCTIONS)]
    record = pack(
        *items, part("2", "loose", 1.0), facts=(fact("cells_series", 1.0), fact("mass_weighed", 20.0))
    )
    found = evaluate(Study(id="s", name="s", packs=(record,)), samples=50).packs["wren"].figures
    assert set(found) == set(FIGURES)
    assert all(f.unit == FIGURES[n].unit.replace("money", "EUR") for n, f in found.items())


def test_sources_of_a_figure_are_in_the_citation_table() -> None:
    record = pack(
        part("1", "cell", 1.0, function="cells", material="LFP"), facts=(fact("cells_series", 100.0),)
    )
    findings = evaluate(Study(id="s", name="s", packs=(record,)), topics=("energy",), samples=50)
    assert findings.sources
    for identity in findings.sources:
        source(identity)
