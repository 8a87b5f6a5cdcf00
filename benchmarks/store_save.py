"""Save and load a pack of 10,000 items, against SQLite's bare writing and reading of as many values.

The bare side writes the same number of values (every column of every row that the store writes, the
history with them) into one table of sixteen columns in one transaction, and reads them all back.
Each is the best of several runs in turn. Run: python benchmarks/store_save.py
"""

from __future__ import annotations

import sqlite3
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from lidoff.quantities import Basis, Reading, Word
from lidoff.quantities.defaults import default_spread
from lidoff.records import Item, Pack
from lidoff.store import Store

ITEMS = 10_000
RUNS = 3
COLUMNS = 16


def a_reading(value: float, unit: str, basis: Basis, cell: str) -> Reading:
    division = 1e-4 if basis is Basis.WEIGHED else None
    spread = default_spread(value, basis, instrument="bench scale", division=division)
    return Reading(value=value, unit=unit, basis=basis, spread=spread, origin=f"bench.xlsx!Parts!{cell}")


def an_item(number: int) -> Item:
    """A line as a bench writes it: a count, a mass, three sizes and three words."""
    row = number + 2
    return Item(
        id=f"item-{number}",
        number=f"1.{number}",
        name=f"bracket {number}",
        position=number,
        quantity=a_reading(2.0, "", Basis.COUNTED, f"C{row}"),
        mass=a_reading(0.1 + 1e-5 * number, "g", Basis.WEIGHED, f"D{row}"),
        length=a_reading(0.12, "mm", Basis.MEASURED, f"E{row}"),
        width=a_reading(0.05, "mm", Basis.MEASURED, f"F{row}"),
        thickness=a_reading(0.002, "mm", Basis.MEASURED, f"G{row}"),
        material=Word(text="PA66 FR", means="polyamide_66", origin=f"bench.xlsx!Parts!H{row}"),
        process=Word(text="moulded", origin=f"bench.xlsx!Parts!I{row}"),
        function=Word(text="tray", means="tray", origin=f"bench.xlsx!Parts!J{row}"),
        origin=f"bench.xlsx!Parts!A{row}",
    )


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def values_in(database: Path) -> int:
    """Values in a database: rows times columns of every table."""
    with closing(sqlite3.connect(database)) as connection:
        tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type='table'")]
        return sum(
            connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
            * len(connection.execute(f"PRAGMA table_info({table})").fetchall())
            for table in tables
        )


def bare(directory: Path, count: int) -> tuple[float, float]:
    """SQLite alone: write ``count`` values as the store would be told to, read them back."""
    rows = [(n, *(float(n + c) if c % 2 else f"bench.xlsx!Parts!{c}{n}" for c in range(COLUMNS - 1)))
            for n in range(count // COLUMNS)]  # fmt: skip
    names = ", ".join(f"c{c}" for c in range(COLUMNS))
    with closing(sqlite3.connect(directory / "bare.db", isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute(f"CREATE TABLE bare ({names}, PRIMARY KEY (c0))")

        def write() -> None:
            connection.execute("BEGIN IMMEDIATE")
            connection.executemany(f"INSERT INTO bare VALUES ({', '.join('?' * COLUMNS)})", rows)
            connection.execute("COMMIT")

        written = seconds(write)
        return written, seconds(lambda: connection.execute("SELECT * FROM bare").fetchall())


def once(pack: Pack) -> tuple[int, float, float, float, float]:
    """One run: values written, then the store's saving and loading and the bare ones."""
    with tempfile.TemporaryDirectory() as name:
        directory = Path(name)
        with Store.open(directory) as store:
            saved = seconds(lambda: store.save_pack("s", pack, who="bench", summary="", make_study=True))
            loaded = seconds(lambda: store.load("s"))
            if store.load("s").packs != (pack,):
                raise SystemExit("what was loaded is not what was saved")
        count = values_in(directory / "lidoff.db")
        return count, saved, loaded, *bare(directory, count)


def main() -> None:
    pack = Pack(id="p", name="p", items=tuple(an_item(number) for number in range(ITEMS)))
    runs = [once(pack) for _ in range(RUNS)]
    count = runs[0][0]
    saved, loaded, written, read = (min(run[side] for run in runs) for side in range(1, 5))
    print(f"{ITEMS:,} items, {count:,} values with their history, best of {RUNS}")
    print(f"save  {saved:6.2f} s   bare executemany {written:6.2f} s   ratio {saved / written:5.1f}")
    print(f"load  {loaded:6.2f} s   bare fetchall    {read:6.2f} s   ratio {loaded / read:5.1f}")


if __name__ == "__main__":
    main()
