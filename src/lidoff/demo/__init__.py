"""The demo study: two invented packs as two invented benches wrote them, and the client's question.

The files are read by the same import as any bench file. ``tools/make_demo.py`` makes them.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from ..records import Scenario

_HOME = Path(__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoPack:
    """A bench file of the demo. ``accept`` are ids of the questions the story answers."""

    pack_id: str
    name: str
    path: Path
    accept: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """What the study is about: its name, the client's question and the scenario asked for."""

    study: str
    question: str
    scenario: Scenario
    packs: tuple[DemoPack, ...]


def _read_story() -> Story:
    with (_HOME / "story.toml").open("rb") as stream:
        told = tomllib.load(stream)
    terms = told["scenario"]
    return Story(
        study=told["study"],
        question=" ".join(told["question"].split()),
        scenario=Scenario(volume=float(terms["volume"]), life=float(terms["life"])),
        packs=tuple(
            DemoPack(
                pack_id=f"demo/{pack['name']}",
                name=pack["name"],
                path=_HOME / pack["file"],
                accept=tuple(pack["accept"]),
            )
            for pack in told["packs"]
        ),
    )


STORY = _read_story()


def files() -> tuple[DemoPack, ...]:
    """The bench files, in the order of the story."""
    return STORY.packs


__all__ = ["STORY", "DemoPack", "Story", "files"]
