"""Workbook: the whole mass and cost model as a live spreadsheet, with the engine's values kept in it."""

from __future__ import annotations

import io
from datetime import datetime

from xlsxwriter import Workbook

from ...compare import Comparison
from ...evaluate import Findings
from ...evaluate.cost.model import cost_model
from ...evaluate.tree import build
from ...methods import books
from ...prices import price_book
from ...records import Study
from . import cost, facts, figures, front, functions, machines, parts, rates, working
from .binder import Binder, PackSheets, sheet_names
from .style import Style


def workbook(
    study: Study,
    findings: Findings,
    comparison: Comparison | None,
    issued: datetime,
) -> bytes:
    """The workbook of a study as a file's bytes; the same arguments give the same bytes.

    ``findings`` are those of the study's own packs. No macros, no volatile functions, no links to
    other files. Raises ``ValueError`` where a value that a formula should show is not finite.
    """
    store = io.BytesIO()
    book = Workbook(store, {"in_memory": True})
    book.set_properties({"title": study.name or study.id, "created": issued.replace(tzinfo=None)})
    book.set_calc_mode("auto")
    binder = _binder(study, findings, comparison, issued, book)
    for name in front.sheet_order(binder):
        book.add_worksheet(name)
    rates.scenario(binder)
    rates.prices(binder)
    rates.materials(binder)
    machines.machines(binder)
    facts.facts(binder)
    for pack in binder.packs:
        parts.parts(binder, pack)
        parts.joints(binder, pack)
        cost.place(binder, pack)
        working.working(binder, pack)
        cost.cost(binder, pack)
        parts.links(binder, pack)
    figures.figures(binder)
    functions.by_function(binder)
    front.sources(binder)
    front.cover(binder)
    book.close()
    return store.getvalue()


def _binder(
    study: Study,
    findings: Findings,
    comparison: Comparison | None,
    issued: datetime,
    book: Workbook,
) -> Binder:
    shelf = books() if findings.books is None else findings.books
    prices = findings.prices or price_book(findings.scenario.price_book)
    found = [pack for pack in study.packs if pack.id in findings.packs]
    packs = tuple(
        PackSheets(
            pack=pack,
            found=findings.packs[pack.id],
            tree=build(pack),
            model=cost_model(pack, findings.scenario, prices, findings.packs[pack.id].mass_lines, shelf),
            names=names,
        )
        for pack, names in zip(found, sheet_names(found), strict=True)
    )
    return Binder(
        study=study,
        findings=findings,
        comparison=comparison,
        issued=issued,
        prices=prices,
        shelf=shelf,
        book=book,
        style=Style(book),
        packs=packs,
    )


__all__ = ["workbook"]
