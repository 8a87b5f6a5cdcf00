"""Joints: making them is labour and stations; what they are made of are lines of the parts tree."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

import numpy as np

from ...methods.routes import RouteChoice, fold
from ...quantities import Reading
from ...records import Function, Joint, Route, RouteStep
from ..findings import MassLine
from .amount import Amount
from .frame import Frame
from .inputs import Subject, drawn
from .lines import Costed, cost_of, not_costed
from .route import NotCosted, run_route

OUTSIDE = "made where the pack is built in, not by the maker of the pack"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointKind:
    """A kind of joint; ``method`` is the book that costs one piece of it."""

    title: str
    words: tuple[str, ...]
    method: str | None
    why: str = ""


@cache
def kinds() -> tuple[tuple[JointKind, ...], frozenset[str]]:
    """Kinds of joints, and the words by which one is made outside the pack's assembly."""
    data = tomllib.loads((Path(__file__).parent / "joints.toml").read_text("utf-8"))
    found = tuple(
        JointKind(
            title=raw["title"], words=tuple(raw["words"]), method=raw.get("method"), why=raw.get("why", "")
        )
        for raw in data["kinds"].values()
    )
    return found, frozenset(data["outside"]["words"])


@lru_cache(maxsize=4096)
def kind_of_joint(text: str) -> JointKind | None:
    """What a bench's words say, the longest that fit winning; "M6x16" counts as "m6"."""
    folded = fold(re.sub(r"\b([Mm]\d+)\s*[xX×]\s*\d+", r"\1", text))
    best: tuple[int, JointKind] | None = None
    for kind in kinds()[0]:
        found = [word for word in kind.words if re.search(rf"(?<!\w){re.escape(word)}(?!\w)", folded)]
        length = max((len(word) for word in found), default=0)
        if length and (best is None or length > best[0]):
            best = (length, kind)
    return None if best is None else best[1]


def joint_line(frame: Frame, joint: Joint) -> Costed:
    """The line of making a group of joints, which is one piece of work on each pack."""
    shown = joint_mass_line(joint)
    try:
        subject, route = joint_subject(frame, joint)
        cost = run_route(frame, subject, route)
        return cost_of(frame, shown, subject, RouteChoice(route=route), cost, (), [])
    except NotCosted as why:
        return Costed(line=not_costed(shown, str(why)), basis={})


def joint_mass_line(joint: Joint) -> MassLine:
    """How a group of joints stands in a list of lines: with its pieces, without a mass."""
    return MassLine(
        item=joint.id,
        number="",
        name=f"Joints: {joint.kind.strip() or 'not said'}, {joint.first_text} to {joint.second_text}",
        function=Function.FASTENERS,
        count=0.0 if joint.count is None else joint.count.value,
        mass=None,
        basis=None,
    )


def joint_subject(frame: Frame, joint: Joint) -> tuple[Subject, Route]:
    """What a group of joints is costed as, and its route of one step. Raises `NotCosted`."""
    kind = _costable(joint)
    return _subject(frame, joint), Route(steps=(RouteStep(method=str(kind.method)),))


def _costable(joint: Joint) -> JointKind:
    outside = kinds()[1]
    if outside & {*fold(joint.first_text).split(), *fold(joint.second_text).split()}:
        raise NotCosted(OUTSIDE)
    kind = kind_of_joint(joint.kind)
    if kind is None:
        raise NotCosted(f"the joint {joint.kind.strip()!r} is not understood")
    if kind.method is None:
        raise NotCosted(kind.why or f"{kind.title} has no method book yet")
    if joint.count is None or joint.count.value <= 0.0:
        raise NotCosted("how many there are was not recorded")
    return kind


def _subject(frame: Frame, joint: Joint) -> Subject:
    known: dict[str, tuple[Amount, None]] = {}
    readings: dict[str, Reading] = {}
    if joint.torques:
        known["joint.torque"] = (_mean(frame, joint), None)
    if joint.count is not None:
        readings["joint.count"] = joint.count
    return Subject(id=joint.id, per_pack=1.0, known=known, readings=readings)


def _mean(frame: Frame, joint: Joint) -> Amount:
    draws = [drawn(frame, torque, f"{joint.id}.torque.{n}") for n, torque in enumerate(joint.torques)]
    value = sum(draw.value for draw in draws) / len(draws)
    return Amount(value=value, samples=np.mean([draw.samples for draw in draws], axis=0))
