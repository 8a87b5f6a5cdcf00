"""Fuzzing: ``python tools/fuzz.py [seconds] [seed]``, ten minutes where nothing is said.

Formulas, method books and values on the command line that nobody would write on purpose: each must give a
result or a refusal of one sentence, open nothing, start nothing, and be quick. Exit status 1 with what was
found.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from fuzzing.targets import fuzz


def main(arguments: list[str]) -> int:
    seconds = float(arguments[0]) if arguments else 600.0
    seed = int(arguments[1]) if len(arguments) > 1 else time.time_ns() % 1_000_000
    print(f"fuzzing for {seconds:g} s with seed {seed}")
    counts, found = fuzz(seconds, seed)
    print(", ".join(f"{count} × {name}" for name, count in counts.items()))
    for fault in found:
        print(fault)
    print(f"{len(found)} faults")
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
