"""Indices of a study: Saltelli's sample over its streams, line by line only where a column reaches.

The model behind the sample may be a study (`StudyModel`) or one method book (`BookModel`): both draw
their readings from the streams, so the sample's columns stand in for the streams.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ...methods import Book, run
from ...quantities import Spread
from ...quantities.draws import Draws, Samples, drawing
from ...quantities.sampling import sample_spread
from ..findings import Findings
from .again import Again
from .drawn import Columns
from .sobol import Design, Indices, indices
from .target import Target

#: Rows evaluated at a time, so that memory does not grow with the sample.
BLOCK = 1024
#: What stands for all streams without a column of their own.
OTHERS = "everything else"
#: Seeds of the other streams in A and in B; each block counts on from them.
_SEEDS = (1_000_003, 2_000_003)

Values = list[Samples]


class StudyModel:
    """The targets of a study, evaluated anew only where a stream that moved is drawn from."""

    def __init__(self, again: Again, targets: Sequence[Target]) -> None:
        self.again, self.targets = again, tuple(targets)

    def first(self, draws: Draws, count: int) -> Values:
        return self._taken(self.again.first(draws, count))

    def changed(self, draws: Draws, streams: Collection[str], count: int) -> Values:
        return self._taken(self.again.changed(draws, streams))

    def whole(self, draws: Draws, count: int) -> Values:
        return self._taken(self.again.whole(draws, count))

    def _taken(self, findings: Findings) -> Values:
        values = []
        for target in self.targets:
            taken = target.take(findings)
            if taken is None:
                raise ValueError(f"{target.title} is missing: there is nothing to take apart")
            values.append(taken[1])
        return values


class BookModel:
    """Lines of one method book over inputs with a spread each; streams are "<book>:<input>"."""

    def __init__(self, book: Book, inputs: Mapping[str, tuple[float, Spread]], lines: Sequence[str]) -> None:
        self.book, self.inputs, self.lines = book, inputs, tuple(lines)

    @property
    def streams(self) -> tuple[str, ...]:
        return tuple(f"{self.book.name}:{name}" for name in self.inputs)

    def first(self, draws: Draws, count: int) -> Values:
        with drawing(draws):
            drawn = {
                name: sample_spread(value, spread, f"{self.book.name}:{name}", count)
                for name, (value, spread) in self.inputs.items()
            }
        result = run(self.book, drawn)
        return [np.broadcast_to(np.asarray(result.values[line]), (count,)) for line in self.lines]

    def changed(self, draws: Draws, streams: Collection[str], count: int) -> Values:
        return self.first(draws, count)

    whole = first


@dataclass(frozen=True, slots=True, kw_only=True)
class Sobol:
    """Indices of one target: column k is stream ``streams[k]``, the last `OTHERS` where there are any."""

    streams: tuple[str, ...]
    indices: Indices
    rows: int
    evaluations: int


def sobol(
    model: StudyModel | BookModel,
    streams: Sequence[str],
    design: Design,
    *,
    others: Callable[[], Collection[str]] | None = None,
    resamples: int = 500,
) -> tuple[Sobol, ...]:
    """First and total indices of each of the model's outputs.

    ``design`` has a column a stream. Streams without one stay in the middle, or with ``others``
    (which says which they are, once the model was evaluated) are drawn as one group.
    """
    parts = [_block(model, streams, design, start, others) for start in range(0, design.rows, BLOCK)]
    names = (*streams, OTHERS) if others is not None else tuple(streams)
    found = []
    for n in range(len(parts[0][0])):
        a = np.concatenate([part[0][n] for part in parts])
        b = np.concatenate([part[1][n] for part in parts])
        ab = np.concatenate([np.stack([moved[n] for moved in part[2]]) for part in parts], axis=1)
        found.append(
            Sobol(
                streams=names,
                indices=indices(a, b, ab, resamples=resamples),
                rows=design.rows,
                evaluations=design.rows * (2 + len(names)),
            )
        )
    return tuple(found)


def _block(
    model: StudyModel | BookModel,
    streams: Sequence[str],
    design: Design,
    start: int,
    others: Callable[[], Collection[str]] | None,
) -> tuple[Values, Values, list[Values]]:
    """f(A), f(B) and every f(AB_i) of one block of rows."""
    a, b = (
        {stream: np.ascontiguousarray(matrix[start : start + BLOCK, k]) for k, stream in enumerate(streams)}
        for matrix in (design.a, design.b)
    )
    count = min(BLOCK, design.rows - start)
    seed_a, seed_b = (None if others is None else seed + start for seed in _SEEDS)
    of_a = model.first(Columns(a, seed_a), count)
    moved = [model.changed(Columns({**a, stream: b[stream]}, seed_a), {stream}, count) for stream in streams]
    if others is not None:
        moved.append(model.changed(Columns(a, seed_b), others(), count))
    return of_a, model.whole(Columns(b, seed_b), count), moved
