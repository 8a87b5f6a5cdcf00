"""What the words of a parts row mean: function, basis, material, markings, photos, a wall in a remark."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from functools import lru_cache

from ..quantities import Basis, Evidence, Word
from ..quantities.dimension import LENGTH
from ..records import Function, Marking
from .bench import Bench
from .desk import set_edit
from .headings import Kind, of_kind
from .measures import Habit, Measure, read_text
from .rows import PartRows
from .sheets import Cell
from .vocabulary import Hit, basis_meaning, functions, has_any, is_blank, load, normal

#: By how many letters a word found inside a text must be longer than one of another meaning.
_LEAD = 2.0


@lru_cache(maxsize=8192)
def material_word(text: str) -> Word:
    """A material as written, what it means, and on what evidence."""
    from ..materials import recognise

    found = recognise(text)
    if found is not None:
        return Word(text=text, means=found.key, evidence=found.evidence)
    return Word(text=text, evidence=Evidence.GUESSED if "?" in text else Evidence.STATED)


@lru_cache(maxsize=8192)
def process_word(text: str) -> Word:
    return Word(text=text, evidence=Evidence.GUESSED if "?" in text else Evidence.STATED)


def says_both(heading: str) -> bool:
    """Whether one heading names material and process: "Material / process"."""
    fields = {c.field for c in of_kind(heading, Kind.PARTS)}
    return {"material", "process"} <= fields


def parted(text: str) -> tuple[str, str]:
    """Material and process of one text: "PA66-GF30, injection moulded"."""
    pieces = [p for p in re.split(r"\s*[,;]\s+|\s+[/–-]\s+", text) if p]
    stems = load("common")["process"]
    made = [any(stem in normal(p) for stem in stems) for p in pieces]
    first = made.index(True) if True in made else len(pieces)
    return ", ".join(pieces[:first]), ", ".join(pieces[first:])


@lru_cache(maxsize=8192)
def function_of(text: str) -> tuple[Function | None, Hit | None]:
    """The function a word means, and the nearest where it is not sure."""
    known = functions()
    whole = known.whole(text)
    if whole is not None:
        return Function(whole), None
    inside = known.within(text)
    if inside and (len(inside) == 1 or inside[0].score >= inside[1].score + _LEAD):
        return Function(inside[0].meaning), inside[0]
    return None, inside[0] if inside else known.near(text)


@lru_cache(maxsize=4096)
def basis_of(text: str) -> Basis | str | None:
    """The basis a word means, "none" for not weighed, ``None`` where it is not understood."""
    if is_blank(text):
        return "none"
    meaning = basis_meaning(text)
    return Basis(meaning) if meaning not in (None, "none") else meaning


_QUOTED = re.compile(r">\s*[^<>]{1,40}?\s*<")
_SAID_MARKED = re.compile(
    r"\(?\b(?:marked|gekennzeichnet|markiert|marqué|marcato|marcado|gemerkt)\b\)?", re.IGNORECASE
)


@lru_cache(maxsize=8192)
def markings_of(material: str) -> tuple[Marking, ...]:
    """Material markings that the material cell reports: ">AlSi<", "PA66 FR (marked)"."""
    quoted = _QUOTED.findall(material)
    if quoted:
        return tuple(Marking(text=q, kind="material") for q in quoted)
    if _SAID_MARKED.search(material):
        return (Marking(text=_SAID_MARKED.sub("", material).strip(" ,;"), kind="material"),)
    return ()


_ONE_PHOTO = re.compile(r"[A-Za-z]+_?\d+(?:\.\w{2,4})?")
_PHOTO_RANGE = re.compile(
    r"^(?P<lead>.*?)(?P<a>\d{1,12})(?P<tail>\.\w{2,4})?\s*(?:-|–|\.\.|to|bis)\s*(?P<again>.*?)(?P<b>\d{1,12})(?:\.\w{2,4})?$"
)
_MOST_PHOTOS, _LONGEST_PHOTOS = 500, 1000


@lru_cache(maxsize=8192)
def photos_of(text: str) -> tuple[str, ...]:
    """Photo names, runs written out: "IMG_2240-2242" names three."""
    if _ONE_PHOTO.fullmatch(text) or len(text) > _LONGEST_PHOTOS:
        return (text,)
    out: list[str] = []
    lead = ""
    for piece in re.split(r"\s*[,;+&\n]\s*|\s+(?=[A-Za-z]+_?\d)", text.strip()):
        if not piece:
            continue
        run = _PHOTO_RANGE.match(piece)
        if run and run.group("again") in ("", run.group("lead")):
            first, last = run.group("a"), run.group("b")
            last = first[: len(first) - len(last)] + last if len(last) < len(first) else last
            lead = run.group("lead") or lead
            if 0 < int(last) - int(first) < _MOST_PHOTOS:
                width, tail = len(first), run.group("tail") or ""
                out += [f"{lead}{n:0{width}d}{tail}" for n in range(int(first), int(last) + 1)]
                continue
        bare = re.fullmatch(r"\d+", piece)
        if bare and lead:
            out.append(lead + piece)
            continue
        named = re.match(r"(.*?)\d+(?:\.\w+)?$", piece)
        lead = named.group(1) if named else ""
        out.append(piece)
    return tuple(out)


@lru_cache(maxsize=1)
def _gauge_patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    words = "|".join(sorted(map(re.escape, load("common")["gauge"]), key=len, reverse=True))
    number = r"(?P<x>\d*[.,]?\d+(?:\s*(?:-|–|to|bis)\s*\d*[.,]?\d+)?(?:\s*mm)?)"
    return (
        re.compile(rf"(?<![\w.,]){number}\s*(?:{words})\b", re.IGNORECASE),
        re.compile(rf"\b(?:{words})\b\s*[:=]?\s*(?:ca\.?|approx\.?|~)?\s*{number}(?!\w)", re.IGNORECASE),
    )


_TUBE = re.compile(r"(?<![\w.,])(?P<od>\d+[.,]?\d*)\s*[x×]\s*(?P<wall>\d+[.,]?\d*)(?![\w.,]*\s*[x×]|\w)")


def wall_of(remark: str, name: str, outer: float | None, decimal: str | None) -> Measure | None:
    """A gauge or wall that a remark states: "0.78-0.82 gauge", "wall 2.4-2.6", a tube's "18 x 1.5"."""
    habit = Habit(LENGTH, "mm", decimal, "wall")
    for pattern in _gauge_patterns():
        found = pattern.search(remark)
        if found:
            measure = read_text(found.group("x"), habit)
            if measure is not None and not measure.problem and 0.0 < measure.value < 0.05:
                return measure
    tube = _TUBE.search(remark)
    if tube and has_any(name, "tube"):
        size = read_text(tube.group("od"), habit)
        wall = read_text(tube.group("wall"), habit)
        fits = size is not None and (outer is None or abs(size.value - outer) <= 0.02 * outer)
        if fits and size and wall and not wall.problem and 0.0 < 2.0 * wall.value < size.value:
            return wall
    return None


def function_words(
    bench: Bench, part: PartRows, ids: Sequence[str], names: Sequence[str]
) -> list[Word | None]:
    """Functions of the rows; a word not understood is asked about once for all its rows."""
    column = part.layout.at.get("function")
    if column is None:
        return [None] * len(part.items)
    cells = part.cells(column)
    out: list[Word | None] = []
    unknown: dict[str, list[int]] = {}
    made: dict[str, Word | None] = {}
    for at, cell in enumerate(cells):
        text = cell.strip() if isinstance(cell, str) else _plain(cell)
        if text not in made:
            made[text] = _function_word(text)
        word = made[text]
        if word is not None and word.means is None:
            unknown.setdefault(text, []).append(at)
        out.append(word)
    for text, rows in unknown.items():
        guess = _guess_by_names([names[at] for at in rows])
        if guess is not None:
            word = Word(
                text=text, means=guess.value, evidence=Evidence.GUESSED, note="by the names of its lines"
            )
            for at in rows:
                out[at] = word
        _ask_function(bench, part, column, text, rows, ids, names, guess)
    return out


def _guess_by_names(names: Sequence[str]) -> Function | None:
    """The function that most of at least three names point to."""
    said = [hits[0].meaning for name in names if (hits := functions().within(name))]
    if len(names) < 3 or not said:
        return None
    best, count = Counter(said).most_common(1)[0]
    return Function(best) if count >= 0.6 * len(names) else None


def _plain(cell: Cell) -> str:
    return str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell)


def _function_word(text: str) -> Word | None:
    if not text or is_blank(text):
        return None
    meaning, _ = function_of(text)
    return Word(text=text, means=None if meaning is None else meaning.value)


def _ask_function(
    bench: Bench,
    part: PartRows,
    column: int,
    text: str,
    rows: Sequence[int],
    ids: Sequence[str],
    names: Sequence[str],
    guess: Function | None,
) -> None:
    _, near = function_of(text)
    by_name = [next(iter(functions().within(names[at])), None) for at in rows]
    proposals = (
        [guess.value] * len(rows)
        if guess
        else [near.meaning if near else (hit.meaning if hit else None) for hit in by_name]
    )
    edits = tuple(
        set_edit("item", ids[at], "function", meaning)
        for at, meaning in zip(rows, proposals, strict=True)
        if meaning is not None
    )
    said = sorted({p for p in proposals if p is not None})
    lines = "1 line" if len(rows) == 1 else f"{len(rows)} lines"
    bench.desk.ask(
        bench.where(part.table.sheet, part.items[rows[0]], column, part.layout.headings["function"]),
        f"the function {text!r} ({lines}) is not a word that is known",
        taken="no function" if guess is None else f"{guess.value}, guessed from the names of its lines",
        proposed=" or ".join(said) if said else "name the function",
        edits=edits,
        about=f"function {text}",
    )
