"""``python -m generator FOLDER [COUNT [START]]``: writes files to look at."""

from __future__ import annotations

import sys
from pathlib import Path

from .make import make

folder = Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
count = int(sys.argv[2]) if len(sys.argv) > 2 else 10
start = int(sys.argv[3]) if len(sys.argv) > 3 else 1
for turn in range(count):
    truth = make(folder, start, turn)
    slips = ", ".join(f"{slip.kind} {slip.sheet}!{slip.rows}" for slip in truth.slips)
    print(f"{truth.path.name}: {truth.style}; {len(truth.lines)} lines; slips: {slips or 'none'}")
