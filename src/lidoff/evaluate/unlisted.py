"""Lines likely missing from a parts list: from what is there, and from the joints."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from ..records import Function, Item, Joint, Pack
from .mass import holds_coolant
from .tree import Tree

_THREAD = re.compile(r"\bM\s?(\d{1,2})(?:\s?[x×]\s?(\d{1,3}))?\b", re.IGNORECASE)
#: Joints to the vehicle: their screws come off with the pack or stay on the car, never in the list.
_VEHICLE = re.compile(
    r"\b(vehicle|car|body|fahrzeug|karosserie|véhicule|veicolo|vehículo|voertuig)\b", re.IGNORECASE
)

Thread = tuple[int, int | None]


@cache
def _rows() -> tuple[Mapping[str, Any], ...]:
    text = (files(__package__) / "data" / "unlisted.toml").read_text("utf-8")
    return tuple(tomllib.loads(text)["lines"])


def likely_unlisted(pack: Pack, tree: Tree) -> tuple[str, ...]:
    """Names of lines that the pack likely has and the list lacks. No masses: nothing is invented."""
    items = [node.item for node in tree.nodes.values()]
    text = " | ".join(_text(item) for item in items)
    functions = {node.function for node in tree.nodes.values()}
    kinds = " | ".join(joint.kind.lower() for joint in pack.joints)
    named = [row["name"] for row in _rows() if _holds(row, pack, tree, text, kinds, functions)]
    return (*_joint_fasteners(pack, tree), *named)


def _text(item: Item) -> str:
    words = (item.material, item.process)
    return " ".join([item.name, *(w.text for w in words if w is not None)]).lower()


def _holds(
    row: Mapping[str, Any], pack: Pack, tree: Tree, text: str, kinds: str, functions: set[Function | None]
) -> bool:
    if "function" in row and Function(row["function"]) not in functions:
        return False
    where = text if "function" not in row else _of_function(tree, Function(row["function"]))
    if "words" in row and not any(word in where for word in row["words"]):
        return False
    if "joint" in row and not any(word in kinds for word in row["joint"]):
        return False
    if row.get("coolant_held") and not holds_coolant(pack):
        return False
    if "no_fasteners_in" in row and _has_fasteners(tree, Function(row["no_fasteners_in"])):
        return False
    return not any(word in text for word in row.get("unless", ()))


def _of_function(tree: Tree, function: Function) -> str:
    return " | ".join(_text(node.item) for node in tree.leaves if node.function is function)


def _has_fasteners(tree: Tree, function: Function) -> bool:
    """Whether fasteners are listed within assemblies of a function."""
    inside = {node.item.id for node in tree.assemblies if node.function is function}
    return any(node.function is Function.FASTENERS and inside & set(node.path) for node in tree.leaves)


def threads(text: str) -> list[Thread]:
    """Metric threads named in a text, as diameter and length [mm].

    >>> threads("M6x16 flange screw, M8 nut")
    [(6, 16), (8, None)]
    """
    return [(int(d), int(n) if n else None) for d, n in _THREAD.findall(text)]


def _joint_fasteners(pack: Pack, tree: Tree) -> list[str]:
    """Screws and nuts that joints name and the list lacks, or holds too few of."""
    listed: dict[Thread, float] = {}
    for node in tree.leaves:
        for thread in threads(f"{node.item.name} {node.item.remarks}"):
            listed[thread] = listed.get(thread, 0.0) + node.count
    wanted: dict[Thread, tuple[str, float]] = {}
    for joint in pack.joints:
        found = threads(joint.kind)
        if found and joint.count is not None and not _to_vehicle(joint):
            kind, total = wanted.get(found[0], (joint.kind.split(",")[0].strip(), 0.0))
            wanted[found[0]] = (kind, total + joint.count.value)
    lacking = []
    for (diameter, length), (kind, total) in wanted.items():
        there = listed.get((diameter, length))
        if there is None and not any(d == diameter and (n is None or length is None) for d, n in listed):
            lacking.append(f"{total:g} × {kind} (named in the joints)")
        elif there is not None and there < total:
            lacking.append(f"{total - there:g} × {kind} (the joints name {total:g}, the list {there:g})")
    return lacking


def _to_vehicle(joint: Joint) -> bool:
    return bool(_VEHICLE.search(f"{joint.first_text} {joint.second_text}"))
