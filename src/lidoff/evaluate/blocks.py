"""Blocks: many samples evaluated block after block, so that memory does not grow with their number.

Ends of intervals are the averages of the blocks' own (JCGM 101:2008, 7.9.4, which takes blocks of 10⁴
trials or more); every block draws all streams anew. Arrays of samples are those of the first block.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from .findings import BLOCK, CostLine, Figure, Money, PackFindings


def block_labels(samples: int, seed: int) -> Iterator[str | None]:
    """The seed of every block; ``None`` for the streams' own, which is the first block of seed 0."""
    for number in range(max(1, -(-samples // BLOCK))):
        if number:
            yield f"{seed}.{number}"
        else:
            yield str(seed) if seed else None


def averaged(blocks: list[PackFindings]) -> PackFindings:
    """The first block with the intervals of all."""
    first = blocks[0]
    if len(blocks) == 1:
        return first
    return replace(
        first,
        figures={name: _figure([block.figures[name] for block in blocks]) for name in first.figures},
        cost_lines=tuple(_line(list(lines)) for lines in zip(*(b.cost_lines for b in blocks), strict=True)),
    )


def _figure(figures: list[Figure]) -> Figure:
    first = figures[0]
    if first.low is None or first.high is None:
        return first
    return replace(
        first,
        low=float(np.mean([f.low for f in figures if f.low is not None])),
        high=float(np.mean([f.high for f in figures if f.high is not None])),
    )


def _line(lines: list[CostLine]) -> CostLine:
    def money(element: list[Money | None]) -> Money | None:
        there = [one for one in element if one is not None]
        if not there:
            return None
        return replace(
            there[0],
            low=float(np.mean([one.low for one in there])),
            high=float(np.mean([one.high for one in there])),
        )

    return replace(
        lines[0],
        material=money([line.material for line in lines]),
        labour=money([line.labour for line in lines]),
        burden=money([line.burden for line in lines]),
        markup=money([line.markup for line in lines]),
        packaging=money([line.packaging for line in lines]),
        piece=money([line.piece for line in lines]),
        tooling_per_piece=money([line.tooling_per_piece for line in lines]),
        tooling_investment=money([line.tooling_investment for line in lines]),
    )
