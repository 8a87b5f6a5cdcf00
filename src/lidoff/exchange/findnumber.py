"""Find numbers: "1.2.10", "1-2-10", "A.03"; what a spreadsheet made of them, and how to undo it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from .columns import FIND_NUMBER
from .sheets import Cell

Key = tuple[int | str, ...]
_SPLIT = re.compile(r"\s*[.\-/_,]\s*|\s+")
#: Longer texts are one word: no parts list is a thousand levels deep.
_LONGEST = 4000
#: "A12" is A and 12, so that it may hang below A.
_SEAM = re.compile(r"\d+|[^\d]+")
_PLAIN = re.compile(r"[1-9]\d*(?:\.[1-9]\d*)*")
_MONTHS = {
    name: number
    for number, names in enumerate(
        ("jan gen ene", "feb fev", "mar mär maer mrt mrz", "apr avr abr", "mai may mei mag", "jun giu",
         "jul lug", "aug aou ago", "sep set", "okt oct ott", "nov", "dez dec dic"), 1
    )
    for name in names.split()
}  # fmt: skip
_DATE_WORD = re.compile(
    r"(?P<a>\d{1,2}|[A-Za-zä]{3,4})[.\- ]{1,2}(?P<b>\d{1,4}|[A-Za-zä]{3,4})\.?(?:[.\- ]{1,2}(?P<c>\d{2,4}))?"
)
_FULL_DATE = re.compile(r"(\d{1,2})[./\-](\d{1,2})[./\-](\d{4})|(\d{4})-(\d{1,2})-(\d{1,2})(?: 00:00:00)?")


@dataclass(slots=True)
class Numbers:
    """The find numbers of a column as taken; ``was`` holds the cells that read something else.

    ``canonical`` has each in one spelling ("1-02" as "1.2").
    """

    numbers: list[str]
    keys: list[Key]
    canonical: list[str]
    was: dict[int, str]


def key_of(number: str) -> Key:
    """The parts of a find number, numbers as numbers: "01.02" and "1-2" are (1, 2), "A3" is (a, 3)."""
    if len(number) > _LONGEST:
        return (number.strip().lower(),)
    if _PLAIN.fullmatch(number):
        return tuple(map(int, number.split(".")))
    pieces = [p for p in _SPLIT.split(number.strip().rstrip(".")) if p]
    parts = [p for piece in pieces for p in _SEAM.findall(piece)]
    return tuple(int(p) if p.isdecimal() and len(p) < 19 else p.lower() for p in parts)


def text_of(cell: Cell) -> str:
    """A cell as text: a number cell 3.0 is "3", a date by day, month and year."""
    if isinstance(cell, str):
        return cell.strip()
    if isinstance(cell, bool):
        return str(cell)
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() else repr(cell)
    return f"{cell:%d.%m.%Y}" if isinstance(cell, date) else str(cell)


def looks_like_number(text: str) -> bool:
    return bool(FIND_NUMBER.fullmatch(text))


def _from_date(day: int, month: int, year: int | None) -> list[Key]:
    """What may have been typed where a spreadsheet now holds a date, likeliest first."""
    out: list[Key] = []
    if year is not None:
        out += [(day, month, year % 100), (month, day, year % 100)]
    out += [(day, month), (month, day)]
    if year is not None and day == 1:
        out += [(month, year % 100)]
    return out


def _dated(cell: Cell) -> list[Key]:
    """Keys a date-like cell may have been, or none."""
    if isinstance(cell, (datetime, date)):
        return _from_date(cell.day, cell.month, cell.year)
    if not isinstance(cell, str):
        return []
    full = _FULL_DATE.fullmatch(cell.strip())
    if full:
        a, b, c, y, m, d = full.groups()
        if y:
            return _from_date(int(d), int(m), int(y)) if int(y) > 1900 else []
        return _from_date(int(a), int(b), int(c)) if 1900 < int(c) < 2100 else []
    word = _DATE_WORD.fullmatch(cell.strip())
    if word:
        a, b = word.group("a").lower()[:3], word.group("b").lower()[:3]
        year = int(word.group("c")) if word.group("c") else None
        if a in _MONTHS and b.isdigit():  # "Oct-10", "Okt 10"
            return [(_MONTHS[a], int(word.group("b"))), (int(word.group("b")), _MONTHS[a])]
        if b in _MONTHS and a.isdigit():  # "01. Okt", "1-Oct"
            return _from_date(int(a), _MONTHS[b], year)
    return []


def _follows(key: Key, before: Key | None) -> bool:
    """Whether a number may stand next: the first child, the next sibling, or the next of a parent."""
    if before is None:
        return True
    if key[:-1] == before and key[-1] == 1:
        return True
    for depth in range(1, len(before) + 1):
        last = before[depth - 1]
        if isinstance(last, int) and key == (*before[: depth - 1], last + 1):
            return True
    return False


def repair(cells: Sequence[Cell], names: Sequence[str]) -> Numbers:
    """Find numbers of a column in order, with those a spreadsheet mangled put right.

    A number that lost its last zero ("1.10" became 1.1) is found by standing where 1.10 belongs while
    1.1 was there before under another name; a date by the number it would have to be in its place.
    """
    texts = [c.strip() if c.__class__ is str else text_of(c) for c in cells]
    keys: list[Key] = []
    canonical: list[str] = []
    dates = {}
    for at, text in enumerate(texts):
        plain = len(text) <= _LONGEST and _PLAIN.fullmatch(text) is not None
        keys.append(tuple(map(int, text.split("."))) if plain else key_of(text))
        canonical.append(text if plain else ".".join(map(str, keys[at])))
        if not plain or (len(text) > 7 and len(keys[at]) == 3 and _is_year(keys[at][2])):
            dated = _dated(cells[at])
            if dated:
                dates[at] = dated
    out = Numbers(texts, keys, canonical, {})
    if dates or len(set(keys)) < len(keys):
        _put_right(out, names, dates)
    return out


def _is_year(part: int | str) -> bool:
    return isinstance(part, int) and 1900 < part < 2100


def _put_right(out: Numbers, names: Sequence[str], dates: dict[int, list[Key]]) -> None:
    seen: dict[Key, str] = {}
    before: Key | None = None
    after = [() if at in dates else key for at, key in enumerate(out.keys)] + [()]
    for at, key in enumerate(out.keys):
        name = names[at].strip().lower()
        if at in dates:
            key = _best(dates[at], before, after[at + 1], seen)
        elif len(key) == 2 and isinstance(key[-1], int) and seen.get(key, name) != name:
            longer = (*key[:-1], key[-1] * 10)
            if longer not in seen and _follows(longer, before):
                key = longer
        if key != out.keys[at]:
            out.was[at] = out.numbers[at]
            out.keys[at] = key
            out.numbers[at] = out.canonical[at] = ".".join(map(str, key))
        if key:
            seen.setdefault(key, name)
            before = key


def _best(candidates: list[Key], before: Key | None, after: Key, seen: dict[Key, str]) -> Key:
    """The candidate that follows the line before, then one whose child comes next, then any new one."""
    fresh = [c for c in candidates if c not in seen] or candidates
    for candidate in fresh:
        if _follows(candidate, before) and (not after or _follows(after, candidate)):
            return candidate
    for candidate in fresh:
        if _follows(candidate, before) or (after and after[: len(candidate)] == candidate):
            return candidate
    return fresh[0]
