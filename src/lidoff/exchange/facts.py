"""Notes as facts of the pack: keys by meaning, values with their units, words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ..quantities import Evidence, Word, parse_unit
from ..quantities.parsing import QuantityError, scan
from ..records import FACTS, Fact, Function, Item, Removal
from .bench import Bench
from .factvalues import Value, assign, cell_format, chemistry, fact_reading, layout_values, share
from .headings import Kind
from .measures import Measure
from .notes import Note, clauses, is_label, label_meanings, labels, notes_of
from .removals import removal_line
from .scales import Scale, read_scales
from .sheets import Sheet
from .tables import Found, Table
from .vocabulary import has_any, load, normal

_SIZE = re.compile(
    r"^\W*\d[\d.,]*\s*(?:mm|cm|m|in)?\s*[x×*]\s*\d[\d.,]*\s*(?:mm|cm|m|in)?\s*[x×*]\s*\d[\d.,]*\s*(?:mm|cm|m|inch|in)\b"
)
_COOLANT_WORD = re.compile(
    r"coolant|kühlm|kuhlm|kuehlm|liquid|liquide|refrigerant|koelv|fluid|kühlfl", re.IGNORECASE
)


_CELL_WORDS = frozenset({"cell", "cells", "zelle", "zellen", "cellule", "cella", "celda", "cel"})
_OF_CELL = {
    "label_voltage": "cell_voltage",
    "label_capacity": "cell_capacity",
    "label_energy": "cell_energy",
    "pack_resistance": "cell_resistance",
}


@dataclass(slots=True)
class FactBook:
    """The facts of a file as they are found."""

    bench: Bench
    facts: list[Fact] = field(default_factory=list)
    keys: set[str] = field(default_factory=set)
    removals: list[Removal] = field(default_factory=list)

    def add(
        self,
        note: Note,
        label: str,
        text: str,
        value: Value | None = None,
        word: Word | None = None,
        key: str | None = None,
    ) -> None:
        """Add one fact; a key already noted keeps its first reading and the new one is asked about."""
        bench = self.bench
        origin = bench.origin(note.sheet, note.row, note.column)
        name = value.key if value is not None else key
        reading = None
        if value is not None:
            reading = fact_reading(
                value, origin, _crane(bench, text) if value.key == "mass_weighed" else None
            )
        if name is not None and name in self.keys:
            known = next(f for f in self.facts if f.key == name)
            if _same(known, reading, word):
                return
            self._ask_twice(note, known, text)
            name = None
        if name is not None:
            self.keys.add(name)
        self.facts.append(
            Fact(
                id=bench.desk.identity("f", name or normal(label), "" if name else text),
                label=label,
                text=text,
                key=name,
                reading=reading,
                word=word,
                position=len(self.facts),
                origin=origin,
            )
        )

    def read_row(self, sheet: Sheet, row: int) -> None:
        """Facts of one row between others; what is not understood is kept as a note."""
        _read_row(self, sheet, row, title=False)

    def _ask_twice(self, note: Note, known: Fact, text: str) -> None:
        about = FACTS[known.key].about if known.key else known.label
        self.bench.desk.ask(
            self.bench.where(note.sheet, note.row, note.column),
            f"the {about} is noted twice: {known.text!r} and {text!r}",
            taken=known.text,
            proposed=f"{known.text}, the first",
            about=f"twice {known.key} {text}",
        )


def _same(known: Fact, reading: object, word: Word | None) -> bool:
    value = getattr(reading, "value", None)
    if known.reading is not None and isinstance(value, float):
        return abs(known.reading.value - value) <= 0.005 * abs(value)
    if known.word is not None and word is not None:
        return normal(known.word.text) == normal(word.text) or known.word.means == word.means is not None
    return False


def _crane(bench: Bench, text: str) -> Scale | None:
    """The scale of a whole-pack weighing: named beside it, else the one without a stated load."""
    named = [s for s in read_scales(text, bench.decimal) if s.capacity is None]
    return next(iter(named), None) or next((s for s in bench.scales if s.capacity is None), None)


def read_facts(bench: Bench, found: Sequence[Found]) -> FactBook:
    """Facts of the loose rows and of fact tables."""
    book = FactBook(bench)
    for one in found:
        titles = {row for table in one.tables for row in table.titles}
        for row in one.loose:
            _read_row(book, one.sheet, row, title=row in titles)
        for table in one.tables:
            if table.kind is Kind.FACTS:
                _read_table(book, table)
    return book


def _read_table(book: FactBook, table: Table) -> None:
    """A table of label, value, unit."""
    from .columns import lay_out
    from .notes import cell_text

    layout = lay_out(table)
    label_at, value_at, unit_at = (layout.at.get(n) for n in ("label", "value", "unit"))
    for row in table.body:
        cells = table.sheet.rows[row]

        def text(column: int | None, cells: list[object] = list(cells)) -> str:  # noqa: B006
            return cell_text(cells[column]) if column is not None and column < len(cells) else ""  # type: ignore[arg-type]

        label, value = text(label_at), text(value_at)
        if not label and not value:
            continue
        if not value:
            _read_row(book, table.sheet, row, title=False)
            continue
        from .headings import heading_unit

        _read_note(book, Note(table.sheet, row, value_at or 0, label, value, heading_unit(text(unit_at))))


def _read_row(book: FactBook, sheet: Sheet, row: int, *, title: bool) -> None:
    for note in notes_of(sheet, row):
        listed = removal_line(book.bench, note) if not book.removals else []
        if listed:
            book.removals += listed
        elif note.free and not note.label:
            _read_free(book, note, title)
        else:
            _read_note(book, note)


def _read_note(book: FactBook, note: Note) -> None:
    """A label with its value; of several meanings the one whose dimension the value has."""
    meaning = _meaning(note, book.bench.decimal)
    if meaning is None or not _read_meaning(book, note, meaning, note.label, note.text):
        if note.free:
            _read_free(book, note, False, whole=f"{note.label}: {note.text}")
        else:
            book.add(note, note.label, note.text)


def _meaning(note: Note, decimal: str | None) -> str | None:
    meanings = label_meanings(note.label)
    if (
        len(meanings) < 2
        and not set(normal(note.label).split()) & _CELL_WORDS
        and is_label(note.label) is not None
    ):
        return meanings[0] if meanings else None
    try:
        units = {g.unit for g in scan(note.text, decimal=decimal) if g.unit} or {note.unit}
    except QuantityError:
        units = {note.unit}
    dimensions = {parse_unit(u).dimension.exponents for u in units if u and u != "part"}
    if set(normal(note.label).split()) & _CELL_WORDS:  # a voltage of the cell is not the pack's
        meanings = [_OF_CELL.get(m, m) for m in meanings]
    for meaning in meanings:
        keys = load("facts")[meaning]["keys"]
        own = {parse_unit(FACTS[k].unit).dimension.exponents for k in keys if FACTS[k].unit}
        if own & dimensions:
            return meaning
    hit = is_label(note.label)
    if hit is None:
        return None
    keys = load("facts")[hit.meaning]["keys"]
    fits = FACTS[keys[0]].is_word or not dimensions or not FACTS[keys[0]].unit or hit.score == 1.0
    return hit.meaning if fits else None


def _read_free(book: FactBook, note: Note, title: bool, whole: str = "") -> None:
    """A sentence: the clauses that are facts are taken, the rest is kept."""
    text = whole or note.text
    left = [piece for piece in clauses(text) if not _read_clause(book, note, piece)]
    if not left:
        return
    said = text if len(left) == sum(1 for _ in clauses(text)) else "; ".join(left)
    if title or _is_title(note, said):
        book.bench.desk.note(f"{book.bench.where(note.sheet, note.row, note.column)}: {said}")
    else:
        book.add(note, "note", said)


def _is_title(note: Note, text: str) -> bool:
    """The first line of a sheet is its title where it holds no number with a unit."""
    return note.row == 0 and not re.search(r"\d\s*(?:kg|g|mm|V|Ah|kWh)\b", text)


def _read_clause(book: FactBook, note: Note, piece: str) -> bool:
    """One clause of a sentence; whether it was understood."""
    label, mark, value = piece.partition(":")
    if mark and value.strip():
        hit = is_label(label)
        if hit is not None:
            if hit.meaning in ("weighed", "scales"):
                book.bench.scales += [
                    s for s in read_scales(label, book.bench.decimal) if s not in book.bench.scales
                ]
            if _read_meaning(book, note, hit.meaning, label.strip(), value.strip()):
                return True
    if _SIZE.match(piece):
        return _read_meaning(book, note, "envelope", "", piece)
    if layout_values(piece):
        return _read_meaning(book, note, "cells", "", piece)
    if _coolant_state(piece) is not None and _COOLANT_WORD.search(piece):
        return _read_meaning(book, note, "coolant_state", "", piece)
    tokens = piece.split()
    for size in range(min(4, len(tokens) - 1), 0, -1):
        meaning = labels().whole(" ".join(tokens[:size]))
        if meaning is None:
            continue
        label, value = " ".join(tokens[:size]), " ".join(tokens[size:])
        if _may_stand_free(meaning, value):
            return _read_meaning(book, note, meaning, label, value)
    return False


def _may_stand_free(meaning: str, value: str) -> bool:
    """Whether a label without colon may be believed: a value of the right kind follows it directly."""
    keys = load("facts")[meaning]["keys"]
    if meaning == "name":
        return len(value.split()) == 1 and value[:1].isupper() and value.isalnum()
    if meaning == "received":
        return bool(re.match(r"(?:am\s+|on\s+)?\d{1,4}[./-]\d{1,2}[./-]\d{1,4}", value))
    if meaning == "scales":
        return bool(re.search(r"\d\s*(?:kg|g)\s*/", value))
    if meaning == "model_year":
        return bool(re.fullmatch(r"(?:19|20)\d\d", value))
    return not FACTS[keys[0]].is_word and bool(re.match(r"(?:ca\.?|~|approx\.?|etwa|about)?\s*\d", value))


def _coolant_state(text: str) -> float | None:
    """1 where a text says the weighing held coolant, 0 where it was drained, else ``None``."""
    if has_any(text, "wet"):
        return 1.0
    if has_any(text, "drained"):
        return 0.0
    return None


def _read_meaning(book: FactBook, note: Note, meaning: str, label: str, text: str) -> bool:
    """Fill the keys of a meaning from a value; whether anything was understood."""
    bench = book.bench
    keys: list[str] = load("facts")[meaning]["keys"]
    shown = label or meaning.replace("_", " ")
    if not text.strip():
        return False
    if meaning == "scales":
        bench.scales += [s for s in read_scales(text, bench.decimal) if s not in bench.scales]
    if meaning in ("coolant_state", "coolant"):
        state = _coolant_state(text)
        if state is None and meaning == "coolant_state":
            from .vocabulary import yes_no

            said = yes_no(text)
            state = None if said is None else float(said)
        if state is not None:
            book.add(
                note, shown, text, Value("coolant_in_weighing", Measure(value=state, unit="", text=text))
            )
            return True
        if meaning == "coolant_state":
            return False
    if FACTS[keys[0]].is_word:
        book.add(note, shown, text, word=Word(text=text, means=_word_means(keys[0], text)), key=keys[0])
        return True
    try:
        values = _values(meaning, keys, text, note.unit, bench.decimal)
    except QuantityError as error:
        bench.desk.reject(
            bench.where(note.sheet, note.row, note.column), f"{error}; {shown} is left open", text
        )
        return True
    if meaning == "cells":
        _read_cell_words(book, note, shown, text)
    for value in values:
        if value.measure.value < 0.0 and value.key != "coolant_inlet":
            where = bench.where(note.sheet, note.row, note.column)
            bench.desk.reject(where, f"{text!r} is below zero; {shown} is left open", text)
            continue
        book.add(note, shown, text, value)
    if meaning == "weighed" and values:
        state = _coolant_state(text)
        if state is None:
            state = _coolant_state(label)
        if state is not None and "coolant_in_weighing" not in book.keys:
            book.add(
                note, shown, text, Value("coolant_in_weighing", Measure(value=state, unit="", text=text))
            )
    return bool(values) or (meaning == "cells" and bool(cell_format(text) or chemistry(text)))


def _values(meaning: str, keys: Sequence[str], text: str, unit: str, decimal: str | None) -> list[Value]:
    if meaning == "cells":
        found = layout_values(text)
        rest = re.sub(r"\d+\s*[sp]\s*\d*\s*[sp]?\b|\b(?:18650|21700|26650|32700|46\d{2,3})\b", " ", text)
        with_unit = [v for v in assign(keys, rest, unit, decimal) if v.measure.unit]
        return found + [v for v in with_unit if v.key != "cell_voltage" or v.measure.value < 6.0]
    if keys[0] == "uncontacted_share":
        part = share(text)
        return [Value(keys[0], part)] if part else []
    return assign(keys, text, unit, decimal)


def _read_cell_words(book: FactBook, note: Note, label: str, text: str) -> None:
    shape, kind = cell_format(text), chemistry(text)
    if shape and "cell_format" not in book.keys:
        book.add(note, label, text, word=Word(text=text, means=shape), key="cell_format")
    if kind and "cell_chemistry" not in book.keys:
        book.add(note, label, text, word=Word(text=text, means=kind), key="cell_chemistry")


def _word_means(key: str, text: str) -> str | None:
    if key == "cell_format":
        return cell_format(text) or None
    if key == "cell_chemistry":
        return chemistry(text) or None
    return None


def facts_of_cells(book: FactBook, items: Sequence[Item]) -> None:
    """Format and chemistry from the line of the cells, where no note gives them."""
    cells = Function.CELLS.value
    for item in items:
        if item.function is None or item.function.means != cells:
            continue
        if {"cell_format", "cell_chemistry"} <= book.keys:
            return
        for key, text in (
            ("cell_format", item.name),
            ("cell_chemistry", item.material.text if item.material else ""),
        ):
            means = cell_format(text) if key == "cell_format" else chemistry(text)
            if means and key not in book.keys:
                book.keys.add(key)
                evidence = Evidence.GUESSED if "?" in text else Evidence.STATED
                book.facts.append(
                    Fact(
                        id=book.bench.desk.identity("f", key, ""),
                        label=f"{item.number} {item.name}".strip(),
                        text=text,
                        key=key,
                        word=Word(text=text, means=means, evidence=evidence, origin=item.origin),
                        position=len(book.facts),
                        origin=item.origin,
                    )
                )
