"""Method sheets of the books used, and worked sheets of cost lines."""

from __future__ import annotations

from ...evaluate.findings import CostLine, RouteStepCost
from ...methods import Book, Check, CheckKind, Seen, books
from ...methods.book import UNCHECKED
from ...pictures.numbers import number, percent, shown_money, unit_text
from ..blocks import (
    Block,
    Cell,
    Column,
    Fold,
    Heading,
    Kind,
    Paragraph,
    Row,
    Section,
    Set,
    Style,
    Table,
    say,
    soft,
    strong,
)
from .cover import money_text
from .story import Story, Told
from .tell import money, quiet, words
from .workings import WORKED, formula, in_money, source_run, worked_rows


def methods(story: Story) -> Section | None:
    """One sheet a method that stands behind a costed line."""
    shelf = books() if story.findings.books is None else story.findings.books
    used = [shelf[name] for name in story.methods_used if name in shelf]
    strange = [name for name in story.methods_used if name not in shelf]
    if not used and not strange:
        return None
    blocks: list[Block] = [_sheet(book) for book in used]
    blocks += [
        Fold(
            title=say(name),
            blocks=(Paragraph(text=say("This method is not among the shipped books.")),),
            anchor=f"method-{name}",
        )
        for name in strange
    ]
    return Section(anchor="methods", title="Method sheets", short="Methods", blocks=tuple(blocks))


_LINES = (
    Column(head="Line", width=1.0),
    Column(head="Formula", width=3.2),
    Column(head="", set=Set.UNIT),
    Column(head="What it is", set=Set.QUIET, width=2.2),
    Column(head="Source", width=1.2),
)


def _sheet(book: Book) -> Fold:
    rows = [
        Row(
            cells=(
                words(line.name.replace("_", " ")),
                Cell(formula=formula(line.formula.text)),
                quiet(unit_text(line.unit.text)),
                quiet(line.about),
                Cell(text=source_run(line.source)),
            )
        )
        for line in book.lines.values()
    ]
    blocks: list[Block] = [
        Paragraph(text=say(book.about)),
        Table(told=f"Formulas of {book.title}", columns=_LINES, rows=tuple(rows), small=True),
    ]
    if book.limits:
        says = "; ".join(limit.says.rstrip(".") for limit in book.limits)
        blocks.append(Paragraph(text=say("Outside its limits it says: ", says, "."), style=Style.NOTE))
    blocks.append(Paragraph(text=say(_checks(book.checks)), style=Style.NOTE))
    return Fold(title=say(book.title), blocks=tuple(blocks), anchor=f"method-{book.name}")


def _checks(checks: tuple[Check, ...]) -> str:
    """How a method was checked, kind by kind, memory counted apart."""
    parts = []
    for kind in CheckKind:
        of_kind = [check for check in checks if check.kind is kind]
        if not of_kind:
            continue
        recalled = sum(1 for check in of_kind if check.seen is Seen.MEMORY)
        said = f"{len(of_kind)} {kind}"
        parts.append(said + (f" ({recalled} from memory)" if recalled else ""))
    return "Checks: " + ", ".join(parts) + "." if parts else f"{UNCHECKED[0].upper()}{UNCHECKED[1:]}."


def worked(story: Story) -> Section | None:
    """Worked sheets of cost lines: all of them, or the largest where space matters."""
    blocks: list[Block] = []
    for told in story.packs:
        of_pack = [line for (place, _), line in story.worked_lines.items() if place == told.place]
        if not of_pack:
            continue
        blocks.append(Heading(text=say(told.name)))
        blocks += [_worked(story, told, line) for line in of_pack]
    if not blocks:
        return None
    which = "of every costed line" if story.whole else "of the largest cost lines"
    return Section(
        anchor="worked", title=f"Worked sheets {which}", short="Worked sheets", blocks=tuple(blocks)
    )


def _worked(story: Story, told: Told, line: CostLine) -> Fold:
    unit = money_text(story)
    blocks: list[Block] = [
        Paragraph(
            text=say(
                strong(f"{money(line.piece)} {unit} a pack"),
                f" for {number(line.count)} off: material {money(line.material)}, "
                f"labour {money(line.labour)}, burden {money(line.burden)}, "
                f"mark-up {money(line.markup)}, packaging {money(line.packaging)}; "
                f"tooling beside it {money(line.tooling_per_piece)} a pack.",
            )
        )
    ]
    for step in line.route:
        blocks += _step(step, unit, story)
    if line.assumed_route:
        blocks.append(
            Paragraph(
                text=say("The route is assumed: the records do not say how the part is made."),
                style=Style.NOTE,
            )
        )
    blocks += [Paragraph(text=say(text), style=Style.NOTE) for text in line.warnings]
    return Fold(
        title=say(f"{line.number} {line.name.strip()}, {money(line.piece)} {unit}"),
        blocks=tuple(blocks),
        anchor=story.cost_anchor(told, line),
    )


def _step(step: RouteStepCost, unit: str, story: Story) -> list[Block]:
    head = (
        f"{step.title}: material {shown_money(step.material)}, labour {shown_money(step.labour)}, "
        f"burden {shown_money(step.burden)} {unit} a piece, good share {percent(step.good_share)}, "
        f"tooling {shown_money(step.tooling_investment)} {unit}"
    )
    rows = [Row(cells=(words(head, across=len(WORKED)),), kind=Kind.GROUP), *worked_rows(step.working, story)]
    if step.assumed:
        text = "Taken by default, estimated: " + in_money(
            ", ".join(name.replace("_", " ") for name in step.assumed), story
        )
        rows.append(Row(cells=(words(soft(text), across=len(WORKED)),), kind=Kind.UNDER))
    rows += [Row(cells=(words(soft(text), across=len(WORKED)),), kind=Kind.UNDER) for text in step.warnings]
    return [Table(told=f"Working of {step.title}", columns=WORKED, rows=tuple(rows), small=True)]
