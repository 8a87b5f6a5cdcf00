"""Answers as text for the command line. Pages and reports have their own."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..evaluate.findings import CostLine, CostStatus, Doubt, Figure, Findings
from ..pictures.numbers import shown, shown_money
from ..sources import cited

if TYPE_CHECKING:
    from ..compare import Comparison
    from ..methods import Book, Input
    from .imports import ImportOutcome

HIGH_VOLTAGE = (
    "High voltage: packs stay charged however far they are stripped. General practice only; local rules, "
    "the maker's instructions and a licensed person decide. If unsure, stop."
)


def columns(rows: Sequence[Sequence[str]], *, right: Iterable[int] = ()) -> str:
    """Rows of text in aligned columns."""
    if not rows:
        return ""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    to_right = set(right)
    return "\n".join(
        "  ".join(
            cell.rjust(width) if i in to_right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def import_text(outcome: ImportOutcome) -> str:
    lines = [
        f"{outcome.pack.name} in {outcome.study}: {outcome.items} lines of parts, {outcome.joints} joints, "
        f"{outcome.steps} steps, {outcome.removals} removals, {outcome.facts} notes."
    ]
    if outcome.answered:
        lines += ["", f"Accepted ({len(outcome.answered)}):"]
        lines += [f"  {q.id}  {q.where}: {q.proposed}" for q in outcome.answered]
    if outcome.questions:
        lines += ["", f"Questions ({len(outcome.questions)}), open until accepted or edited:"]
        for q in outcome.questions:
            lines += [
                f"  {q.id}  {q.where}",
                f"      {q.what}",
                f"      taken: {q.taken}",
                f"      proposed: {q.proposed}",
            ]
        lines.append(f"  Accept: lidoff accept {outcome.study} --pack {outcome.pack.name} ID … (or all)")
    if outcome.rejected:
        lines += ["", f"Not used ({len(outcome.rejected)}):"]
        lines += [f"  {r.where}: {r.why}" for r in outcome.rejected]
    if outcome.notes:
        lines += ["", "Notes:", *(f"  {note}" for note in outcome.notes)]
    return "\n".join(lines)


def doubts_text(doubts: Sequence[Doubt], names: Mapping[str, str]) -> str:
    if not doubts:
        return "Nothing in the records looks wrong."
    lines: list[str] = []
    for pack, name in names.items():
        of_pack = [d for d in doubts if d.pack in (pack, name)]
        if of_pack:
            lines.append(f"{name}:")
        for d in of_pack:
            lines += [
                f"  {d.kind}, {d.where}: {d.says}" if d.where else f"  {d.kind}: {d.says}",
                f"      → {d.proposed}",
            ]
    return "\n".join(lines)


def figures_text(findings: Findings, *, pack: str | None = None) -> str:
    blocks: list[str] = []
    for p in findings.packs.values():
        if pack is not None and pack not in (p.name, p.pack):
            continue
        rows = [["figure", "value", "unit", "95 % interval", "covers (lines, mass)"]]
        rows += [_figure_row(f) for f in p.figures.values()]
        blocks.append(f"{p.name}\n{columns(rows, right=(1, 3))}")
    return "\n\n".join(blocks)


def _figure_row(figure: Figure) -> list[str]:
    if figure.value is None:
        return [figure.name, "missing", figure.unit, "", "; ".join(figure.warnings)]
    spread = ""
    if figure.low is not None and figure.high is not None:
        spread = (
            f"{shown(figure.low, figure.low, figure.high)} … {shown(figure.high, figure.low, figure.high)}"
        )
    covers = f"{figure.covers.lines:.0%}, {figure.covers.mass:.0%}" if figure.covers else ""
    return [figure.name, shown(figure.value, figure.low, figure.high), figure.unit, spread, covers]


def comparison_text(comparison: Comparison, names: Mapping[str, str]) -> str:
    packs = list(comparison.packs)
    rows = [["figure", "unit", *(names.get(p, p) for p in packs), "difference", "95 % interval", ""]]
    for row in comparison.rows:
        values = [row.values.get(p) for p in packs]
        shown_values = [
            shown(v.value, v.low, v.high) if v is not None and v.value is not None else "missing"
            for v in values
        ]
        d = row.difference
        if d is None:
            rows.append([row.name, row.unit, *shown_values, "", "", ""])
            continue
        spread = f"{shown(d.low, d.low, d.high)} … {shown(d.high, d.low, d.high)}"
        rows.append(
            [
                row.name,
                row.unit,
                *shown_values,
                shown(d.value, d.low, d.high),
                spread,
                "" if d.settled else "not settled",
            ]
        )
    text = columns(rows, right=range(2, 4 + len(packs)))
    text = f"Scope: {', '.join(str(f) for f in comparison.scope)}\n\n{text}"
    if comparison.left_out:
        text += "\n\nLeft out:\n" + "\n".join(
            f"  {names.get(e.pack, e.pack)}: {e.function}: {e.why}" for e in comparison.left_out
        )
    return text


def cost_text(lines: Sequence[CostLine], currency: str, *, worked: bool) -> str:
    rows = [
        ["no.", "part", "count", "material", "labour", "burden", "mark-up", "piece cost", "tooling a pack"]
    ]
    for line in lines:
        if line.status is CostStatus.NOT_COSTED:
            rows.append(
                [line.number, line.name, f"{line.count:g}", f"not costed: {line.why}", "", "", "", "", ""]
            )
            continue
        money = (line.material, line.labour, line.burden, line.markup, line.piece, line.tooling_per_piece)
        rows.append(
            [
                line.number,
                line.name,
                f"{line.count:g}",
                *(shown_money(m.value) if m is not None else "" for m in money),
            ]
        )
    costed = [r for r, line in zip(rows[1:], lines, strict=True) if line.status is not CostStatus.NOT_COSTED]
    open_lines = [line for line in lines if line.status is CostStatus.NOT_COSTED]
    text = columns([rows[0], *costed], right=range(2, 9)) + f"\n\n{currency} a pack."
    if open_lines:
        text += "\n\nNot costed:\n" + columns([[line.number, line.name, line.why] for line in open_lines])
    if worked:
        text += "".join(_worked(line) for line in lines)
    return text


def _worked(line: CostLine) -> str:
    text = ""
    for step in line.route:
        rows = [
            [w.name, f"= {w.formula}", f"= {w.put_in}", f"= {w.value:.6g}", w.unit, w.source or ""]
            for w in step.working
        ]
        text += f"\n\n{step.title} ({step.method}), {line.number} {line.name}\n{columns(rows, right=(3,))}"
        text += "".join(f"\n  assumed: {a}" for a in step.assumed)
    return text + "".join(f"\n  warning: {w}" for w in line.warnings)


def books_text(books: Sequence[Book], own: Collection[str] = ()) -> str:
    rows = [[b.name, b.topic, b.title, _checks_said(b), "your own" if b.name in own else ""] for b in books]
    return columns(rows)


def _checks_said(book: Book) -> str:
    return f"{len(book.checks)} checks" if book.checked else "unchecked"


def book_text(book: Book) -> str:
    from ..methods.checks import run_checks

    inputs = [
        [i.name, i.unit.text or ("table" if i.is_table else "-"), i.about, _default_text(i)]
        for i in book.inputs.values()
    ]
    lines = [
        [line.name, f"= {line.formula.text}", line.unit.text, line.source or ""]
        for line in book.lines.values()
    ]
    results = [
        [
            str(r.kind),
            r.name,
            r.expected,
            r.got,
            ("print refuted" if r.refuted else "agrees") if r.passed else "differs",
            f"{cited(r.source)}; {r.where}" + ("; from memory" if r.seen == "memory" else ""),
        ]
        for r in run_checks(book)
    ]
    if not results:
        results = [["unchecked", "", "", "", "", "no check stands behind this method"]]
    return (
        f"{book.title} ({book.name}): {book.about}\n\nInputs\n{columns(inputs)}\n\nLines\n{columns(lines)}"
        f"\n\nChecks\n{columns([['kind', 'line', 'printed', 'ours', '', 'source'], *results])}"
    )


def _default_text(entry: Input) -> str:
    if entry.default is None:
        return f"from {entry.comes_from}" if entry.comes_from else ""
    if entry.default.formulas:
        return "default " + " or ".join(f.text for f in entry.default.formulas)
    return f"default {entry.unit.from_si(entry.default.number or 0.0):g} {entry.unit.text}".rstrip()


def calculation_text(answer: Mapping[str, Any]) -> str:
    rows = [[name, f"{out['value']:.6g}", out["unit"]] for name, out in answer["outputs"].items()]
    text = columns(rows, right=(1,)) or "Nothing could be calculated from these values."
    text += "".join(f"\nnot calculated: {name} {why}" for name, why in answer["missing"].items())
    text += "".join(f"\ntaken: {t}" for t in answer["taken"])
    return text + "".join(f"\nwarning: {w}" for w in answer["warnings"])
