"""A parts table without headings: columns given their fields by content alone, and asked about."""

from __future__ import annotations

from collections.abc import Sequence

from .bench import Bench
from .columns import Layout, counts_up, is_number_like, is_word, lay_out, share, text
from .headings import Kind
from .sheets import Cell, letters
from .tables import Column, Found, Table, is_empty

_FEWEST_ROWS = 3
_FEWEST_COLUMNS = 3


def find_headerless(bench: Bench, found: Sequence[Found]) -> tuple[Table, Layout] | None:
    """The longest run of like rows that can be read as parts; its rows are no longer loose."""
    best: tuple[Found, list[int]] | None = None
    for one in found:
        for run in _runs(one):
            if best is None or len(run) > len(best[1]):
                best = (one, run)
    if best is None:
        return None
    one, run = best
    width = max(len(one.sheet.rows[row]) for row in run)
    table = Table(Kind.PARTS, one.sheet, run[0], [Column(i, "", []) for i in range(width)], body=run)
    layout = lay_out(table)
    _complete(layout, {i: _cells(table, i) for i in range(width)})
    if "name" not in layout.at or "mass_each" not in layout.at:
        return None
    one.loose[:] = [row for row in one.loose if row not in set(run)]
    one.tables.append(table)
    fields = ", ".join(
        f"{letters(c)} {n.replace('_', ' ')}" for n, c in sorted(layout.at.items(), key=lambda f: f[1])
    )
    bench.desk.ask(
        bench.where(one.sheet, run[0], 0),
        "the table has no headings",
        taken=f"columns by what they hold: {fields}",
        proposed="the same, or headings over the columns",
        about="no headings",
    )
    return table, layout


def _runs(found: Found) -> list[list[int]]:
    """Runs of loose rows that all have several cells and at least one number."""
    runs: list[list[int]] = [[]]
    for row in found.loose:
        cells = [c for c in found.sheet.rows[row] if not isinstance(c, str) or c.strip()]
        if len(cells) >= _FEWEST_COLUMNS and any(_is_plain(c) for c in cells):
            runs[-1].append(row)
        elif not is_empty(found.sheet.rows[row]):
            runs.append([])
    return [run for run in runs if len(run) >= _FEWEST_ROWS]


def _is_plain(cell: Cell) -> bool:
    return isinstance(cell, (int, float)) or (isinstance(cell, str) and cell.strip()[:1].isdigit())


def _cells(table: Table, column: int) -> list[Cell]:
    rows = (table.sheet.rows[r] for r in table.body)
    return [r[column] for r in rows if column < len(r) and str(r[column]).strip()]


def _complete(layout: Layout, samples: dict[int, list[Cell]]) -> None:
    """Number, name, quantity and mass among the columns still free."""
    taken = set(layout.at.values())
    free = [i for i in samples if i not in taken and samples[i]]
    wordy = [i for i in free if share(samples[i], is_word) >= 0.8]
    if "name" not in layout.at and wordy:
        _give(layout, "name", max(wordy, key=lambda i: (len({text(c) for c in samples[i]}), -i)))
    numbers = [i for i in free if i not in layout.at.values() and share(samples[i], is_number_like) >= 0.8]
    if "number" not in layout.at and numbers and numbers[0] < layout.at.get("name", 10**6):
        _give(layout, "number", numbers[0])
    if "quantity" not in layout.at:
        whole = [i for i in numbers if i not in layout.at.values() and not counts_up(samples[i])]
        whole = [i for i in whole if all(text(c).isdigit() for c in samples[i])]
        if len(whole) > 1:
            _give(layout, "quantity", whole[0])
    masses = [i for i in free if i not in layout.at.values() and share(samples[i], _is_plain) >= 0.8]
    if "mass_each" not in layout.at and masses:
        _give(layout, "mass_each", masses[0])
    layout.extra = [(i, h) for i, h in layout.extra if i not in layout.at.values()]


def _give(layout: Layout, name: str, column: int) -> None:
    layout.at[name] = column
    layout.all[name] = [column]
    layout.headings[name] = ""
