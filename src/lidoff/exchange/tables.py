"""Finding the tables in a sheet: headers of one or more rows, unit rows, repeats, loose rows.

Nothing vanishes: a row that belongs to no table is kept as loose, for facts and notes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

from .headings import Claim, Guess, Kind, guess_header, heading_unit, of_kind, unit_fits, unit_said
from .sheets import Cell, Sheet
from .vocabulary import has_any

_HINTS = {
    Kind.PARTS: "parts_hint",
    Kind.JOINTS: "joints_hint",
    Kind.LOG: "log_hint",
    Kind.REMOVALS: "removals_hint",
    Kind.FACTS: "facts_hint",
}


@dataclass(slots=True)
class Column:
    """One column: its place, its heading as written (top and sub-heading joined), and its readings."""

    index: int
    heading: str
    claims: list[Claim]
    unit: str = ""


@dataclass(slots=True)
class Table:
    """A table found in a sheet: rows ``body`` of ``sheet.rows`` under the header at row ``head``."""

    kind: Kind
    sheet: Sheet
    head: int
    columns: list[Column]
    body: list[int] = field(default_factory=list)
    titles: list[int] = field(default_factory=list)

    @property
    def span(self) -> tuple[int, int]:
        return self.columns[0].index, self.columns[-1].index


@dataclass(slots=True)
class Found:
    """What a sheet holds: its tables, and the rows outside them."""

    sheet: Sheet
    tables: list[Table]
    loose: list[int]


def texts(row: list[Cell]) -> list[tuple[int, str]]:
    """The non-empty cells of a row as (column, text); numbers and dates come as an empty list."""
    out: list[tuple[int, str]] = []
    for index, cell in enumerate(row):
        if isinstance(cell, str):
            if cell and not cell.isspace():
                out.append((index, cell.strip()))
        else:
            return []
    return out


def blank_within(table: Table, row: int) -> bool:
    """Whether a body row is empty under the table's own columns."""
    first, last = table.span
    return is_empty(table.sheet.rows[row][first : last + 1])


def is_empty(row: list[Cell]) -> bool:
    return not any(not isinstance(c, str) or (c and not c.isspace()) for c in row)


def _hints(sheet: Sheet, titles: list[int]) -> dict[Kind, float]:
    """What the sheet's name and the lines above say the table holds."""
    said = [sheet.name] if not sheet.is_text else []
    said += [str(c) for row in titles[-2:] for c in sheet.rows[row] if isinstance(c, str) and c.strip()]
    return {kind: 0.9 for kind, word in _HINTS.items() if any(has_any(t, word) for t in said)}


def _could_be_header(cells: list[tuple[int, str]]) -> bool:
    """Quick look: a header has at least two texts and none that starts as a number."""
    return len(cells) >= 2 and not any(t[0].isdigit() and not t.startswith(("1.", "2.")) for _, t in cells)


@dataclass(slots=True)
class _Finder:
    """Walks a sheet row by row: which tables are open, which lines may be titles of the next."""

    sheet: Sheet
    found: Found
    current: list[Table] = field(default_factory=list)
    headers: list[list[Cell]] = field(default_factory=list)
    titles: list[int] = field(default_factory=list)
    gap: bool = False

    def row(self, row: int) -> int:
        """Read one row; returns the row to go on with."""
        cells = self.sheet.rows[row]
        if self.current and cells and cells[0].__class__ is float:  # a number first: no header, no blank row
            self._to_tables(row)
            self.titles = []
            return row + 1
        if self.current and cells in self.headers:
            return row + 1
        words = texts(cells)
        if not words and is_empty(cells):
            self.gap = True
            return row + 1
        if self.gap and len(words) == 1:  # a new group of title lines
            self.titles = []
        self.gap = False
        guesses = _guesses(words, _hints(self.sheet, self.titles)) if _could_be_header(words) else []
        if guesses:
            return self._header(row, guesses)
        if self.current:
            self._to_tables(row)
            self.titles = [*self.titles, row] if len(words) == 1 else []
        else:
            self.found.loose.append(row)
            self.titles.append(row)
        return row + 1

    def _to_tables(self, row: int) -> None:
        for table in self.current:
            table.body.append(row)

    def _header(self, row: int, guesses: list[Guess]) -> int:
        """Open the tables of a header row, unless it repeats the open ones."""
        started, after = _start(self.sheet, row, guesses, self.titles)
        for table in self.current:  # the lines right above a new header are its titles
            while table.body and table.body[-1] in self.titles:
                table.body.pop()
        if [_shape(t) for t in self.current] != [_shape(t) for t in started]:
            self.current = started
            self.found.tables.extend(started)
        self.headers.append(self.sheet.rows[row])
        self.titles = []
        return after


def find_tables(sheet: Sheet) -> Found:
    """Split a sheet into tables and loose rows."""
    finder = _Finder(sheet, Found(sheet, [], []))
    row = 0
    while row < len(sheet.rows):
        row = finder.row(row)
    return finder.found


def _shape(table: Table) -> tuple[Kind, tuple[tuple[int, str], ...]]:
    return table.kind, tuple((c.index, c.heading) for c in table.columns)


def _guesses(words: list[tuple[int, str]], hints: dict[Kind, float]) -> list[Guess]:
    """One header, or two and more side by side where each part is a header by itself."""
    groups: list[list[tuple[int, str]]] = []
    for index, text in words:
        if groups and index == groups[-1][-1][0] + 1:
            groups[-1].append((index, text))
        else:
            groups.append([(index, text)])
    if len(groups) > 1:
        apart = [guess_header(group, hints) for group in groups]
        both = [g for g in apart if g is not None]
        if len(both) == len(groups) and _stand_apart(groups, both):
            return both
    whole = guess_header(words, hints)
    return [whole] if whole else []


def _stand_apart(groups: list[list[tuple[int, str]]], guesses: list[Guess]) -> bool:
    """Whether neighbours are tables of their own: of other kinds, or with the same fields again."""
    if len({g.kind for g in guesses}) == len(guesses):
        return True
    fields = [
        {claims[0].field for _, text in group if (claims := of_kind(text, guess.kind))}
        for group, guess in zip(groups, guesses, strict=True)
    ]
    return all(len(a & b) >= 2 for a, b in pairwise(fields))


def _start(sheet: Sheet, row: int, guesses: list[Guess], titles: list[int]) -> tuple[list[Table], int]:
    """The tables whose header is at ``row``, and the first row behind header, sub-header, units."""
    top = _super_header(sheet, row, guesses, titles)
    below = row + 1
    sub: list[tuple[int, str]] = []
    if below < len(sheet.rows):
        words = texts(sheet.rows[below])
        carried = _carry(sheet, row, dict(texts(sheet.rows[row])), range(len(sheet.rows[below])))
        if _is_sub_header(words, guesses[0].kind, sheet.rows[row], carried):
            sub, below = words, below + 1
    units: dict[int, str] = {}
    if below < len(sheet.rows):
        units = _unit_row(texts(sheet.rows[below]))
        if units:
            below += 1
    main = {i: t for i, t in texts(sheet.rows[row])}
    tables = []
    width = max((len(r) for r in sheet.rows[row : row + 50]), default=0)
    for number, guess in enumerate(guesses):
        last = guesses[number + 1].first - 1 if number + 1 < len(guesses) else width - 1
        first = guess.first if number else 0
        columns = _columns(sheet, row, guess.kind, range(first, last + 1), top, main, dict(sub), units)
        tables.append(Table(guess.kind, sheet, row, columns, titles=list(titles)))
    return tables, below


def _columns(
    sheet: Sheet,
    row: int,
    kind: Kind,
    span: range,
    top: dict[int, str],
    main: dict[int, str],
    sub: dict[int, str],
    units: dict[int, str],
) -> list[Column]:
    carried = _carry(sheet, row, main, span) if sub else main
    columns = []
    for index in span:
        layers = [t for t in (top.get(index, ""), carried.get(index, ""), sub.get(index, "")) if t]
        own = sub.get(index) or main.get(index) or ""
        if not layers and not own:
            columns.append(Column(index, "", []))
            continue
        readings: dict[str, Claim] = {}
        for text in dict.fromkeys([own, " ".join(layers), *reversed(layers)]):
            for claim in of_kind(text, kind) if text else []:
                known = readings.get(claim.field)
                if known is None or claim.score > known.score:
                    readings[claim.field] = claim
        ordered = sorted(readings.values(), key=lambda c: -c.score)
        unit = units.get(index) or next((unit_said(t) for t in reversed(layers) if unit_said(t)), "")
        columns.append(Column(index, " ".join(layers), ordered, unit))
    return columns


def _carry(sheet: Sheet, row: int, main: dict[int, str], span: range) -> dict[int, str]:
    """Headings carried right over the blanks they span, as merged cells say or as blanks suggest."""
    merged = {a[1]: b[1] for a, b in sheet.merged if a[0] == row}
    out: dict[int, str] = {}
    text, until = "", -1
    for index in span:
        if index in main:
            text = main[index]
            until = merged.get(index, index if sheet.merged else 10**6)
        if text and index <= until:
            out[index] = text
    return out


def _super_header(sheet: Sheet, row: int, guesses: list[Guess], titles: list[int]) -> dict[int, str]:
    """The row above, where it groups columns ("Mass [g]" over "each", "total")."""
    if row == 0 or not titles or titles[-1] != row - 1:
        return {}
    words = texts(sheet.rows[row - 1])
    if not words or (len(words) == 1 and words[0][0] <= guesses[0].first):
        return {}
    kind = guesses[0].kind
    telling = [t for _, t in words if of_kind(t, kind) or heading_unit(t)]
    if len(telling) < 0.5 * len(words):
        return {}
    titles.pop()
    return _carry(sheet, row - 1, dict(words), range(0, len(sheet.rows[row])))


def _is_sub_header(
    words: list[tuple[int, str]], kind: Kind, above: list[Cell], carried: dict[int, str]
) -> bool:
    """Whether a row is the second row of a header: headings or units under blanks and groups."""
    if len(words) < 2 or not _could_be_header(words):
        return False
    if all(heading_unit(t) or t in ("-", "–") for _, t in words):
        return False  # that is the unit row
    known = [
        i
        for i, t in words
        if heading_unit(t)
        or any(c.score >= 0.55 for c in of_kind(t, kind))
        or (i in carried and any(c.score >= 0.7 for c in of_kind(f"{carried[i]} {t}", kind)))
    ]
    under_blank = any(i >= len(above) or not str(above[i]).strip() for i, _ in words)
    all_known = len(known) == len(words)
    return len(known) >= 0.7 * len(words) and (under_blank or all_known)


def _unit_row(words: list[tuple[int, str]]) -> dict[int, str]:
    """Units by column, where the row holds nothing else."""
    if not words:
        return {}
    units = {i: heading_unit(t) for i, t in words}
    plain = [t for i, t in words if not units[i]]
    if not any(units.values()) or any(_count_or_dash(t) is False for t in plain):
        return {}
    return {i: u for i, u in units.items() if u}


def _count_or_dash(text: str) -> bool:
    from ..quantities.written import unit_word

    return text.strip("[]() ") in ("-", "–", "", "/") or unit_word(text.strip("[]() ")) == "part"


def column_unit(column: Column, claim: Claim, dimension_fits: bool = True) -> str:
    """The unit of a column: the one in its heading, or of the unit row, where it fits the field."""
    from .headings import dimension_of

    dimension = dimension_of(claim.kind, claim.field)
    for unit in (claim.unit, column.unit):
        if unit_fits(unit, dimension):
            return unit
    return ""
