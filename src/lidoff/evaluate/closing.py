"""Whole assemblies against the sum of their parts: whether the two agree, and by how much not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..quantities.sampling import Samples, interval, normals
from .build import line, put
from .findings import WorkedLine
from .known import draw
from .leaves import weighing_samples
from .tree import Node, Tree


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """One assembly weighed whole, one piece of it [kg]. ``low`` and ``high`` bound the difference.

    ``open_lines`` are the leaves below without a mass: with any, the sum may only fall short.
    """

    node: Node
    weighings: int
    weighed: float
    scatter: float | None
    parts: float
    low: float
    high: float
    open_lines: tuple[Node, ...]

    @property
    def difference(self) -> float:
        """Parts less weighing [kg]."""
        return self.parts - self.weighed

    @property
    def agrees(self) -> bool:
        """Whether the interval of the difference leaves room for none."""
        return self.low <= 0.0 and (self.high >= 0.0 or bool(self.open_lines))


def closings(tree: Tree, count: int) -> tuple[Closing, ...]:
    """Every assembly that was weighed whole, against the parts listed below it.

    Where several were weighed, the difference carries the scatter seen between them: the parts
    were weighed on one of them, the whole is their mean, so s·√(1 + 1/n). Without samples the
    interval is the difference itself.
    """
    found = []
    for node in tree.assemblies:
        whole = node.item.weighings or ((node.item.mass,) if node.item.mass is not None else ())
        below = tree.leaves_of(node.item.id)
        if not whole or all(leaf.item.mass is None for leaf in below):
            continue
        weighed, samples = weighing_samples(whole, node.item.id, count)
        parts, part_samples = _parts(tree, node, below, count)
        values = np.array([r.value for r in whole])
        scatter = float(values.std(ddof=1)) if len(whole) > 1 else None
        difference = part_samples - samples
        if scatter is not None:
            # One opened unit stands for all, so its own deviation from the mean counts in full.
            spread = scatter * np.sqrt(1.0 + 1.0 / len(whole))
            difference = difference + spread * normals(f"{node.item.id}.unit", count)
        low, high = interval(difference) if count else (parts - weighed, parts - weighed)
        found.append(
            Closing(
                node=node,
                weighings=len(whole),
                weighed=weighed,
                scatter=scatter,
                parts=parts,
                low=low,
                high=high,
                open_lines=tuple(leaf for leaf in below if leaf.item.mass is None),
            )
        )
    return tuple(found)


def _parts(tree: Tree, node: Node, below: tuple[Node, ...], count: int) -> tuple[float, Samples]:
    value, samples = 0.0, np.zeros(count)
    for leaf in below:
        if leaf.item.mass is not None:
            pieces = tree.count_below(leaf, node.item.id)
            value += pieces * leaf.item.mass.value
            samples = samples + pieces * draw(leaf.item.mass, f"{leaf.item.id}.mass", count)
    return value, samples


def assembly_lines(tree: Tree, count: int) -> list[WorkedLine]:
    """How each assembly weighed whole agrees with its parts, as lines of a worked sheet."""
    lines = []
    for c in closings(tree, count):
        scatter = f", standard deviation {put(c.scatter, 'kg')}" if c.scatter is not None else ""
        verdict = "agree within their interval" if c.agrees else "do not agree"
        times = "one weighing" if c.weighings == 1 else f"mean of {c.weighings} weighings"
        verdict = f"; parts and whole {verdict}" if count else ""  # without samples nobody can tell
        about = f"{times} of the whole{scatter}{verdict}; the roll-up takes the parts"
        if c.open_lines:
            about += f"; {len(c.open_lines)} of its lines have no mass"
        lines.append(
            line(
                f"{c.node.label}, parts over whole",
                "sum of its parts / weighed whole",
                f"{put(c.parts, 'kg')} / {put(c.weighed, 'kg')}",
                100.0 * c.parts / c.weighed,
                "%",
                about=about,
            )
        )
    return lines
