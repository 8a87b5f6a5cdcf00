"""Rows of strip logs as steps, over several days and breaks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta

from ..quantities import Basis, Reading, Shape, Spread
from ..quantities.dimension import TIME
from ..quantities.parsing import QuantityError, scan
from ..records import Step
from .bench import Bench, habit
from .clock import Moment, date_of, moment, mostly_dotted
from .columns import Layout
from .desk import set_edit
from .findnumber import text_of
from .joints import _Row
from .measures import day_seconds, number_word, read_cell
from .references import Finder
from .sheets import Cell
from .tables import Table, blank_within
from .vocabulary import is_blank, load, normal, small_words

_DAY = 86400.0
#: A start this much before the one above begins a new day; less is an order to ask about.
_NEW_DAY_GAP = 2.0 * 3600.0


@dataclass(slots=True)
class _Days:
    """Which day of the teardown a line belongs to."""

    day: int = 1
    last_start: float | None = None
    last_finish: float | None = None
    elapsed: float = 0.0
    dates: dict[date, int] = field(default_factory=dict)

    def on_date(self, when: date) -> None:
        if when not in self.dates:
            self.dates[when] = (max(self.dates.values()) + 1) if self.dates else self.day
            self._turn(self.dates[when])
        else:
            self._turn(self.dates[when])

    def on_day(self, day: int) -> None:
        self._turn(day)

    def _turn(self, day: int) -> None:
        if day != self.day:
            self.day, self.last_start, self.last_finish, self.elapsed = day, None, None, 0.0


def read_log(
    bench: Bench, laid: Sequence[tuple[Table, Layout]], finder: Finder
) -> tuple[list[Step], list[tuple[Table, int]]]:
    """All steps of the log tables, and the rows that are notes."""
    steps: list[Step] = []
    notes: list[tuple[Table, int]] = []
    for table, layout in laid:
        rows = [_Row(table, layout, n) for n in table.body]
        moments = [(moment(r.cell("start")), moment(r.cell("finish"))) for r in rows]
        dotted = mostly_dotted([m for pair in moments for m in pair])
        days = _Days()
        first = len(steps)
        for row, (start, finish) in zip(rows, moments, strict=True):
            if _heads_day(row, days):
                continue
            if not row.text("what") and start is None and finish is None:
                if not blank_within(table, row.row):
                    notes.append((table, row.row))
                continue
            steps.append(_step(bench, row, start, finish, days, finder, len(steps), dotted))
        steps[first:] = _completed(bench, layout, steps[first:], rows)
        if "start" not in layout.at and "finish" not in layout.at and "duration" in layout.at:
            bench.desk.note(f"{table.sheet.name}: the log gives durations only; its times count from zero")
    return steps, notes


def _heads_day(row: _Row, days: _Days) -> bool:
    """A row that only says which day follows."""
    texts = [t for c in row.table.sheet.rows[row.row] if (t := _shown(c))]
    if len(texts) > 2 or not texts or (row.text("what") and (row.text("start") or row.text("finish"))):
        return False
    said = " ".join(texts)
    found = _day_in(said)
    when = next(
        (c for c in row.table.sheet.rows[row.row] if isinstance(c, (date, datetime))), None
    ) or date_of(said)
    if (found is None and when is None) or len(said) > 40:
        return False
    if found is not None:
        days.on_day(found)
    elif when is not None:
        days.on_date(when.date() if isinstance(when, datetime) else when)
    return True


def _shown(cell: Cell) -> str:
    return text_of(cell).strip()


def _day_in(text: str) -> int | None:
    """The day a text names: "day 2", "2. Tag"."""
    words = "|".join(map(re.escape, load("common")["day"]))
    found = re.search(
        rf"\b(?:{words})\s*(?:no\.?|nr\.?)?\s*(\d{{1,2}})\b|\b(\d{{1,2}})\.?\s*(?:{words})\b",
        text,
        re.IGNORECASE,
    )
    return int(found.group(1) or found.group(2)) if found else None


def _step(
    bench: Bench,
    row: _Row,
    start: Moment | None,
    finish: Moment | None,
    days: _Days,
    finder: Finder,
    position: int,
    dotted: bool,
) -> Step:
    what, remarks, off = row.text("what"), row.text("remarks"), row.text("off")
    number = row.text("number")
    identity = bench.desk.identity("s", number or normal(what))
    _reject_times(bench, row, start, finish)
    duration = _duration(bench, row)
    if start is not None and finish is None and duration is not None:
        finish = Moment((start.seconds + duration) % _DAY)
    if finish is not None and start is None and duration is not None:
        start = Moment((finish.seconds - duration) % _DAY)
    if duration is not None and not {"start", "finish"} & row.layout.at.keys():
        start = Moment(days.elapsed % _DAY)
        finish = Moment((days.elapsed + duration) % _DAY)
        days.elapsed += duration
    _follow(bench, row, start, finish, days)
    _ask_times(bench, row, identity, start, finish, duration, dotted)
    items, lost = finder.many(off)
    for text in lost:
        bench.desk.ask(
            row.where(bench, "off"),
            f"the log names {text}, which is not in the parts list",
            taken="the words only",
            proposed="name a line of the parts list",
            about=f"reference {text}",
        )
    return Step(
        id=identity,
        number=number,
        does=what,
        day=days.day,
        start=None if start is None else start.seconds,
        finish=None if finish is None else finish.seconds,
        people=_people(bench, row),
        tool=row.text("tool"),
        items=items,
        items_text=off,
        is_break=is_break(what) or (not what and is_break(remarks)),
        position=position,
        remarks=remarks,
        origin=row.origin(bench, "what"),
    )


def is_break(what: str) -> bool:
    """Whether a line is a break: "LUNCH", "Pause", "coffee break, rain"."""
    tokens = normal(what).split()
    words = small_words("pause")
    return any(" ".join(tokens[:n]) in words for n in range(1, 4)) and len(tokens) <= 5


def _follow(bench: Bench, row: _Row, start: Moment | None, finish: Moment | None, days: _Days) -> None:
    """Move on to the line's day: said in a column or remark, dated, or by times that restart."""
    cell = row.cell("day")
    said = _column_day(cell)
    when = start.day if start is not None and start.day is not None else _date_cell(cell)
    remarked = _day_in(row.text("remarks")) or _day_in(row.text("what"))
    if when is not None:
        days.on_date(when)
    elif said is not None:
        days.on_day(said)
    elif remarked is not None and remarked > days.day:
        days.on_day(remarked)
    elif start is not None and days.last_start is not None and start.seconds < days.last_start:
        far = days.last_start - start.seconds >= _NEW_DAY_GAP
        before = finish is not None and days.last_finish is not None and finish.seconds < days.last_finish
        if far or before:  # a line that ends before the one above ended stands on the next day
            days.on_day(days.day + 1)
        else:
            bench.desk.ask(
                row.where(bench, "start"),
                f"{start.text} is before the start of the line above",
                taken=_clock(start.seconds),
                proposed="check the times of this line and the one above",
                about=f"order {start.text}",
            )
    if start is not None:
        days.last_start = start.seconds
        days.last_finish = None if finish is None else finish.seconds


def _column_day(cell: Cell) -> int | None:
    if isinstance(cell, float) and cell.is_integer() and 0 < cell < 100:
        return int(cell)
    if isinstance(cell, str) and cell.strip():
        return int(cell) if cell.strip().isdecimal() and len(cell.strip()) < 3 else _day_in(cell)
    return None


def _date_cell(cell: Cell) -> date | None:
    if isinstance(cell, datetime):
        return cell.date()
    if isinstance(cell, date):
        return cell
    return date_of(cell) if isinstance(cell, str) else None


def _reject_times(bench: Bench, row: _Row, start: Moment | None, finish: Moment | None) -> None:
    for name, read in (("start", start), ("finish", finish)):
        text = _shown(row.cell(name))
        if text and read is None and not is_blank(text):
            bench.desk.reject(row.where(bench, name), f"{text!r} is no time of day; it is left open", text)


def _clock(seconds: float) -> str:
    return f"{int(seconds // 3600):02d}:{int(seconds % 3600 // 60):02d}"


def _ask_times(
    bench: Bench,
    row: _Row,
    identity: str,
    start: Moment | None,
    finish: Moment | None,
    duration: float | None,
    dotted: bool,
) -> None:
    for name, read in (("start", start), ("finish", finish)):
        if read is not None and read.dotted and not dotted:
            bench.desk.ask(
                row.where(bench, name),
                f"{read.text!r} is written with a dot where the log's other times have a colon",
                taken=_clock(read.seconds),
                proposed=f"{_clock(read.seconds)}, a time of day",
                edits=(set_edit("step", identity, name, read.seconds),),
                about=f"dotted {read.text}",
            )
    if start is None or finish is None:
        return
    elapsed = (finish.seconds - start.seconds) % _DAY
    if finish.seconds < start.seconds and elapsed > 12 * 3600.0 and start.day == finish.day:
        swapped = (start.seconds - finish.seconds) % _DAY
        bench.desk.ask(
            row.where(bench, "finish"),
            f"the line finishes at {_clock(finish.seconds)}, before it starts at {_clock(start.seconds)}",
            taken="the times as written",
            proposed=f"start and finish exchanged, {swapped / 60.0:g} min",
            edits=(
                set_edit("step", identity, "start", finish.seconds),
                set_edit("step", identity, "finish", start.seconds),
            ),
            about="finish before start",
        )
    elif duration is not None and abs(elapsed - duration) > 90.0:
        bench.desk.ask(
            row.where(bench, "duration"),
            f"{duration / 60.0:g} min does not agree with"
            f" {_clock(start.seconds)} to {_clock(finish.seconds)}",
            taken=f"{elapsed / 60.0:g} min, from the times",
            proposed=f"{duration / 60.0:g} min",
            edits=(set_edit("step", identity, "finish", (start.seconds + duration) % _DAY),),
            about=f"duration {duration}",
        )


def duration_of(bench: Bench, cell: Cell, unit: str) -> float | str | None:
    """A duration [s]; a sentence where the cell cannot be one, ``None`` where it is blank."""
    if isinstance(cell, time):
        return day_seconds(cell)
    if isinstance(cell, timedelta):
        return cell.total_seconds()
    if isinstance(cell, str):
        text = cell.strip()
        colon = re.fullmatch(r"(\d{1,3}):(\d{2})(?::(\d{2}))?(?:\s*h)?", text)
        if colon:
            hours, minutes, seconds = (int(g or 0) for g in colon.groups())
            return hours * 3600.0 + minutes * 60.0 + seconds
        glued = re.fullmatch(r"(\d{1,2})\s?h\s?(\d{1,2})(?:\s?(?:min|m|'))?", text)
        if glued:
            return int(glued.group(1)) * 3600.0 + int(glued.group(2)) * 60.0
        if re.search(r"\d'", text):
            cell = re.sub(r"(\d)\s*'(?!')", r"\1 min", text)
    measure = read_cell(cell, habit(bench, [cell], TIME, unit, "duration"))
    if measure is None:
        return None
    if measure.problem:
        return measure.problem
    return measure.value if measure.value >= 0.0 else f"a duration of {measure.text} is below zero"


def _duration(bench: Bench, row: _Row) -> float | None:
    cell = row.cell("duration")
    if cell == "":
        return None
    found = duration_of(bench, cell, row.layout.units.get("duration", bench.units.get("time", "min")))
    if isinstance(found, str):
        bench.desk.reject(row.where(bench, "duration"), f"{found}; the duration is left open", _shown(cell))
        return None
    return found


def _people(bench: Bench, row: _Row) -> Reading | None:
    """How many people: a number, or initials counted."""
    text = _shown(row.cell("people"))
    if not text or is_blank(text):
        return None
    word = number_word(text.split()[0])
    value: float | None = None if word is None else float(word)
    if value is None and text[0].isdigit():
        try:
            groups = scan(text, decimal=bench.decimal)
        except QuantityError:
            groups = ()
        value = groups[0].value if groups else None
    elif value is None:
        value = float(len([p for p in re.split(r"\s*(?:[,;/&+]|\band\b|\bund\b)\s*", text) if p]))
    if value is None or value <= 0.0 or value > 50.0:
        bench.desk.reject(
            row.where(bench, "people"), f"{text!r} is no number of people; it is left open", text
        )
        return None
    return Reading(
        value=value,
        unit="",
        basis=Basis.COUNTED,
        spread=Spread(shape=Shape.EXACT),
        origin=row.origin(bench, "people"),
        text=text,
    )


def _completed(bench: Bench, layout: Layout, steps: list[Step], rows: Sequence[_Row]) -> list[Step]:
    """Finishes of a log that only has starts: each line lasts until the next of its day."""
    if "start" not in layout.at or "finish" in layout.at or "duration" in layout.at or len(steps) < 2:
        return steps
    out = list(steps)
    for at, step in enumerate(steps[:-1]):
        following = steps[at + 1]
        if step.start is not None and following.start is not None and step.day == following.day:
            out[at] = replace(step, finish=following.start)
    sheet = rows[0].table.sheet
    bench.desk.note(
        f"{sheet.name}: the log gives starts only; each line is taken to last until the next begins"
    )
    return out
