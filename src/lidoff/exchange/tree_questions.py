"""Questions about find numbers that a spreadsheet changed, and about places in the tree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bench import Bench
from .desk import set_edit
from .tree import Doubt, Tree

if TYPE_CHECKING:
    from .items import Named


def ask_numbers(bench: Bench, named: Named) -> None:
    """Ask about every find number that was put right."""
    for at, was in named.was.items():
        (part, row), number = named.lines.of(at), named.numbers[at]
        layout = part.layout
        bench.desk.ask(
            bench.where(part.table.sheet, row, layout.at["number"], layout.headings["number"]),
            f"the find number of {named.names[at]!r} reads {was!r}; by its neighbours it was {number}"
            " before a spreadsheet changed it",
            taken=number,
            proposed=number,
            edits=(set_edit("item", named.ids[at], "number", number),),
            about=f"number {was}",
        )


def ask_tree(bench: Bench, named: Named, tree: Tree, doubt: Doubt) -> None:
    """Ask about one row whose place is unsure."""
    part, row = named.lines.of(doubt.row)
    layout, sheet = part.layout, part.table.sheet
    parent = tree.parents[doubt.row]

    def label(at: int | None) -> str:
        return "the top" if at is None else f"{named.numbers[at]} {named.names[at]}".strip()

    column = {"level": "level", "jump": "level", "parent": "parent"}.get(doubt.kind, "number")
    where = bench.where(
        sheet, row, layout.at.get(column, layout.at.get("name", 0)), layout.headings.get(column, "")
    )
    name = label(doubt.row)
    what = {
        "level": f"the level of {name!r} does not fit its find number, which puts it under {label(parent)}",
        "missing": f"{name!r} belongs to {doubt.text}, which is not in the list",
        "jump": f"the level jumps from {doubt.text} at {name!r}",
        "unnumbered": f"{name!r} has no find number, so its place in the tree is unsure",
        "parent": f"{name!r} is said to belong to {doubt.text!r}, which is not in the list",
    }[doubt.kind]
    differs = doubt.kind == "level" and doubt.other != parent
    above = None if doubt.other is None else named.ids[doubt.other]
    bench.desk.ask(
        where,
        what,
        taken=f"under {label(parent)}",
        proposed=f"under {label(doubt.other)}, as the level says" if differs else f"under {label(parent)}",
        edits=(set_edit("item", named.ids[doubt.row], "parent", above),) if differs else (),
        about=f"tree {doubt.kind}",
    )
