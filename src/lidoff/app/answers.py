"""Answers as plain data: the JSON that scripts rely on, made in one place for command line and page."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..evaluate.findings import CostLine, Doubt, Figure, Findings, Money
from ..sources import cited

if TYPE_CHECKING:
    from ..compare import Comparison
    from ..methods import Book, Input
    from ..store import StudySummary
    from .imports import ImportOutcome

Plain = dict[str, Any]


def studies_answer(studies: Iterable[StudySummary]) -> list[Plain]:
    return [
        {
            "id": s.id,
            "name": s.name,
            "packs": list(s.packs),
            "items": s.items,
            "revision": s.revision,
            "changed_at": s.changed_at.isoformat() if s.changed_at else None,
        }
        for s in studies
    ]


def import_answer(outcome: ImportOutcome) -> Plain:
    return {
        "study": outcome.study,
        "pack": outcome.pack.name,
        "accepted": {
            "items": outcome.items,
            "joints": outcome.joints,
            "steps": outcome.steps,
            "removals": outcome.removals,
            "facts": outcome.facts,
        },
        "questions": [
            {"id": q.id, "where": q.where, "what": q.what, "taken": q.taken, "proposed": q.proposed}
            for q in outcome.questions
        ],
        "answered": [{"id": q.id, "where": q.where, "proposed": q.proposed} for q in outcome.answered],
        "rejected": [{"where": r.where, "why": r.why, "text": r.text} for r in outcome.rejected],
        "notes": list(outcome.notes),
    }


def doubts_answer(doubts: Iterable[Doubt], names: Mapping[str, str]) -> list[Plain]:
    return [
        {
            "id": d.id,
            "pack": names.get(d.pack, d.pack),
            "item": d.item,
            "kind": d.kind,
            "where": d.where,
            "says": d.says,
            "proposed": d.proposed,
        }
        for d in doubts
    ]


def figure_answer(figure: Figure) -> Plain:
    return {
        "title": figure.title,
        "value": figure.value,
        "unit": figure.unit,
        "low": figure.low,
        "high": figure.high,
        "coverage": figure.coverage,
        "covers": {"lines": figure.covers.lines, "mass": figure.covers.mass} if figure.covers else None,
        "basis": {str(basis): share for basis, share in figure.basis.items()},
        "sources": list(figure.sources),
        "warnings": list(figure.warnings),
    }


def figures_answer(findings: Findings, *, pack: str | None = None) -> Plain:
    scenario = findings.scenario
    return {
        "study": findings.study,
        "scenario": {
            "volume": scenario.volume,
            "years": scenario.life,
            "price_book": scenario.price_book,
            "currency": findings.currency,
            "year": findings.year,
        },
        "samples": findings.samples,
        "packs": {
            p.name: {"figures": {name: figure_answer(f) for name, f in p.figures.items()}}
            for p in findings.packs.values()
            if pack is None or pack in (p.name, p.pack)
        },
    }


def comparison_answer(comparison: Comparison, names: Mapping[str, str]) -> Plain:
    return {
        "scope": [str(function) for function in comparison.scope],
        "left_out": [
            {"pack": names.get(entry.pack, entry.pack), "function": str(entry.function), "why": entry.why}
            for entry in comparison.left_out
        ],
        "rows": [
            {
                "name": row.name,
                "title": row.title,
                "unit": row.unit,
                "values": {names.get(p, p): _value(v) for p, v in row.values.items()},
                "difference": (
                    {
                        "value": row.difference.value,
                        "low": row.difference.low,
                        "high": row.difference.high,
                        "settled": row.difference.settled,
                    }
                    if row.difference is not None
                    else None
                ),
            }
            for row in comparison.rows
        ],
    }


def _value(figure: Figure | None) -> Plain | None:
    if figure is None:
        return None
    covers = figure.covers
    answer: Plain = {"value": figure.value, "low": figure.low, "high": figure.high}
    if covers is not None:
        answer["covers"] = {"lines": covers.lines, "mass": covers.mass}
    return answer


def _money(money: Money | None) -> Plain | None:
    return None if money is None else {"value": money.value, "low": money.low, "high": money.high}


def cost_line_answer(line: CostLine, currency: str) -> Plain:
    return {
        "item": line.item,
        "number": line.number,
        "name": line.name,
        "function": str(line.function) if line.function else None,
        "count": line.count,
        "mass": line.mass,
        "status": str(line.status),
        "why": line.why,
        "unit": f"{currency} a pack",
        "assumed_route": line.assumed_route,
        "route": [
            {
                "method": step.method,
                "title": step.title,
                "material": step.material,
                "labour": step.labour,
                "burden": step.burden,
                "tooling_investment": step.tooling_investment,
                "good_share": step.good_share,
                "unit": f"{currency} a piece",
                "working": [
                    {
                        "name": w.name,
                        "formula": w.formula,
                        "put_in": w.put_in,
                        "value": w.value,
                        "unit": w.unit,
                        "source": w.source,
                    }
                    for w in step.working
                ],
                "assumed": list(step.assumed),
                "warnings": list(step.warnings),
            }
            for step in line.route
        ],
        "material": _money(line.material),
        "labour": _money(line.labour),
        "burden": _money(line.burden),
        "markup": _money(line.markup),
        "piece": _money(line.piece),
        "tooling": _money(line.tooling_per_piece),
        "tooling_investment": _money(line.tooling_investment),
        "sources": list(line.sources),
        "warnings": list(line.warnings),
    }


def books_answer(books: Iterable[Book], own: Collection[str] = ()) -> list[Plain]:
    from ..methods.checks import run_checks

    return [
        {
            "name": book.name,
            "title": book.title,
            "about": book.about,
            "topic": book.topic,
            "checked": book.checked,
            "own": book.name in own,
            "inputs": [_input(entry) for entry in book.inputs.values()],
            "outputs": list(book.outputs),
            "lines": [
                {
                    "name": line.name,
                    "unit": line.unit.text,
                    "formula": line.formula.text,
                    "about": line.about,
                    "source": line.source,
                }
                for line in book.lines.values()
            ],
            "limits": [{"holds": limit.holds.text, "says": limit.says} for limit in book.limits],
            "checks": [
                {
                    "kind": str(r.kind),
                    "source": r.source,
                    "cite": cited(r.source),
                    "where": r.where,
                    "seen": str(r.seen),
                    "name": r.name,
                    "expected": r.expected,
                    "got": r.got,
                    "rel": r.rel,
                    "refuted": r.refuted,
                    "passed": r.passed,
                    "says": r.says,
                }
                for r in run_checks(book)
            ],
        }
        for book in books
    ]


def _input(entry: Input) -> Plain:
    default = entry.default
    return {
        "name": entry.name,
        "unit": entry.unit.text,
        "about": entry.about,
        "range": entry.range_text or None,
        "from": entry.comes_from,
        "default": None
        if default is None
        else [f.text for f in default.formulas] or [f"{entry.unit.from_si(default.number or 0.0):g}"],
        "columns": list(entry.columns) if entry.columns is not None else None,
        "source": entry.source,
    }


def tree_answer(lines: Sequence[CostLine], currency: str) -> list[Plain]:
    return [cost_line_answer(line, currency) for line in lines]
