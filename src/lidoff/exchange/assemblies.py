"""A sheet for each assembly: workbooks whose parts sheets are each numbered from one again.

The sheet then is the assembly: its name, how many the title says there are, and its lines below it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..quantities import Basis, Reading, Shape, Spread
from ..records import Item
from .bench import Bench
from .notes import cell_text

if TYPE_CHECKING:  # items call this file
    from .items import Named, Parts
    from .rows import PartRows
    from .tables import Table

_COUNT = re.compile(
    r"\b(\d{1,3})\s*(?:x\b|×|off\b|pcs\b|pieces\b|st(?:ü|ue)ck\b|stk\b|st\."
    r"|per pack\b|a pack\b|je\b|pro\b|pi(?:è|e)ces\b)",
    re.IGNORECASE,
)


def apart(named: Named) -> bool:
    """Whether several sheets count their own lines from one: most numbers of each stand in another."""
    sheets: dict[str, set[object]] = {}
    for node in named.nodes:
        name = named.lines.parts[node.table].table.sheet.name
        sheets.setdefault(name, set()).add(node.key)
    if len(sheets) < 2 or any(not key for keys in sheets.values() for key in keys):
        return False
    by_size = sorted(sheets.values(), key=len)
    largest = by_size[-1]
    return all(2 * len(keys & largest) > len(keys) for keys in by_size[:-1])


def number_by_sheet(named: Named) -> None:
    """Put a number of its sheet before every find number: "3" of the second sheet becomes "2.3"."""
    order: dict[str, int] = {}
    for at, node in enumerate(named.nodes):
        sheet = named.lines.parts[node.table].table.sheet.name
        number = order.setdefault(sheet, len(order) + 1)
        node.key = (number, *node.key)
        named.numbers[at] = f"{number}.{named.numbers[at]}"
        named.labels[at] = f"{number}.{named.labels[at]}"


def with_sheets(bench: Bench, parts: Parts, items: Sequence[Item]) -> list[Item]:
    """The items with one more for each parts sheet, above the lines of that sheet."""
    out, heads = list(items), []
    for number, part in enumerate(_first_of_each_sheet(parts.lines.parts), start=1):
        sheet = part.table.sheet
        ids = {
            item.id
            for at, item in enumerate(parts.items)
            if parts.parents[at] is None and parts.lines.of(at)[0].table.sheet is sheet
        }
        head = Item(
            id=bench.desk.identity("i", f"sheet {sheet.name}"),
            number=str(number),
            name=sheet.name,
            position=len(items) + number,
            quantity=_quantity(bench, part.table),
            origin=bench.origin(sheet, part.table.head, 0),
        )
        heads.append(head)
        out = [replace(item, parent=head.id) if item.id in ids else item for item in out]
    return out + heads


def _first_of_each_sheet(parts: Sequence[PartRows]) -> list[PartRows]:
    found: dict[str, PartRows] = {}
    for part in parts:
        found.setdefault(part.table.sheet.name, part)
    return list(found.values())


def _quantity(bench: Bench, table: Table) -> Reading:
    """How many of the assembly a title says there are; one, assumed, where it says nothing."""
    for row in table.titles:
        text = " ".join(t for c in table.sheet.rows[row] if (t := cell_text(c)))
        said = _COUNT.search(text)
        if said:
            return Reading(
                value=float(said.group(1)),
                unit="",
                basis=Basis.COUNTED,
                spread=Spread(shape=Shape.EXACT),
                origin=bench.origin(table.sheet, row, 0),
                text=said.group(0).strip(),
            )
    return Reading(value=1.0, unit="", basis=Basis.ASSUMED, spread=Spread(shape=Shape.EXACT))
