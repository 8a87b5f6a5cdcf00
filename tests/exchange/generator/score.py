"""Holds what was read against the truth: lines, values, planted slips, needless questions."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from lidoff.records import Item, Pack, Question, Rejection

from .truth import Line, Slip, Truth

#: Numbers must come through conversion whole; floats carry some fifteen digits.
_REL = 1e-6


@dataclass(kw_only=True)
class Score:
    """Counts over a batch, and a sentence for each thing that is not as it was written."""

    lines: int = 0
    lines_found: int = 0
    values: int = 0
    values_found: int = 0
    slips: int = 0
    slips_found: int = 0
    needless: int = 0
    invented: int = 0
    failures: list[str] = field(default_factory=list)

    def value(self, found: bool, said: str) -> None:
        self.values += 1
        self.values_found += found
        if not found:
            self.failures.append(said)

    def summary(self) -> str:
        return (
            f"lines {self.lines_found}/{self.lines} ({self.lines_found / max(1, self.lines):.2%}), "
            f"values {self.values_found}/{self.values} ({self.values_found / max(1, self.values):.2%}), "
            f"slips {self.slips_found}/{self.slips}, needless questions {self.needless} "
            f"({self.needless / max(1, self.lines):.2%}), invented lines {self.invented}"
        )


def place(where: str) -> tuple[str, set[int]]:
    """The sheet and the rows that a place names ("Parts!E31", "bench.csv!row 12", "E31, F31")."""
    *before, cell = where.split("!")
    rows = {int(digits) for digits in re.findall(r"(?<![A-Za-z])[A-Z]{1,3}(\d+)\b", cell)}
    rows |= {
        int(digits) for digits in re.findall(r"(?:row|rows|line|lines)\D{0,3}(\d+)", cell, re.IGNORECASE)
    }
    return (before[-1] if before else ""), rows


def _at(where: str, sheet: str, rows: Iterable[int]) -> bool:
    named, found = place(where)
    return bool(found & set(rows)) and (not sheet or not named or named == sheet)


def _near(got: float | None, wanted: float) -> bool:
    return got is not None and abs(got - wanted) <= _REL * abs(wanted)


def _plain(text: str) -> str:
    return " ".join(text.split())


class Reader:
    """One file's result against its truth."""

    def __init__(self, score: Score, truth: Truth, pack: Pack, notes: Iterable[str], start: int) -> None:
        self.score, self.truth, self.pack, self.notes = score, truth, pack, tuple(notes)
        self.head = f"LIDOFF_SEED={start} file {truth.number} ({truth.path.name}; {truth.style})"
        self.pairs = self._match()

    def _match(self) -> dict[int, Item]:
        """Each true line's item: by its row, and by name where the place is not told."""
        left = [item for item in self.pack.items if not item.held]
        pairs: dict[int, Item] = {}
        for line in self.truth.lines:
            same = [item for item in left if _at(item.origin, line.sheet, [line.row])]
            same = [item for item in same if _plain(item.name) == line.name] or [
                item
                for item in left
                if _plain(item.name) == line.name and item.number.strip(".") == line.number
            ]
            if same:
                pairs[id(line)] = same[0]
                left.remove(same[0])
        self.spare = left
        return pairs

    def say(self, place: str, what: str, wanted: object, got: object) -> str:
        return f"{self.head}: {place}: {what}: expected {wanted!r}, got {got!r}"

    def read(self, *, geometry: bool) -> None:
        self._lines()
        self._joints()
        self._steps()
        self._removals()
        self._facts()
        self._notes()
        for slip in self.truth.slips:
            if geometry or slip.reaction != "asked by geometry":
                self._slip(slip)
        self._needless()

    # lines

    def _lines(self) -> None:
        back = {item.id: line for line in self.truth.lines if (item := self.pairs.get(id(line))) is not None}
        for line in self.truth.lines:
            self.score.lines += 1
            where = f"{line.sheet}!{line.row} {line.name}"
            item = self.pairs.get(id(line))
            if item is None:
                self.score.failures.append(self.say(where, "line", line.name, "no item"))
                continue
            parent = back.get(item.parent or "")
            number_right = (
                not self.truth.has_number or "number" in line.skip or item.number.rstrip(".") == line.number
            )
            if parent is not line.parent:
                wanted = line.parent.name if line.parent else None
                said = self.say(where, "parent", wanted, parent.name if parent else item.parent)
                self.score.failures.append(said)
            elif not number_right:
                self.score.failures.append(self.say(where, "number", line.number, item.number))
            else:
                self.score.lines_found += 1
            self._values(line, item, where)
        expected_spare = 0
        for item in self.spare:
            if item.id in {got.parent for got in self.pairs.values()} and not item.origin:
                continue  # a root that nobody wrote
            expected_spare += 1
            self.score.failures.append(self.say(item.origin, "line", "none", f"{item.number} {item.name}"))
        self.score.invented += expected_spare

    def _values(self, line: Line, item: Item, where: str) -> None:
        score, columns = self.score, self.truth.columns

        def hold(what: str, wanted: object, got: object, right: bool) -> None:
            if what not in line.skip and (wanted not in (None, "") or got not in (None, "")):
                score.value(right, self.say(where, what, wanted, got))

        quantity = item.quantity.value if item.quantity else None
        hold("quantity", line.quantity, quantity, _near(quantity, line.quantity))
        if self.truth.mass_known:
            self._mass(line, item, hold)
        for what in ("material", "process"):
            if what in columns:
                word = getattr(item, what)
                got = word.text if word else ""
                hold(what, getattr(line, what), got, _plain(got) == getattr(line, what))
        if "function" in columns:
            means = item.function.means if item.function else None
            wanted = line.function if line.function_word else None
            hold("function", wanted, means, means == wanted)
        sizes = line.sizes or (None, None, None)
        # a remark may tell the wall of a part whose sizes nobody took
        third = item.thickness or (item.wall if line.sizes else None)
        got_sizes = (item.length, item.width, third)
        for what, size, reading in zip(("length", "width", "third size"), sizes, got_sizes, strict=True):
            value = reading.value if reading else None
            hold(what, size, value, value is None if size is None else _near(value, size))
        if "photo" in columns:
            hold("photo", line.photo, item.photos, bool(item.photos) == bool(line.photo))
        if "remarks" in columns:
            hold("remarks", line.remark, item.remarks, line.remark in item.remarks)

    def _mass(self, line: Line, item: Item, hold) -> None:  # type: ignore[no-untyped-def]
        mass = item.mass.value if item.mass else None
        if line.is_assembly:
            if line.whole is not None and not _near(line.rolled(), line.whole):  # else it was added up
                kept = [reading.value for reading in (*item.weighings, item.mass) if reading is not None]
                hold("whole mass", line.whole, kept, any(_near(value, line.whole) for value in kept))
            return
        hold("mass", line.mass, mass, mass is None if line.mass is None else _near(mass, line.mass))
        if item.mass is not None and line.mass is not None and ("basis" in self.truth.columns or line.approx):
            hold("basis", line.basis, item.mass.basis.value, item.mass.basis.value == line.basis)

    # the rest of the book

    def _joints(self) -> None:
        for joint in self.truth.joints:
            where = f"{joint.sheet}!{joint.row} joint"
            got = next((j for j in self.pack.joints if _at(j.origin, joint.sheet, [joint.row])), None)
            self.score.value(got is not None, self.say(where, "joint", joint.first_text, None))
            if got is None:
                continue
            for what, line, identity in (
                ("first", joint.first, got.first),
                ("second", joint.second, got.second),
            ):
                item = self.pairs.get(id(line)) if line else None
                wanted = item.id if item else None
                if line is None or item is not None:
                    self.score.value(identity == wanted, self.say(where, what, wanted, identity))
            count = got.count.value if got.count else None
            right = count is None if joint.count is None else _near(count, joint.count)
            self.score.value(right, self.say(where, "count", joint.count, count))
            if joint.length is not None:
                length = got.length.value if got.length else None
                self.score.value(_near(length, joint.length), self.say(where, "length", joint.length, length))
            torques = tuple(reading.value for reading in got.torques)
            right = len(torques) == len(joint.torques) and all(map(_near, torques, joint.torques))
            self.score.value(right, self.say(where, "torques", joint.torques, torques))
            self.score.value(got.live is joint.live, self.say(where, "live", joint.live, got.live))
        if len(self.pack.joints) > len(self.truth.joints):
            texts = [f"{j.origin} {j.first_text}" for j in self.pack.joints]
            self.score.value(False, self.say("joints", "count of joints", len(self.truth.joints), texts))

    def _steps(self) -> None:
        for step in self.truth.steps:
            where = f"{step.sheet}!{step.row} step"
            got = next((s for s in self.pack.steps if _at(s.origin, step.sheet, [step.row])), None)
            self.score.value(got is not None, self.say(where, "step", step.does, None))
            if got is None:
                continue
            people = int(got.people.value) if got.people else None
            for what, wanted, found in (
                ("does", step.does, got.does), ("day", step.day, got.day), ("start", step.start, got.start),
                ("finish", step.finish, got.finish), ("people", step.people, people),
                ("break", step.is_break, got.is_break),
            ):  # fmt: skip
                self.score.value(found == wanted, self.say(where, what, wanted, found))
            if step.off:
                wanted_ids = {item.id for line in step.off if (item := self.pairs.get(id(line)))}
                right = set(got.items) == wanted_ids
                self.score.value(right, self.say(where, "off", [line.number for line in step.off], got.items))
        if len(self.pack.steps) > len(self.truth.steps):
            texts = [f"{s.origin} {s.does}" for s in self.pack.steps]
            self.score.value(False, self.say("log", "count of steps", len(self.truth.steps), texts))

    def _removals(self) -> None:
        got = [(removal.ordinal, removal.duration.value) for removal in self.pack.removals]
        wanted = [(removal.ordinal, removal.duration) for removal in self.truth.removals]
        if got or wanted:
            right = len(got) == len(wanted) and all(
                a[0] == b[0] and _near(a[1], b[1]) for a, b in zip(got, wanted, strict=True)
            )
            self.score.value(right, self.say("removals", "durations", wanted, got))

    def _facts(self) -> None:
        for key, wanted in self.truth.facts.items():
            reading = self.pack.fact(key)
            value = reading.value if reading else None
            self.score.value(_near(value, wanted), self.say("front page", key, wanted, value))

    def _notes(self) -> None:
        """No text between the rows is lost: it is somewhere in what was kept."""
        pack = self.pack
        kept = [*self.notes, *(f"{fact.label} {fact.text}" for fact in pack.facts)]
        kept += [f"{r.text} {r.why}" for r in pack.rejections] + [item.remarks for item in pack.items]
        kept += [str(item.extra) for item in pack.items] + [step.remarks for step in pack.steps]
        for text in self.truth.notes:
            bare = text.split(": ")[-1]
            found = any(bare in _plain(part) for part in kept)
            self.score.value(found, self.say("parts table", "note between rows", text, "lost"))

    # slips and questions

    def _slip(self, slip: Slip) -> None:
        self.score.slips += 1
        if slip.reaction == "rejected":
            right = any(_rejects(rejection, slip) for rejection in self.pack.rejections)
        else:
            right = any(_answers(question, slip) for question in self.pack.questions)
            right = right or any(_rejects(rejection, slip) for rejection in self.pack.rejections)
        if slip.kind == "doubled line" and slip.line is not None:
            held = [item for item in self.pack.items if item.held]
            right = right and any(_plain(item.name) == slip.line.name for item in held)
        self.score.slips_found += right
        if not right:
            asked = [question.where for question in self.pack.questions]
            place = f"{slip.sheet}!{slip.rows} {slip.line.name if slip.line else ''}"
            self.score.failures.append(self.say(place, f"slip {slip.kind}", slip.reaction, asked))
        if slip.kind == "weighings":
            self._weighings()

    def _weighings(self) -> None:
        for line, values in self.truth.weighings:
            item = self.pairs.get(id(line))
            got = tuple(reading.value for reading in item.weighings) if item else ()
            right = len(got) >= len(values) and all(any(_near(g, v) for g in got) for v in values)
            self.score.value(right, self.say(line.name, "weighings", values, got))

    def _needless(self) -> None:
        for question in self.pack.questions:
            if any(_answers(question, slip) for slip in self.truth.slips):
                continue
            if any(_at(question.where, sheet, [row]) for sheet, row in self.truth.quiet_rows):
                continue
            self.score.needless += 1
            said = f"{question.what} / taken {question.taken} / proposed {question.proposed}"
            self.score.failures.append(self.say(question.where, "needless question", None, said))
        rows = {(line.sheet, line.row) for line in self.truth.lines}
        for rejection in self.pack.rejections:
            explained = any(_rejects(rejection, slip) for slip in self.truth.slips)
            if not explained and any(_at(rejection.where, sheet, [row]) for sheet, row in rows):
                self.score.needless += 1
                self.score.failures.append(
                    self.say(rejection.where, "needless rejection", None, rejection.why)
                )


def _answers(question: Question, slip: Slip) -> bool:
    if _at(question.where, slip.sheet, slip.rows):
        return True
    text = f"{question.what} {question.taken} {question.proposed}".lower()
    return any(token.lower() in text for token in slip.tokens)


def _rejects(rejection: Rejection, slip: Slip) -> bool:
    """Whether a rejection tells of a slip; ten tonnes in a kilogram column may be refused outright."""
    told = slip.reaction == "rejected" or slip.kind == "unit swap"
    return told and _at(rejection.where, slip.sheet, slip.rows)
