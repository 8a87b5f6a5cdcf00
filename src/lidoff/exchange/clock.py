"""Times of day and durations as a log writes them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from .measures import day_seconds
from .sheets import Cell

_COLON = re.compile(
    r"(?P<h>\d{1,2})\s?[:h]\s?(?P<m>\d{2})(?::(?P<s>\d{2}))?\s*(?P<half>[ap]\.?m\.?)?(?:\s*(?:h|Uhr|hrs?))?",
    re.IGNORECASE,
)
_SPOKEN = re.compile(r"(?P<h>\d{1,2})\s*(?:Uhr|h)\s*(?P<m>\d{1,2})?", re.IGNORECASE)
_HALF = re.compile(r"(?P<h>\d{1,2})\s*(?P<half>[ap]\.?m\.?)", re.IGNORECASE)
_DOTTED = re.compile(r"(?P<h>\d{1,2})[.,](?P<m>\d{1,2})(?P<said>\s*(?:Uhr|h|hrs?))?", re.IGNORECASE)
_BARE = re.compile(r"(?P<h>\d{1,2})(?P<m>\d{2})\s*(?:h|Uhr|hrs?)?")
_DATE = re.compile(r"(?P<a>\d{1,4})[./-](?P<b>\d{1,2})[./-](?P<c>\d{2,4})\b")


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of day [s after midnight], its date where written, and whether a dot parted the hours."""

    seconds: float
    day: date | None = None
    dotted: bool = False
    text: str = ""


def date_of(text: str) -> date | None:
    """A date in a text: 12.05.2026, 2026-05-12, 12/05/26 (day first)."""
    found = _DATE.search(text)
    if not found:
        return None
    a, b, c = (int(found.group(g)) for g in "abc")
    year, month, day = (a, b, c) if a > 31 else (c + 2000 if c < 100 else c, b, a)
    if month > 12 >= day:
        month, day = day, month
    try:
        return date(year, month, day)
    except ValueError:
        return None


def moment(cell: Cell) -> Moment | None:
    """Read a time cell; ``None`` where it holds no time of day."""
    if isinstance(cell, bool):
        return None
    if isinstance(cell, datetime):
        return Moment(day_seconds(cell), cell.date(), text=f"{cell:%H:%M}")
    if isinstance(cell, time):
        return Moment(day_seconds(cell), text=f"{cell:%H:%M}")
    if isinstance(cell, timedelta):
        return Moment(cell.total_seconds() % 86400.0, text=str(cell))
    if isinstance(cell, (float, int)):
        return _number(float(cell))
    return _text(cell) if isinstance(cell, str) else None


def _number(value: float) -> Moment | None:
    """A bare number: a spreadsheet's day fraction, 11.46 with a dot, or 1146."""
    if 0.0 <= value < 1.0:
        return Moment(round(value * 86400.0), text=repr(value))
    if value.is_integer() and 100 <= value <= 2400:
        return _checked(int(value) // 100, int(value) % 100, text=str(int(value)))
    if value < 24.0:
        hours = int(value)
        return _checked(hours, round((value - hours) * 100), dotted=not value.is_integer(), text=f"{value:g}")
    if value > 30_000.0:  # a spreadsheet's serial date with a time
        return Moment(
            round((value % 1.0) * 86400.0) % 86400,
            date(1899, 12, 30) + timedelta(days=int(value)),
            text=repr(value),
        )
    return None


def _text(cell: str) -> Moment | None:
    text = " ".join(cell.split())
    day = date_of(text)
    if day is not None:
        text = _DATE.sub(" ", text).strip(" ,T")
    for pattern in (_COLON, _HALF, _SPOKEN):
        found = pattern.search(text)
        if found:
            parts = found.groupdict()
            hours = _half(int(parts["h"]), parts.get("half"))
            return _checked(
                hours, int(parts.get("m") or 0), int(parts.get("s") or 0), day=day, text=cell.strip()
            )
    found = _DOTTED.fullmatch(text)
    if found:
        minutes = found.group("m")
        value = int(minutes) * (10 if len(minutes) == 1 and found.group("said") is None else 1)
        return _checked(
            int(found.group("h")), value, day=day, dotted=found.group("said") is None, text=cell.strip()
        )
    found = _BARE.fullmatch(text)
    if found:
        return _checked(int(found.group("h")), int(found.group("m")), day=day, text=cell.strip())
    return None


def _half(hours: int, half: str | None) -> int:
    if not half:
        return hours
    return hours % 12 + (12 if half.lower().startswith("p") else 0)


def _checked(
    hours: int,
    minutes: int,
    seconds: int = 0,
    *,
    day: date | None = None,
    dotted: bool = False,
    text: str = "",
) -> Moment | None:
    if hours > 24 or minutes > 59 or seconds > 59:
        return None
    return Moment((hours * 3600.0 + minutes * 60.0 + seconds) % 86400.0, day, dotted, text)


def mostly_dotted(moments: Sequence[Moment | None]) -> bool:
    """Whether a log writes its times with dots throughout: a habit, not a slip."""
    read = [m for m in moments if m is not None]
    return sum(m.dotted for m in read) > 0.6 * len(read)
