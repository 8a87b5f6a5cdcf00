"""Contributions: bars to one scale, told in words, nothing drawn for what is below zero."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from lidoff.pictures import LIGHT, Contribution, contributions

SVG = "{http://www.w3.org/2000/svg}"
ROWS = (
    Contribution(label="mass of filler", share=0.6, removable=0.5),
    Contribution(label="scale", share=0.3),
    Contribution(label="interaction and non-linear", share=-0.02, all_together=True),
)


def bars(svg: str, fill: str) -> list[float]:
    return [
        float(r.get("width", "0")) for r in ET.fromstring(svg).iter(f"{SVG}rect") if r.get("fill") == fill
    ]


def test_bars_are_to_one_scale_and_the_solid_part_is_what_can_go() -> None:
    svg = contributions("Shares", ROWS)
    whole, solid = bars(svg, LIGHT.fill), bars(svg, LIGHT.blue)
    # Half a unit of the second decimal that coordinates are written with, over bars of 75 and more.
    assert whole[1] == pytest.approx(0.5 * whole[0], rel=1e-3)
    assert solid == pytest.approx([0.5 * whole[0]], rel=1e-3)


def test_below_zero_is_told_and_not_drawn() -> None:
    svg = contributions("Shares", ROWS)
    assert len(bars(svg, LIGHT.fill)) == 2 and not bars(svg, LIGHT.sheet)
    said = "".join(ET.fromstring(svg).itertext())
    assert "−2" in said and "mass of filler" in said and "60" in said


def test_nothing_spreads_and_odd_names() -> None:
    assert "no spread" in contributions("Shares", (Contribution(label="x", share=0.0),))
    assert "no spread" in contributions("Shares", ())
    ET.fromstring(contributions('a<b>&"c"', (Contribution(label='<&"> \x07', share=1.0),)))
