"""Plan views: what is drawn, where, and to which scale."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidoff.pictures import LIGHT, Plan, PlanParts, plan_parts, plans
from lidoff.pictures.arrange import Rect, arrange
from lidoff.pictures.parts import Block
from lidoff.quantities import Basis, Reading, Word
from lidoff.records import Fact, Item, Pack

SVG = "{http://www.w3.org/2000/svg}"


def metres(value: float) -> Reading:
    return Reading(value=value, unit="m", basis=Basis.MEASURED)


def parts(length: float, width: float, **more: object) -> PlanParts:
    return PlanParts(name="Tern", length=length, width=width, height=None, **more)  # type: ignore[arg-type]


def inside(a: Rect, b: Rect, slack: float = 1e-9) -> bool:
    return (
        a.x >= b.x - slack
        and a.y >= b.y - slack
        and a.x + a.w <= b.x + b.w + slack
        and a.y + a.h <= b.y + b.h + slack
    )


def overlap(a: Rect, b: Rect, slack: float = 1e-9) -> bool:
    return (
        a.x + slack < b.x + b.w
        and b.x + slack < a.x + a.w
        and a.y + slack < b.y + b.h
        and b.y + slack < a.y + a.h
    )


@given(
    st.floats(1.2, 3.0),
    st.floats(0.8, 1.6),
    st.floats(0.1, 1.2),
    st.floats(0.1, 0.5),
    st.integers(1, 24),
    st.integers(0, 4),
)
def test_nothing_overlaps_and_nothing_sticks_out(
    length: float, width: float, long: float, short: float, count: int, beams: int
) -> None:
    module = Block(name="module", length=max(long, short), width=min(long, short), count=count)
    beam = Block(name="beam", length=0.8 * width, width=0.04, count=beams) if beams else None
    box = Block(name="box", length=0.3, width=0.2, count=1)
    arranged = arrange(parts(length, width, modules=module, members=beam, boxes=(box,)))
    assert arranged is not None
    drawn = [*arranged.modules, *arranged.members, *arranged.boxes]
    assert all(inside(rect, arranged.inner) for rect in drawn)
    assert not any(overlap(a, b) for n, a in enumerate(drawn) for b in drawn[n + 1 :])
    # What is not drawn is named, never dropped.
    assert len(arranged.modules) in (0, count)
    if not arranged.modules:
        assert "module" in arranged.left_out
    assert bool(arranged.boxes) != ("box" in arranged.left_out)


def test_modules_of_a_real_size_fill_the_width() -> None:
    """Twelve modules of 492 × 392 in 2560 × 1350 with 75 mm rails stand 4 by 3, with a bay left."""
    arranged = arrange(
        parts(
            2.56,
            1.35,
            rail=0.075,
            modules=Block(name="m", length=0.492, width=0.392, count=12),
            members=Block(name="b", length=1.196, width=0.04, count=4),
            boxes=(Block(name="box", length=0.34, width=0.26, count=1),),
        )
    )
    assert arranged is not None
    assert len({round(r.x, 6) for r in arranged.modules}) == 4
    assert len({round(r.y, 6) for r in arranged.modules}) == 3
    assert len(arranged.members) == 4
    assert arranged.left_out == ()


def rects(svg: str) -> list[ET.Element]:
    return list(ET.fromstring(svg).iter(f"{SVG}rect"))


def test_packs_share_one_scale_and_show_real_dimensions() -> None:
    svg = plans([Plan(parts=parts(2.0, 1.0)), Plan(parts=parts(1.0, 0.5))])
    outlines = [r for r in rects(svg) if r.get("stroke-width") == "1.5"]
    first, second = (float(r.get("width", "")) for r in outlines)
    # Coordinates are written with two decimals.
    assert first / second == pytest.approx(2.0, rel=1e-3)
    texts = [t.text for t in ET.fromstring(svg).iter(f"{SVG}text")]
    assert {"2000", "1000", "500"} <= set(texts)


def test_a_pack_without_sizes_is_named_not_drawn() -> None:
    blank = PlanParts(name="Plover", length=None, width=None, height=None)
    svg = plans([Plan(parts=parts(2.0, 1.0)), Plan(parts=blank)])
    assert "Plover: outer sizes not recorded" in svg
    assert "outer sizes not recorded" in plans([Plan(parts=blank)])
    assert "no pack" in plans([])


def test_orange_is_for_high_voltage_only() -> None:
    module = Block(name="m", length=0.4, width=0.3, count=2)
    assert LIGHT.orange not in plans([Plan(parts=parts(2.0, 1.0, modules=module))])
    box = Block(name="switch box", length=0.3, width=0.2, count=1)
    assert LIGHT.orange in plans([Plan(parts=parts(2.0, 1.0, modules=module, boxes=(box,)))])


def test_parts_are_found_by_what_they_are_for() -> None:
    def item(
        identity: str,
        parent: str | None,
        function: str | None,
        size: tuple[float, float] | None,
        n: float = 1,
    ):  # type: ignore[no-untyped-def]
        return Item(
            id=identity,
            number=identity,
            name=identity,
            parent=parent,
            quantity=Reading(value=n, unit="", basis=Basis.COUNTED),
            function=Word(text=function, means=function) if function else None,
            length=metres(size[0]) if size else None,
            width=metres(size[1]) if size else None,
        )

    pack = Pack(
        id="p",
        name="Tern",
        items=(
            item("pack", None, None, (2.0, 1.2)),
            item("block", "pack", None, (0.5, 0.3), 6),
            item("cell", "block", "cells", (0.2, 0.03), 16),
            item("switchbox", "pack", "switching", (0.3, 0.25)),
            item("relay", "switchbox", "switching", (0.29, 0.24)),
            item("rail", "pack", "tray", (1.99, 0.07), 2),
            item("beam", "pack", "tray", (1.0, 0.05), 3),
            item("plug", "pack", "switching", (0.05, 0.04)),
        ),
        facts=(Fact(id="w", label="W", text="1.2", key="envelope_width", reading=metres(1.2)),),
    )
    found = plan_parts(pack)
    assert (found.length, found.width) == (2.0, 1.2)
    assert found.modules is not None and (found.modules.name, found.modules.count) == ("block", 6)
    assert [box.name for box in found.boxes] == ["switchbox"]
    assert found.members is not None and found.members.count == 3
    assert found.rail == 0.07


def test_the_bay_keeps_room_for_the_boxes() -> None:
    """Seven blocks of 1178 × 212 in 1960 × 1290 leave a bay that holds a 420 × 280 and a 300 × 240 box."""
    arranged = arrange(
        parts(
            1.96,
            1.29,
            modules=Block(name="block", length=1.178, width=0.212, count=7),
            members=Block(name="member", length=1.15, width=0.172, count=4),
            boxes=(
                Block(name="charger", length=0.42, width=0.28, count=1),
                Block(name="switch box", length=0.3, width=0.24, count=1),
            ),
        )
    )
    assert arranged is not None
    assert arranged.left_out == () and len(arranged.boxes) == 2 and len(arranged.modules) == 7


def test_loose_cells_by_the_thousand_are_not_drawn() -> None:
    cell = Item(
        id="c",
        number="1.1",
        name="cell",
        parent="p",
        length=metres(0.07),
        width=metres(0.02),
        quantity=Reading(value=4000.0, unit="", basis=Basis.COUNTED),
        function=Word(text="cell", means="cells"),
    )
    root = Item(id="p", number="1", name="pack", length=metres(2.0), width=metres(1.2))
    assert plan_parts(Pack(id="p", name="Tern", items=(root, cell))).modules is None
