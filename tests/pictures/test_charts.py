"""Charts: well formed, to scale, true to their numbers."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from lidoff.pictures import (
    PAGE,
    Amount,
    Closing,
    Elements,
    Group,
    Move,
    Segment,
    Series,
    Shares,
    Span,
    Stack,
    by_element,
    closure,
    common_scale,
    evidence_bar,
    paired,
    removals,
    shares,
    stacked,
    timeline,
    waterfall,
    whisker,
)
from lidoff.pictures.axis import ticks
from lidoff.pictures.palette import LIGHT
from lidoff.quantities import Basis

SVG = "{http://www.w3.org/2000/svg}"
NASTY = 'a<b>&"c"\' ]]> \x07 #$_'
HOUR = 3600.0


def read(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def every_chart(name: str) -> list[str]:
    amount = Amount(value=12.0, low=10.0, high=14.0)
    return [
        whisker(1.0, 0.5, 1.5, (0.0, 2.0), told=name),
        evidence_bar(Shares(observed=0.5, documented=0.3, open=0.2)),
        stacked(name, [Stack(name=name, total="3 kg", segments=(Segment(label=name, value=3.0),))]),
        paired(name, "kg", [name, "b"], [Group(label=name, amounts=(amount, None))]),
        by_element(name, "€", ["material", "labour"], [Elements(label=name, values=(1.0, 2.0), total="3")]),
        waterfall(
            name, "kg", [Move(label=name, value=-1.0)], Move(label="together", value=-1.0, low=-2.0, high=0.5)
        ),
        closure(
            Closing(name=name, rolled=amount, weighed=Amount(value=13.0, low=12.9, high=13.1), coolant=0.4)
        ),
        removals([Series(name=name, points=((1, Amount(value=40.0)), (2, Amount(value=30.0))))]),
        timeline(
            name, [Span(number="1", does=name, day=1, start=8 * HOUR, finish=9 * HOUR, people=2, live=True)]
        ),
    ]


@pytest.mark.parametrize("index", range(9))
def test_every_chart_is_well_formed_named_and_holds_any_text(index: int) -> None:
    root = read(every_chart(NASTY)[index])
    title = root.find(f"{SVG}title")
    assert root.get("role") == "img" and title is not None and title.text
    text = ET.tostring(root, encoding="unicode")
    assert "nan" not in text.lower().replace("tabular-nums", "") and "None" not in text


def test_charts_of_nothing_say_so() -> None:
    for svg in (
        stacked("t", []),
        paired("t", "kg", [], []),
        by_element("t", "€", ["a"], []),
        removals([]),
        timeline("t", []),
    ):
        assert any(
            word in svg for word in ("nothing recorded", "nothing costed", "no removal", "no timed step")
        )


def test_a_stack_is_to_scale() -> None:
    stack = Stack(
        name="a", total="", segments=(Segment(label="x", value=30.0), Segment(label="y", value=10.0))
    )
    first, second = (float(r.get("width", "")) for r in read(stacked("t", [stack])).iter(f"{SVG}rect"))
    # Coordinates are written with two decimals.
    assert first / second == pytest.approx(3.0, rel=1e-3)


def test_a_negative_segment_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        stacked("t", [Stack(name="a", total="", segments=(Segment(label="x", value=-1.0),))])


def test_waterfall_steps_must_add_up() -> None:
    with pytest.raises(ValueError, match="add to"):
        waterfall("t", "kg", [Move(label="a", value=1.0)], Move(label="sum", value=2.0))


def test_closure_balances() -> None:
    c = Closing(name="a", rolled=Amount(value=447.6), weighed=Amount(value=454.0), coolant=2.4)
    assert c.accounted + c.unexplained == pytest.approx(c.weighed.value, rel=1e-12)
    over = Closing(name="a", rolled=Amount(value=460.0), weighed=Amount(value=454.0))
    assert over.unexplained < 0.0
    read(closure(over))


def test_evidence_shares_sum_to_one_and_missing_is_not_drawn() -> None:
    part = shares({Basis.WEIGHED: 3.0, Basis.MARKED: 1.0, Basis.ASSUMED: 1.0})
    assert part is not None
    assert (part.observed, part.documented, part.open) == pytest.approx((0.6, 0.2, 0.2), rel=1e-12)
    assert shares({}) is None


def test_a_whisker_outside_its_scale_stays_inside_the_picture() -> None:
    root = read(whisker(5.0, -50.0, 60.0, (0.0, 10.0), told="x"))
    xs = [float(e.get(key, "")) for e in root.iter(f"{SVG}line") for key in ("x1", "x2")]
    assert min(xs) >= 0.0 and max(xs) <= float(root.get("width", ""))


def test_a_common_scale_holds_all_ends() -> None:
    scale = common_scale((1.0, 2.0), (None, None), (5.0, 5.0))
    assert scale is not None and scale[0] < 1.0 and scale[1] > 5.0
    assert common_scale((None, None)) is None
    same = common_scale((3.0, 3.0))
    assert same is not None and same[0] < 3.0 < same[1]


def test_orange_marks_live_work_only() -> None:
    step = Span(number="1", does="lid", day=1, start=8 * HOUR, finish=9 * HOUR, people=1)
    assert LIGHT.orange not in timeline("t", [step])
    live = Span(number="2", does="bars", day=1, start=9 * HOUR, finish=10 * HOUR, people=2, live=True)
    assert LIGHT.orange in timeline("t", [step, live])


def test_a_bar_is_as_high_as_people() -> None:
    def high(people: int) -> float:
        span = Span(number="1", does="x", day=1, start=8 * HOUR, finish=9 * HOUR, people=people)
        return float(next(read(timeline("t", [span])).iter(f"{SVG}rect")).get("height", ""))

    assert high(2) == pytest.approx(2 * high(1), rel=1e-6)


def test_page_colours_follow_the_page() -> None:
    svg = stacked("t", [Stack(name="a", total="", segments=(Segment(label="x", value=3.0),))], palette=PAGE)
    assert "var(--ink)" in svg and "#1b232d" not in svg


def test_ticks_are_round_and_inside() -> None:
    assert ticks(0.0, 10.0, 5) == (0.0, 2.0, 4.0, 6.0, 8.0, 10.0)
    marks = ticks(446.3, 454.6, 6)
    assert all(446.3 <= m <= 454.6 for m in marks) and len(marks) >= 3
