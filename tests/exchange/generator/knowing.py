"""A reader that knows the truth: what a perfect import of a generated file would be.

It serves to test the score, which must be full for it and fall for each thing it gets wrong.
"""

from __future__ import annotations

from dataclasses import replace

from lidoff.quantities import Basis, Evidence, Reading, Word
from lidoff.records import Fact, Function, Item, Joint, Pack, Question, Rejection, Removal, Step

from .truth import Line, Truth


def _reading(value: float | None, unit: str, basis: str = "measured") -> Reading | None:
    return None if value is None else Reading(value=value, unit=unit, basis=Basis(basis))


def _place(sheet: str, row: int, column: str = "A") -> str:
    return f"{sheet or 'file'}!{column}{row}"


def _item(truth: Truth, line: Line, at: int, ids: dict[int, str]) -> Item:
    sizes = line.sizes or (None, None, None)
    means = Function(line.function) if line.function_word and "function" not in line.skip else None
    kept = truth.columns
    return Item(
        id=ids[id(line)],
        number=line.number,
        name=line.name,
        parent=ids[id(line.parent)] if line.parent else None,
        position=at,
        quantity=_reading(line.quantity, "", "counted"),
        mass=_reading(line.mass, "kg", line.basis or "weighed"),
        material=_word(line.material, kept, "material"),
        process=_word(line.process, kept, "process"),
        function=Word(text=line.function_word, means=means) if "function" in kept and means else None,
        length=_reading(sizes[0], "m"),
        width=_reading(sizes[1], "m"),
        thickness=_reading(sizes[2], "m"),
        weighings=_weighings(truth, line),
        photos=(line.photo,) if line.photo and "photo" in kept else (),
        remarks=line.remark if "remarks" in kept else "",
        origin=_place(line.sheet, line.row),
    )


def _word(text: str, kept: frozenset[str], column: str) -> Word | None:
    return Word(text=text, evidence=Evidence.STATED) if text and column in kept else None


def _weighings(truth: Truth, line: Line) -> tuple[Reading, ...]:
    listed = [value for above, values in truth.weighings if above is line for value in values]
    whole = [line.whole] if line.whole is not None else []
    return tuple(Reading(value=value, unit="kg", basis=Basis.WEIGHED) for value in [*listed, *whole])


def know(truth: Truth) -> Pack:
    """The pack of a file as its truth has it, with a question or rejection for each slip."""
    ids = {id(line): f"i{at}" for at, line in enumerate(truth.lines)}
    items = [_item(truth, line, at, ids) for at, line in enumerate(truth.lines)]
    by_line = {id(line): item for line, item in zip(truth.lines, items, strict=True)}
    for slip in truth.slips:
        if slip.kind == "doubled line" and slip.line is not None:
            first = by_line[id(slip.line)]
            items.append(_held(first, _place(slip.sheet, slip.rows[1])))
    asked = [slip for slip in truth.slips if slip.reaction != "rejected"]
    return Pack(
        id="p",
        name="p",
        items=tuple(items),
        joints=_joints(truth, ids),
        steps=_steps(truth, ids),
        removals=tuple(_removal(r.ordinal, r.duration) for r in truth.removals),
        facts=tuple(
            Fact(id=key, label=key, text="", key=key, reading=_reading(value, ""))
            for key, value in truth.facts.items()
        ),
        questions=tuple(
            Question(id=f"q{n}", where=_place(s.sheet, s.rows[-1]), what=s.kind, taken="", proposed="")
            for n, s in enumerate(asked)
        ),
        rejections=tuple(
            Rejection(where=_place(s.sheet, s.rows[0]), why=s.kind)
            for s in truth.slips
            if s.reaction == "rejected"
        ),
    )


def _removal(ordinal: int, seconds: float) -> Removal:
    duration = Reading(value=seconds, unit="s", basis=Basis.MEASURED)
    return Removal(id=f"r{ordinal}", ordinal=ordinal, duration=duration)


def _held(item: Item, origin: str) -> Item:
    return replace(item, id=item.id + "-again", held=True, origin=origin)


def _joints(truth: Truth, ids: dict[int, str]) -> tuple[Joint, ...]:
    return tuple(
        Joint(
            id=f"j{at}",
            first_text=joint.first_text,
            second_text=joint.second_text,
            first=ids[id(joint.first)] if joint.first else None,
            second=ids[id(joint.second)] if joint.second else None,
            count=_reading(joint.count, "", "counted"),
            length=_reading(joint.length, "m"),
            torques=tuple(Reading(value=v, unit="N*m", basis=Basis.MEASURED) for v in joint.torques),
            live=joint.live,
            origin=_place(joint.sheet, joint.row),
        )
        for at, joint in enumerate(truth.joints)
    )


def _steps(truth: Truth, ids: dict[int, str]) -> tuple[Step, ...]:
    return tuple(
        Step(
            id=f"s{at}",
            number=str(at),
            does=step.does,
            day=step.day,
            start=step.start,
            finish=step.finish,
            people=_reading(step.people, "", "counted"),
            items=tuple(ids[id(line)] for line in step.off),
            is_break=step.is_break,
            origin=_place(step.sheet, step.row),
        )
        for at, step in enumerate(truth.steps)
    )
