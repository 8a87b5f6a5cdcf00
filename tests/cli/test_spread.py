"""Behaviour: where the spread comes from, on the command line."""

import pytest
from conftest import DATA, Lidoff


@pytest.fixture
def birds(lidoff: Lidoff) -> Lidoff:
    for name, file in (("heron", "heron.xlsx"), ("marlin", "marlin.csv")):
        status, _, err = lidoff("import", str(DATA / file), "--study", "birds", "--pack", name)
        assert status == 0, err
    return lidoff


def test_the_table_and_the_sentence(birds: Lidoff) -> None:
    status, out, _ = birds("spread", "birds", "--pack", "heron", "--figure", "mass_rolled")
    assert status == 0
    assert out.startswith("Dry mass, rolled up, heron: 447.6 kg")
    assert "Ribbon gap filler" in out and "heron.xlsx!Parts!E32" in out and "estimated" in out
    assert "interaction and non-linear" in out
    assert "Next: mass of 1.3.7 Ribbon gap filler: weigh it on a 6 kg / 0.1 g scale." in out


def test_differences_as_one_document(birds: Lidoff) -> None:
    mass, cost = birds.json("spread", "birds", "--difference")
    assert (mass["figure"], cost["figure"]) == ("mass_rolled", "cost_piece")
    for one in (mass, cost):
        assert one["difference"] and one["packs"] == ["heron", "marlin"]
        assert one["low"] < one["value"] < one["high"]
        # A document holds all shares; they add up with the rest.
        assert sum(s["share"] for s in one["shares"]) + one["rest"] == pytest.approx(1.0, rel=1e-9)
        best = one["next"][0]
        assert best["narrows"] == max(n["narrows"] for n in one["next"])
        assert one["indices"] is None


def test_indices_on_demand(birds: Lidoff) -> None:
    (one,) = birds.json("spread", "birds", "--pack", "marlin", "--figure", "mass_rolled", "--sobol")
    found = one["indices"]
    assert found["streams"][-1]["stream"] == "everything else"
    first = found["streams"][0]
    low, high = first["first_interval"]
    assert low < first["first"] < high
    assert found["evaluations"] == found["rows"] * (2 + len(found["streams"]))
    # What one weighing brings by itself, by both ways.
    assert low < one["shares"][0]["share"] < high


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--figure", "weight"), "no figure 'weight'"),
        (("--difference", "--pack", "heron"), "leave --pack out"),
        (("--pack", "osprey"), "osprey"),
    ],
)
def test_one_sentence(birds: Lidoff, arguments: tuple[str, ...], says: str) -> None:
    assert says in birds.refused("spread", "birds", *arguments)


def test_one_pack_has_no_difference(lidoff: Lidoff) -> None:
    lidoff("import", str(DATA / "marlin.csv"), "--study", "alone", "--pack", "marlin")
    status, out, err = lidoff("spread", "alone", "--difference")
    assert status == 1 and out == "" and "a difference takes two" in err
