"""Behaviour: what benches write for a material is understood as a practitioner would."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.materials import COATINGS, MATERIALS, recognise
from lidoff.quantities import Evidence

STATED = {
    # one bench, in English
    "steel": "steel",
    "steel, e-coated": "steel",
    "steel 8.8": "steel_8_8",
    "steel 10.9": "steel_10_9",
    "butyl on Al foil": "butyl_on_foil",
    "silicone": "silicone_sealant",
    "silicone, filled": "gap_filler_silicone",
    "Al": "aluminium",
    "Al 0.4 mm": "aluminium",
    "Al die cast": "aluminium_die_cast",
    "Al, insulated": "aluminium",
    "Cu": "copper",
    "Cu, Ni plated": "copper",
    "Cu, Sn plated, sleeve": "copper",
    "Cu/Mn": "copper_manganese",
    "Cu/PVC": "harness",
    "PBT, membrane": "pbt",
    "PET/PI": "film_pet_pi",
    "PU 2K": "pu",
    "FPC": "flex_circuit",
    "PCBA": "pcb_assembly",
    "PCBA + Al": "electronics_housed",
    "PA12": "pa12",
    "PPA": "ppa",
    "EPDM": "epdm",
    "bought-in": "bought_in",
    "glycol/water": "glycol_water",
    # another, in German
    "SMC": "smc",
    "Stahl": "steel",
    "Stahl 8.8": "steel_8_8",
    "Stahl, verzinkt": "steel_zinc",
    "Stahl hochfest": "steel_high_strength",
    "LFP/Graphit": "cell_lfp",
    "Al-Druckguss": "aluminium_die_cast",
    "Glimmer": "mica",
    "Glimmer + Schaum": "mica_foam",
    "PA66-GF": "pa66_gf30",
    "PA66": "pa66",
    "Silikon, gefüllt": "gap_filler_silicone",
    "Zukauf": "bought_in",
    "Platine": "pcb_assembly",
    "Platine + Al": "electronics_housed",
    # others, other spellings, other languages
    "Aludruckguss AlSi9Cu3(Fe)": "aluminium_die_cast",
    "EN AW-6082 T6": "aluminium_6082",
    "PA6.6 GF35": "pa66_gf30",
    "PA 66-GF 30": "pa66_gf30",
    "PA66GF25 FR(40)": "pa66_gf30",
    "GF30-PA6": "pa6_gf30",
    "PP-LGF30": "pp_gf30",
    "Edelstahl 1.4301": "stainless",
    "Federstahl": "steel_spring",
    "caoutchouc EPDM": "epdm",
    "acier zingué": "steel_zinc",
    "tôle acier galvanisé": "steel_zinc",
    "laiton étamé": "brass",
    "alluminio estruso 6063": "aluminium_6063",
    "Keramikfaserpapier": "ceramic_paper",
    "bought-in, steel": "steel",
    "PA66 + steel insert": "pa66",
    "NCM811": "cell_nmc",
}

UNSURE = {
    "Al extr.": ("aluminium_6xxx", Evidence.STATED),
    "Al extr., 6005A? (XRF)": ("aluminium_6005a", Evidence.SPECTROMETER),
    "AlSi10MnMg? marked >AlSi<": ("aluminium_alsi10mnmg", Evidence.MARKED),
    "Al, 3xxx?": ("aluminium_3xxx", Evidence.GUESSED),
    "Al, soft": ("aluminium_1xxx", Evidence.STATED),
    "Al sheet": ("aluminium_5xxx", Evidence.STATED),
    "NCA? / graphite": ("cell_nca", Evidence.GUESSED),
    "vermutlich PA6 GF30": ("pa6_gf30", Evidence.GUESSED),
}

MARKED = {
    "PC/ABS FR (marked)": "pc_abs",
    "PP-GF30 (marked)": "pp_gf30",
    "POM (marked)": "pom",
    "PA66 FR (marked)": "pa66",
    "PBT-GF30 (marked)": "pbt_gf30",
    ">PA66-GF30<": "pa66_gf30",
    "> PP + EPDM - TD20 <": "pp_talc",
}


@pytest.mark.parametrize(("text", "key"), STATED.items())
def test_stated(text: str, key: str) -> None:
    found = recognise(text)
    assert found is not None
    assert (found.key, found.evidence, found.sure) == (key, Evidence.STATED, True)


@pytest.mark.parametrize(("text", "wanted"), UNSURE.items())
def test_hedged_or_inferred_is_not_sure(text: str, wanted: tuple[str, Evidence]) -> None:
    found = recognise(text)
    assert found is not None
    assert (found.key, found.evidence) == wanted
    assert not found.sure


@pytest.mark.parametrize(("text", "key"), MARKED.items())
def test_marked(text: str, key: str) -> None:
    found = recognise(text)
    assert found is not None
    assert (found.key, found.evidence, found.sure) == (key, Evidence.MARKED, True)


def test_hardness_and_spectrometer_are_evidence() -> None:
    hard, light = recognise("steel, 320 HV"), recognise("Al 6xxx (spark OES)")
    assert hard is not None and hard.evidence is Evidence.HARDNESS
    assert light is not None and light.evidence is Evidence.SPECTROMETER


@pytest.mark.parametrize(
    ("text", "coatings"),
    [
        ("Cu, Sn plated, sleeve", {"tin", "insulation"}),
        ("steel, e-coated", {"e_coat"}),
        ("Stahl, verzinkt", {"zinc"}),
        ("Ni-plated steel", {"nickel"}),
        ("M8 8.8 ZnNi", {"zinc"}),
        ("Al, anodised", {"anodised"}),
        ("PA66", set()),
    ],
)
def test_coatings_are_noted(text: str, coatings: set[str]) -> None:
    found = recognise(text)
    assert found is not None
    assert set(found.coatings) == coatings
    assert coatings <= set(COATINGS)


@pytest.mark.parametrize("text", ["", "-", "n/a", "mixed", "wood", "12,5", "???", "siehe Foto"])
def test_unknown_words_are_not_guessed(text: str) -> None:
    assert recognise(text) is None


@given(st.text(max_size=80))
def test_any_text_is_answered(text: str) -> None:
    found = recognise(text)
    assert found is None or found.key in MATERIALS


@given(st.sampled_from(sorted(STATED)), st.sampled_from(["", " ", "?", " (XRF)"]))
def test_case_and_spaces_do_not_matter(text: str, tail: str) -> None:
    plain, shouted = recognise(text + tail), recognise("  " + (text + tail).upper() + " ")
    assert plain is not None and shouted is not None
    assert plain.key == shouted.key
