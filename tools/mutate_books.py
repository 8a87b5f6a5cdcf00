"""Mutation run over the method books: ``python tools/mutate_books.py [book …]``.

Every constant, operator, unit and lookup is changed, one at a time, and the books' own checks and the
rules for all books must notice. What is not noticed is listed; a survivor that is no fault stands in
`mutants_survive.toml` with its reason. Exit status 1 where less than 95 % are noticed or a survivor has
no reason.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from mutation.judge import noticed, shelf_data
from mutation.mutants import Mutant, mutants
from mutation.survivors import Survivors, survivors

GOAL = 0.95


def main(names: list[str]) -> int:
    began = time.perf_counter()
    all_data = shelf_data()
    unknown = sorted(set(names) - all_data.keys())
    if unknown:
        print(f"there is no book {unknown[0]!r}", file=sys.stderr)
        return 2
    accepted = survivors()
    made: Counter[tuple[str, str]] = Counter()
    alive: list[Mutant] = []
    for name in names or all_data:
        for mutant in mutants(name, all_data[name]):
            made[mutant.book, mutant.kind] += 1
            if not noticed(mutant):
                alive.append(mutant)
    print(
        f"{sum(made.values())} mutants of {len(names or all_data)} books, {time.perf_counter() - began:.0f} s"
    )
    _tell_shares(made, alive)
    return _tell_survivors(made, alive, accepted, whole=not names)


def _tell_shares(made: Counter[tuple[str, str]], alive: list[Mutant]) -> None:
    for title, pick in (("kind", 1), ("book", 0)):
        whole: Counter[str] = Counter()
        left: Counter[str] = Counter((mutant.book, mutant.kind)[pick] for mutant in alive)
        for pair, count in made.items():
            whole[pair[pick]] += count
        print(f"\n{'by ' + title:32} mutants   noticed")
        for key in sorted(whole):
            print(f"{key:32} {whole[key]:7} {(whole[key] - left[key]) / whole[key]:8.1%}")


def _tell_survivors(
    made: Counter[tuple[str, str]], alive: list[Mutant], accepted: Survivors, *, whole: bool
) -> int:
    open_ones = [mutant for mutant in alive if accepted.reason(mutant) is None]
    total = sum(made.values())
    share = (total - len(alive)) / total
    print(f"\nnoticed: {total - len(alive)} of {total}, {share:.2%}")
    print(f"survivors with a reason: {len(alive) - len(open_ones)}")
    for reason, count in Counter(accepted.reason(m) for m in alive if accepted.reason(m)).most_common():
        print(f"  {count:4} {reason}")
    print(f"survivors without: {len(open_ones)}")
    for mutant in open_ones:
        print(f"  {mutant.label}")
    idle = accepted.idle(alive) if whole else []
    for entry in idle:
        print(f"no longer survives, take it out of the list: {entry}")
    return int(share < GOAL or bool(open_ones) or bool(idle))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
