"""Rows of joint tables as joints."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..quantities import Basis, Reading, Shape, Spread
from ..quantities.dimension import LENGTH
from ..quantities.parsing import QuantityError, scan
from ..records import Joint
from .bench import Bench, cells_of, habit
from .columns import Layout
from .desk import remove_edit, set_edit
from .findnumber import text_of
from .headings import DIMENSIONS
from .measures import Habit, Measure, number_word, read_cell, reading_of, spread_of
from .references import Finder
from .rows import is_total
from .sheets import Cell
from .tables import Table, blank_within
from .vocabulary import is_blank, normal, yes_no

_PAIR = re.compile(
    r"\s*(?:<->|<–>|↔|->|→|–>|\bto\b|\bwith\b|\bzu\b|\bmit\b|\s[-–/&+]\s|;|\band\b|\bund\b)\s*"
)


@dataclass(slots=True)
class _Row:
    table: Table
    layout: Layout
    row: int

    def cell(self, name: str) -> Cell:
        column = self.layout.at.get(name)
        cells = self.table.sheet.rows[self.row]
        return cells[column] if column is not None and column < len(cells) else ""

    def text(self, name: str) -> str:
        columns = self.layout.all.get(name, [])
        cells = self.table.sheet.rows[self.row]
        return "; ".join(t for c in columns if c < len(cells) and (t := text_of(cells[c])))

    def where(self, bench: Bench, name: str) -> str:
        column = self.layout.at.get(name, 0)
        return bench.where(self.table.sheet, self.row, column, self.layout.headings.get(name, ""))

    def origin(self, bench: Bench, name: str) -> str:
        return bench.origin(self.table.sheet, self.row, self.layout.at.get(name, self.table.span[0]))


def read_joints(
    bench: Bench, laid: Sequence[tuple[Table, Layout]], finder: Finder
) -> tuple[list[Joint], list[tuple[Table, int]]]:
    """All joints of the joint tables, and the rows that are notes."""
    joints: list[Joint] = []
    notes: list[tuple[Table, int]] = []
    for table, layout in laid:
        torque = _torque_habit(bench, table, layout)
        for number in table.body:
            row = _Row(table, layout, number)
            if not _is_joint(row):
                if not blank_within(table, number):
                    notes.append((table, number))
                continue
            joints.append(_joint(bench, row, finder, len(joints), torque))
    _ask_doubles(bench, joints, laid)
    return joints, notes


def _is_joint(row: _Row) -> bool:
    said = [n for n in ("first", "second", "what", "count", "tool", "torque", "direction") if row.text(n)]
    first = row.text("first") or row.text("what")
    return len(said) >= 2 and not (is_total(first) and len(said) <= 2)


def _torque_habit(bench: Bench, table: Table, layout: Layout) -> Habit:
    unit = layout.units.get("torque", "N*m")
    column = layout.at.get("torque")
    cells = cells_of(table, column, table.body) if column is not None else []
    return habit(bench, cells, DIMENSIONS["torque"], unit, "torque")


def _joint(bench: Bench, row: _Row, finder: Finder, position: int, torque: Habit) -> Joint:
    first, second = row.text("first"), row.text("second")
    if not second:
        first, second = _split_pair(first, finder)
    what = row.text("what")
    identity = bench.desk.identity("j", normal(first), normal(second), normal(what))
    count, length = _count(bench, row, identity)
    return Joint(
        id=identity,
        first_text=first,
        second_text=second,
        first=_resolve(bench, row, finder, "first", first),
        second=_resolve(bench, row, finder, "second" if row.text("second") else "first", second),
        kind=what,
        count=count,
        length=_length(bench, row) or length,
        tool=row.text("tool"),
        direction=row.text("direction"),
        torques=_torques(bench, row, torque, identity),
        live=_yes_no(bench, row, "live"),
        reusable=_yes_no(bench, row, "reusable"),
        position=position,
        remarks=row.text("remarks"),
        origin=row.origin(bench, "first" if "first" in row.layout.at else "what"),
    )


def _split_pair(text: str, finder: Finder) -> tuple[str, str]:
    """Two ends in one cell: "1.1 - 1.2", "cover to frame"."""
    pieces = [p for p in _PAIR.split(text, maxsplit=1) if p]
    if len(pieces) == 2:
        return pieces[0].strip(), pieces[1].strip()
    slashed = re.split(r"[/-]", text)
    if len(slashed) == 2 and all(finder.one(p)[0] for p in slashed):
        return slashed[0].strip(), slashed[1].strip()
    return text, ""


def _resolve(bench: Bench, row: _Row, finder: Finder, name: str, text: str) -> str | None:
    identity, missing = finder.one(text)
    if missing:
        bench.desk.ask(
            row.where(bench, name),
            f"a joint names {text}, which is not in the parts list",
            taken="the words only",
            proposed="name a line of the parts list",
            about=f"reference {text}",
        )
    return identity


def _count(bench: Bench, row: _Row, identity: str) -> tuple[Reading | None, Reading | None]:
    """The number of pieces, or the length where the cell holds one ("6.4 m")."""
    cell = row.cell("count")
    text = text_of(cell).strip()
    if not text or is_blank(text):
        return None, None
    where, origin = row.where(bench, "count"), row.origin(bench, "count")
    word = number_word(text.split()[0])
    try:
        groups = scan(text, decimal=bench.decimal) if word is None else ()
    except QuantityError as error:
        bench.desk.reject(where, f"{error}; the count is left open", text)
        return None, None
    if word is None and not groups:
        bench.desk.reject(where, f"{text!r} is no count; it is left open", text)
        return None, None
    if groups and groups[0].unit not in ("", "part"):
        measure = read_cell(cell, Habit(LENGTH, "m", bench.decimal, "length"))
        if measure is None or measure.problem or measure.value <= 0:
            bench.desk.reject(where, f"{text!r} is neither a count nor a length; it is left open", text)
            return None, None
        return None, reading_of(measure, _length_basis(measure), origin)
    value = float(word) if word is not None else groups[0].value
    if value <= 0.0:
        bench.desk.reject(where, f"a count of {text} is not possible; it is left open", text)
        return None, None
    if not value.is_integer():
        bench.desk.ask(
            where,
            f"a count of {text!r} is not a whole number",
            taken=f"{value:g}",
            proposed=f"{max(1, round(value))}",
            edits=(set_edit("joint", identity, "count", float(max(1, round(value)))),),
            about=f"count {text}",
        )
    exact = Spread(shape=Shape.EXACT)
    return Reading(
        value=value, unit="part", basis=Basis.COUNTED, spread=exact, origin=origin, text=text
    ), None


def _length_basis(measure: Measure) -> Basis:
    return Basis.ESTIMATED if measure.approximate else Basis.MEASURED


def _length(bench: Bench, row: _Row) -> Reading | None:
    cell = row.cell("length")
    if cell == "":
        return None
    measure = read_cell(cell, Habit(LENGTH, row.layout.units.get("length", "mm"), bench.decimal, "length"))
    if measure is None:
        return None
    if measure.problem or measure.value <= 0.0:
        why = measure.problem or f"a length of {measure.text} is not possible"
        bench.desk.reject(row.where(bench, "length"), f"{why}; the length is left open", measure.text)
        return None
    return reading_of(measure, _length_basis(measure), row.origin(bench, "length"))


def _torques(bench: Bench, row: _Row, own: Habit, identity: str) -> tuple[Reading, ...]:
    cell = row.cell("torque")
    measure = read_cell(cell, own) if cell != "" else None
    if measure is None:
        return ()
    if measure.problem or any(v <= 0.0 for v in measure.values):
        why = measure.problem or f"a torque of {measure.text} is not possible"
        bench.desk.reject(row.where(bench, "torque"), f"{why}; the torque is left open", measure.text)
        return ()
    origin = row.origin(bench, "torque")
    basis = Basis.ESTIMATED if measure.approximate else Basis.MEASURED
    if len(measure.values) == 1:
        return (reading_of(measure, basis, origin),)
    out = []
    for value in measure.values:
        alone = Measure(value=value, unit=measure.unit, text=measure.text)
        spread = spread_of(alone, basis)
        out.append(
            Reading(
                value=value, unit=measure.unit, basis=basis, spread=spread, origin=origin, text=measure.text
            )
        )
    return tuple(out)


def _yes_no(bench: Bench, row: _Row, name: str) -> bool | None:
    cell = row.cell(name)
    if isinstance(cell, bool):
        return cell
    text = text_of(cell).strip()
    if not text or text in ("?", "??"):
        return None
    said = yes_no(text)
    if said is None and not is_blank(text):
        bench.desk.reject(row.where(bench, name), f"{text!r} says neither yes nor no; it is left open", text)
    return said


def _ask_doubles(bench: Bench, joints: Sequence[Joint], laid: Sequence[tuple[Table, Layout]]) -> None:
    """Ask about joints entered twice in every field."""
    seen: dict[tuple[object, ...], Joint] = {}
    for joint in joints:
        count = joint.count.value if joint.count else None
        length = joint.length.value if joint.length else None
        torques = tuple(t.value for t in joint.torques)
        key = (
            normal(joint.first_text), normal(joint.second_text), normal(joint.kind), count, length, torques,
            normal(joint.tool), normal(joint.direction), normal(joint.remarks),
        )  # fmt: skip
        if key in seen and joint.first_text:
            place = joint.origin.split("!", 1)[1] if laid[0][0].sheet.is_text is False else joint.origin
            bench.desk.ask(
                place,
                f"the joint {joint.first_text} to {joint.second_text}, {joint.kind!r}, is entered twice",
                taken="both lines",
                proposed="leave the second line out",
                edits=(remove_edit("joint", joint.id),),
                about="joint twice",
            )
        seen.setdefault(key, joint)
