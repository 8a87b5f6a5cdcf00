"""Bought parts: the class a part is priced as, where its name alone would mislead."""

from __future__ import annotations

import pytest
from by_hand import part

from lidoff.evaluate.cost.bought import bought_note, bought_rows
from lidoff.materials import MATERIALS, recognise
from lidoff.prices import price_book
from lidoff.records import Function


def rows(name: str, material: str, function: Function | None = None) -> dict[str, str]:
    known = recognise(material)
    made_of = None if known is None else MATERIALS[known.key]
    return bought_rows(price_book(), part("1", name, 0.1, material=material), made_of, function)


@pytest.mark.parametrize(
    ("name", "material", "function", "row"),
    [
        ("Lead board to module", "Cu/PVC", None, "bought.cable"),
        ("Messplatine", "PCBA", None, "bought.monitor_board"),
        ("Leitung Vorlauf", "PA12", Function.COOLING, "bought.hose"),
        ("HV-Leitung", "Cu/PVC", Function.BUSBARS, "bought.cable"),
        ("Buchse", "bought-in", Function.INTERFACE, "bought.socket"),
        ("Buchse im Halter", "steel", Function.MOUNT, "bought.bush"),
        ("Unheard-of thing", "PA66", None, "material.pa66"),
        ("Unheard-of thing", "stuff", None, "bought.other"),
    ],
)
def test_material_and_function_have_a_say(
    name: str, material: str, function: Function | None, row: str
) -> None:
    assert rows(name, material, function)["item.price"] == row


def test_a_class_brings_its_price_a_piece() -> None:
    assert rows("Harness clip", "PA66")["item.piece_price"] == "bought_piece.clip"
    assert "item.piece_price" not in rows("Unheard-of thing", "PA66")


def test_what_no_class_knows_is_said() -> None:
    thing = part("1", "Thing", 0.1)
    assert "as any bought part" in bought_note("bought.other", thing)[0]
    assert "as pa66" in bought_note("material.pa66", thing)[0]
    assert bought_note("bought.clip", thing) == ()
