"""Sobol indices of 60 inputs of a study, against SALib driving the same study through the public API.

Both use the same sample matrix (SALib's own: 1,024 rows, so 63,488 evaluations) of the 60 inputs that
carry most of the difference of two packs in piece cost, all other readings at their values. SALib's
rows go through ``evaluate`` in batches of 1,024, which is how the API is fastest; a single evaluation
a row would be slower still. Prints both times, their ratio and how far the indices differ; the aim is
a ratio of 5 or more and 1e-9. Exit status 1 where either is missed.
"""

from __future__ import annotations

import sys
import time

import numpy as np
from numpy.typing import NDArray

from lidoff.app.bench import read_pack
from lidoff.demo import STORY, files
from lidoff.evaluate import Findings, evaluate
from lidoff.evaluate.spread import Target, between, spreads
from lidoff.evaluate.spread.again import Again
from lidoff.evaluate.spread.drawn import Columns
from lidoff.evaluate.spread.indices import StudyModel, sobol
from lidoff.evaluate.spread.sobol import Design
from lidoff.quantities.draws import drawing
from lidoff.records import Study

INPUTS, ROWS, BATCH = 60, 1024, 1024
AIM, EQUAL = 5.0, 1e-9
TOPICS = ("mass", "energy", "cost")

Array = NDArray[np.float64]


def study() -> Study:
    packs = tuple(read_pack(one.path, pack_id=one.pack_id).pack for one in files())
    return Study(id="demo", name="demo", packs=packs, scenario=STORY.scenario)


def chosen(record: Study, findings: Findings, target: Target) -> list[str]:
    """The streams that carry most of the target."""
    found = spreads(record, findings, [target], most=0).targets[0]
    return [share.stream for share in found.shares.shares[:INPUTS]]


def through_the_api(record: Study, target: Target, streams: list[str], matrix: Array) -> Array:
    """The target for every row of a matrix of uniform numbers."""
    values = []
    for start in range(0, len(matrix), BATCH):
        rows = matrix[start : start + BATCH]
        columns = {stream: np.ascontiguousarray(rows[:, k]) for k, stream in enumerate(streams)}
        with drawing(Columns(columns)):
            taken = target.take(evaluate(record, samples=len(rows), topics=TOPICS))
        assert taken is not None
        values.append(taken[1])
    return np.concatenate(values)


def main() -> int:
    from SALib.analyze import sobol as analyze
    from SALib.sample import sobol as sample

    record = study()
    findings = evaluate(record, samples=1000)
    first, second = findings.packs
    target = between(findings, first, second, "cost_piece")
    assert target is not None
    streams = chosen(record, findings, target)
    problem = {"num_vars": INPUTS, "names": streams, "bounds": [[0.0, 1.0]] * INPUTS}

    matrix = np.clip(sample.sample(problem, ROWS, calc_second_order=False, seed=1), 2.0**-53, 1 - 2.0**-53)

    start = time.perf_counter()
    values = through_the_api(record, target, streams, matrix)
    theirs = analyze.analyze(problem, values, calc_second_order=False, num_resamples=100, seed=1)
    peer = time.perf_counter() - start

    start = time.perf_counter()
    step = INPUTS + 2
    design = Design(a=matrix[::step], b=matrix[step - 1 :: step])
    ours = sobol(StudyModel(Again.of(record), [target]), streams, design, resamples=100)[0].indices
    mine = time.perf_counter() - start

    off = max(np.abs(ours.first - theirs["S1"]).max(), np.abs(ours.total - theirs["ST"]).max())
    ratio = peer / mine
    print(f"SALib through the API, {len(matrix):,} evaluations   {peer:7.2f} s")
    print(f"lidoff, the same matrix                        {mine:7.2f} s")
    print(f"ratio {ratio:.2f}, aim {AIM:g}; largest difference of an index {off:.1e}, aim {EQUAL:g}")
    return 0 if ratio >= AIM and off <= EQUAL else 1


if __name__ == "__main__":
    sys.exit(main())
