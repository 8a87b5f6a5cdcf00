"""The whole pipeline (mass, layout, energy, cost, figures with intervals), from records to findings.

Packs of 300 lines are grown from the demo study's: its lines again and again in other sizes, each under an
id of its own. The named peer is the same model one sample at a time: every mass set anew and the pack
evaluated at single numbers, which is what a spreadsheet or a loop in Python does. Prints wall and
processor time, ratios and peak memory; exit status 1 where an aim is missed.

With ``--memory N`` it prints only the peak memory of one evaluation with N samples.
"""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from lidoff.demo import files
from lidoff.evaluate import evaluate
from lidoff.exchange import read_bench
from lidoff.methods import books
from lidoff.prices import price_book
from lidoff.quantities import Reading, Shape
from lidoff.records import Item, Pack, Study

PACKS, LINES, SAMPLES = 4, 300, 10_000
SMALL = 120
TOPICS = ("mass", "energy", "cost")
AIM_WHOLE, AIM_COLD, AIM_CHANGED, AIM_RATIO = 4.0, 0.050, 0.005, 10.0
SIZES = ("length", "width", "thickness", "wall")


def scaled(reading: Reading | None, factor: float) -> Reading | None:
    """A reading so many times over, its spread with it."""
    if reading is None:
        return None
    spread = reading.spread
    relative = spread.shape is Shape.LOGNORMAL
    shared = tuple((name, u * factor) for name, u in spread.shared)
    spread = replace(spread, u=spread.u if relative else spread.u * factor, shared=shared)
    return replace(reading, value=reading.value * factor, spread=spread)


def resized(item: Item, factor: float) -> Item:
    sizes = {name: scaled(getattr(item, name), factor) for name in SIZES}
    return replace(item, mass=scaled(item.mass, factor**3), **sizes)


def grown(pack: Pack, lines: int, name: str) -> Pack:
    """A pack of so many lines: the pack's own, then its leaves again in other sizes."""
    dice = random.Random(name)
    items = [i for i in pack.items if not i.held][:lines]
    above = {item.parent for item in items}
    leaves = [item for item in items if item.id not in above and item.mass is not None]
    grown = [
        replace(i, id=f"{name}.{i.id}", parent=None if i.parent is None else f"{name}.{i.parent}")
        for i in (resized(item, dice.uniform(0.98, 1.02)) for item in items)
    ]
    for number in range(lines - len(grown)):
        leaf = leaves[number % len(leaves)]
        again = resized(leaf, dice.uniform(0.8, 1.25))
        parent = None if leaf.parent is None else f"{name}.{leaf.parent}"
        grown.append(replace(again, id=f"{name}.{leaf.id}.{number}", parent=parent))
    joints = tuple(replace(joint, id=f"{name}.{joint.id}") for joint in pack.joints)
    return replace(pack, id=name, name=name, items=tuple(grown), joints=joints)


def demo_packs() -> list[Pack]:
    return [read_bench(entry.path, pack_id=entry.pack_id).pack for entry in files()]


def study(packs: int = PACKS, lines: int = LINES, name: str = "big") -> Study:
    found = demo_packs()
    grown_packs = tuple(grown(found[n % len(found)], lines, f"{name}{n}") for n in range(packs))
    return Study(id=name, name=name, packs=grown_packs)


def one(pack: Pack) -> Study:
    return Study(id="one", name="one", packs=(pack,))


def timed(act: Callable[[], object]) -> tuple[float, float]:
    """Wall and processor seconds."""
    wall, processor = time.perf_counter(), time.process_time()
    act()
    return time.perf_counter() - wall, time.process_time() - processor


def reweighed(pack: Pack, dice: random.Random) -> Pack:
    """Every mass set anew."""
    items = tuple(replace(i, mass=scaled(i.mass, dice.uniform(0.99, 1.01))) for i in pack.items)
    return replace(pack, items=items)


def one_part_changed(pack: Pack, number: int) -> Pack:
    items = list(pack.items)
    weighed = [n for n, item in enumerate(items) if item.mass is not None]
    at = weighed[number % len(weighed)]
    items[at] = resized(items[at], 1.01)
    return replace(pack, items=tuple(items))


def nominal(pack: Pack) -> object:
    return evaluate(one(pack), topics=TOPICS, samples=0)


def cold_and_changed() -> tuple[float, float]:
    """Best of several fresh packs, and of several changes of one part in the last of them."""
    packs = demo_packs()
    cold, pack = [], packs[0]
    for n in range(8):
        pack = grown(packs[n % len(packs)], SMALL, f"fresh{n}")
        cold.append(timed(lambda pack=pack: nominal(pack))[0])
    changed = []
    for n in range(10):
        pack = one_part_changed(pack, n)
        changed.append(timed(lambda pack=pack: nominal(pack))[0])
    return min(cold), min(changed)


def peer(big: Study, repeats: int = 5) -> float:
    """Seconds a sample, one at a time."""
    dice = random.Random(1)
    times = []
    for _ in range(repeats):
        again = replace(big, packs=tuple(reweighed(pack, dice) for pack in big.packs))
        times.append(timed(lambda again=again: evaluate(again, topics=TOPICS, samples=0))[0])
    return min(times)


def peak_memory(samples: int) -> float:
    """MB of a process of its own that evaluates with so many samples."""
    done = subprocess.run(
        [sys.executable, __file__, "--memory", str(samples)], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


def main() -> int:
    if sys.argv[1:2] == ["--memory"]:
        evaluate(study(), topics=TOPICS, samples=int(sys.argv[2]))
        status = Path("/proc/self/status").read_text("ascii")  # Linux; the high mark of this process alone
        print(float(status.partition("VmHWM:")[2].split()[0]) / 1024.0)
        return 0
    books(), price_book()
    first = timed(lambda: nominal(grown(demo_packs()[0], SMALL, "first")))[0]
    cold, changed = cold_and_changed()
    big, *more = [study(name=name) for name in ("big", "second", "third")]
    runs = [timed(lambda one=one: evaluate(one, topics=TOPICS, samples=SAMPLES)) for one in more]
    whole, processor = min(runs)
    loop = peer(big)
    costed = sum(line.status == "costed" for pack in evaluate(big, topics=TOPICS, samples=0).packs.values()
                 for line in pack.cost_lines)  # fmt: skip
    a_sample = whole / SAMPLES
    print(f"{PACKS} packs × {LINES} lines ({costed} costed), {SAMPLES:,} samples, best of 2")
    print(
        f"  whole pipeline            {whole:8.2f} s wall, {processor:.2f} s processor (aim {AIM_WHOLE:g} s)"
    )
    print(f"  a sample                  {1e3 * a_sample:8.3f} ms")
    print(f"  peer, one at a time       {1e3 * loop:8.2f} ms a sample: {loop / a_sample:.0f} times as long")
    print(f"nominal, {SMALL} lines: first of the process {1e3 * first:.0f} ms (words and functions made)")
    print(f"  cold                      {1e3 * cold:8.1f} ms (aim {1e3 * AIM_COLD:g} ms)")
    print(f"  after one changed part    {1e3 * changed:8.1f} ms (aim {1e3 * AIM_CHANGED:g} ms)")
    for samples in (1_000, 10_000, 40_000):
        print(f"  peak memory, {samples:6,} samples {peak_memory(samples):8.0f} MB")
    good = whole <= AIM_WHOLE and cold <= AIM_COLD and changed <= AIM_CHANGED and loop >= AIM_RATIO * a_sample
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
