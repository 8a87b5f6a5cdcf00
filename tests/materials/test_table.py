"""Behaviour and physics of the material tables."""

from __future__ import annotations

import pytest

from lidoff.materials import MATERIALS, MaterialError, load_materials
from lidoff.quantities import Basis, Shape

GOOD = '[x]\ntitle = "x"\nfamily = "steel"\ndensity = [7.85, "g/cm^3", 0.01, "en_1993_1_1"]\n'


def test_properties_are_si() -> None:
    assert load_materials(GOOD)["x"].density.value == pytest.approx(7850.0, rel=1e-12)
    melt = MATERIALS["pa66"].properties["melt_temperature"]
    assert melt.value == pytest.approx(291 + 273.15, rel=1e-9)
    assert melt.spread.u == pytest.approx(0.03 * 291, rel=1e-9)


def test_wide_spreads_go_by_a_factor_and_choices_are_estimates() -> None:
    board = MATERIALS["pcb_assembly"].density
    assert board.spread.shape is Shape.LOGNORMAL and board.basis is Basis.ESTIMATED
    assert MATERIALS["steel"].density.basis is Basis.PUBLISHED


def test_a_missing_property_is_none_not_zero() -> None:
    assert MATERIALS["mica"].get("shear_strength") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (GOOD.replace("g/cm^3", "MPa"), "density in 'MPa'"),
        (GOOD.replace("g/cm^3", "qq"), "unknown unit 'qq'"),
        (GOOD.replace("en_1993_1_1", "nobody"), "no source 'nobody'"),
        (GOOD.replace("7.85", "-7.85"), "out of range"),
        (GOOD + 'colour = "grey"', "unknown entries: colour"),
        ('[x]\ntitle = "x"\nfamily = "steel"', "no density"),
        (GOOD + "aliases = [", "material table"),
    ],
)
def test_a_bad_table_is_told_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(MaterialError, match=says):
        load_materials(text)


def test_physics_of_the_numbers() -> None:
    for material in MATERIALS.values():
        values = {name: prop.value for name, prop in material.properties.items()}
        assert 50.0 < values["density"] < 10_000.0, material.key
        if "shear_strength" in values and "tensile_strength" in values:  # shear is the smaller
            assert 0.45 < values["shear_strength"] / values["tensile_strength"] < 0.9, material.key
        if "melt_temperature" in values:
            assert values["mould_temperature"] < values["eject_temperature"] < values["melt_temperature"]


def test_filling_with_glass_makes_denser() -> None:
    for plain in ("pa66", "pa6", "pbt", "pp"):
        assert MATERIALS[f"{plain}_gf30"].density.value > MATERIALS[plain].density.value


def test_every_alias_leads_to_one_material() -> None:
    """No alias is listed twice under materials of equal standing, else the order would decide."""
    seen: dict[tuple[str, bool], str] = {}
    for material in MATERIALS.values():
        for alias in material.aliases:
            key = (alias, alias in material.unsure or material.general)
            assert key not in seen, f"{alias!r} stands under {seen.get(key)} and {material.key}"
            seen[key] = material.key
