"""Workbook: the whole mass and cost model as a live spreadsheet, with the engine's values kept in it."""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import datetime

from xlsxwriter import Workbook

from ...compare import Comparison
from ...evaluate import CostStatus, Findings
from ...evaluate.cost.model import CostModel, cost_model
from ...evaluate.tree import build
from ...methods import Book, books
from ...prices import PriceBook, price_book
from ...records import Pack, Study
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
            model=_model(pack, findings, prices, shelf),
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


def _model(pack: Pack, findings: Findings, prices: PriceBook, shelf: Mapping[str, Book]) -> CostModel:
    """The model of the lines that the findings have costed; nothing where no cost was asked for."""
    found = findings.packs[pack.id]
    if not found.cost_lines:
        return CostModel(lines={}, rates={})
    model = cost_model(pack, findings.scenario, prices, found.mass_lines, shelf)
    costed = [line.item for line in found.cost_lines if line.status is CostStatus.COSTED]
    lacking = [item for item in costed if item not in model.lines]
    if lacking:
        raise ValueError(f"{pack.name}: the costed line {lacking[0]!r} cannot be laid open")
    return CostModel(lines={item: model.lines[item] for item in costed}, rates=model.rates)


__all__ = ["workbook"]
