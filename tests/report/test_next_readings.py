"""What to measure next, as the report tells it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from lidoff.compare import compare
from lidoff.evaluate.spread import (
    InputKind,
    Named,
    Proposal,
    Share,
    Shares,
    SpreadOf,
    Spreads,
    Target,
)
from lidoff.quantities import Basis
from lidoff.report.blocks import plain
from lidoff.report.content.next import next_readings, next_text
from lidoff.report.content.spread import spread
from lidoff.report.content.story import Story

from .study_by_hand import ISSUED, findings, study


def named(stream: str, title: str) -> Named:
    return Named(stream=stream, kind=InputKind.MASS, title=title, where="a.xlsx!E6", basis=Basis.ESTIMATED)


def proposal(stream: str, title: str, narrows: float) -> Proposal:
    return Proposal(
        named=named(stream, title),
        says="weigh it",
        factor=0.1,
        share=0.5,
        low=9.0,
        high=11.0,
        narrows=narrows,
    )


@cache
def looked_into() -> Spreads:
    """By hand: a figure and a difference, one reading proposed for both."""
    first, second = (pack.id for pack in study().packs[:2])
    shares = tuple(Share(stream=s, share=v) for s, v in (("x.mass", 0.6), ("y.mass", 0.3)))

    def one(packs: tuple[str, ...], *proposals: Proposal) -> SpreadOf:
        target = Target(
            name="mass_rolled", title="Dry mass", unit="kg", packs=packs, take=lambda _: (10.0, np.zeros(3))
        )
        found = Shares(
            target=target, value=10.0, low=8.0, high=12.0, variance=1.0, shares=shares, rest=0.1, follows=0.9
        )
        told = {"x.mass": named("x.mass", "mass of X"), "y.mass": named("y.mass", "mass of Y")}
        return SpreadOf(target=target, shares=found, named=told, next=proposals)

    return Spreads(
        targets=(
            one((first,), proposal("x.mass", "mass of X", 0.2), proposal("y.mass", "mass of Y", 0.1)),
            one((first, second), proposal("x.mass", "mass of X", 0.4)),
        )
    )


def story(spreads: Spreads | None = None) -> Story:
    return Story(
        study=study(),
        findings=findings(),
        comparison=compare(findings(), study()),
        issued=ISSUED,
        spread=spreads,
    )


def test_unweighed_lines_come_first_and_need_nobody_to_look_into_the_spread() -> None:
    found = next_readings(story())
    assert found[0].missing and found[0].what.startswith("Glue")
    assert next_readings(story(looked_into()))[0].missing


def test_a_reading_is_told_once_where_it_brings_most() -> None:
    found = [n for n in next_readings(story(looked_into())) if not n.missing]
    assert [(n.what, n.narrows) for n in found] == [("mass of X", 0.4), ("mass of Y", 0.1)]
    first, second = (pack.name for pack in study().packs[:2])
    assert found[0].packs == f"{first} less {second}"
    text = plain(next_text(found[0]))
    assert "weigh it" in text and "40" in text and "kg" in text


def test_the_section_shows_the_differences_with_the_rest() -> None:
    section = spread(story(looked_into()))
    assert section is not None
    pictures = [block for block in section.blocks if hasattr(block, "alt")]
    assert len(pictures) == 1 and "interaction and non-linear 10" in pictures[0].alt


def test_without_differences_it_shows_the_figures() -> None:
    only = replace(looked_into(), targets=looked_into().targets[:1])
    section = spread(story(only))
    assert section is not None and section.anchor == "spread"
    assert spread(story()) is None
