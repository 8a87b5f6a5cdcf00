"""The one pipeline: records, scenario and changes in, findings out."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..quantities.draws import draws_key
from ..records import Change, Edit, EditKind, Pack, Scenario, Study
from .changes import ChangeError, change_scenario, conflicts, redesign, touches
from .doubts import check_pack
from .findings import CostLine, Figure, Findings, PackFindings
from .layout import layout_figures
from .mass import Masses, masses
from .tree import build

if TYPE_CHECKING:
    from ..prices import PriceBook

#: What an evaluation may be asked for.
TOPICS = ("mass", "energy", "cost", "check")

#: How many packs' findings are kept; one holds a few megabytes at 1,000 samples.
KEPT = 16

_kept: OrderedDict[str, PackFindings] = OrderedDict()


def evaluate(
    study: Study,
    scenario: Scenario | None = None,
    *,
    changes: Sequence[Change] = (),
    topics: Collection[str] | None = None,
    samples: int = 1000,
    prices: PriceBook | None = None,
) -> Findings:
    """Every figure of every pack of a study, in a scenario, after changes of design.

    ``topics`` of `TOPICS` (all where ``None``); ``prices`` overrides the scenario's price book.
    Findings of a pack are kept by the content they rest on, so an unchanged pack is not computed
    again. Raises `ChangeError` (of it `ChangeConflict`) for changes that cannot be carried out.
    """
    wanted = tuple(t for t in TOPICS if topics is None or t in topics)
    if topics is not None and set(topics) - set(TOPICS):
        raise ValueError(
            f"unknown topic {sorted(set(topics) - set(TOPICS))[0]!r} (known: {', '.join(TOPICS)})"
        )
    conflicts(changes)
    edits = _named_edits(changes)
    terms = change_scenario(scenario or study.scenario, edits)
    book = _book(terms, prices, edits) if "cost" in wanted else prices
    packs, notes = _changed(study.packs, edits)
    found = {pack.id: _pack_findings(pack, notes[pack.id], terms, wanted, samples, book) for pack in packs}
    sources = [s for p in found.values() for f in p.figures.values() for s in f.sources]
    sources += [s for p in found.values() for line in p.cost_lines for s in line.sources]
    return Findings(
        study=study.id,
        scenario=terms,
        currency=book.currency if book is not None else terms.currency or "",
        year=book.year if book is not None else terms.year,
        samples=samples,
        packs=found,
        sources=tuple(dict.fromkeys(sources)),
        prices=book,
    )


def _named_edits(changes: Sequence[Change]) -> list[Edit]:
    """All edits in order; added records without an id of their own take one from their change."""
    edits = []
    for change in changes:
        for number, edit in enumerate(change.edits, start=1):
            if edit.kind is EditKind.ADD and not edit.target:
                edit = replace(edit, target=f"{change.id}.{number}")
            edits.append(edit)
    return edits


def _changed(packs: Sequence[Pack], edits: Sequence[Edit]) -> tuple[list[Pack], dict[str, tuple[str, ...]]]:
    aimed = [edit for edit in edits if edit.record not in ("scenario", "price")]
    used: set[int] = set()
    changed, notes = [], {}
    for pack in packs:
        # One after another, so that a later edit may aim at what an earlier one has added.
        own: list[Edit] = []
        trial = pack
        for number, edit in enumerate(aimed):
            if touches(trial, edit):
                own.append(edit)
                used.add(number)
                trial = redesign(pack, own).pack if edit.kind is EditKind.ADD else trial
        done = redesign(pack, own) if own else None
        changed.append(pack if done is None else done.pack)
        notes[pack.id] = () if done is None else done.notes
    for number, edit in enumerate(aimed):
        if number not in used:
            raise ChangeError(f"{edit.kind} {edit.record} {edit.target}: no pack of the study has it")
    return changed, notes


def _book(terms: Scenario, prices: PriceBook | None, edits: Sequence[Edit]) -> PriceBook:
    from ..prices import price_book

    book = prices if prices is not None else price_book(terms.price_book)
    aimed = [edit for edit in edits if edit.record == "price"]
    if not aimed:
        return book
    rows = dict(book.rows)
    for edit in aimed:
        if edit.target not in rows:
            raise ChangeError(f"{edit.kind} price {edit.target}: the price book {book.name} has no such row")
        if edit.kind not in (EditKind.SET, EditKind.SCALE) or not edit.value > 0.0:
            raise ChangeError(f"{edit.kind} price {edit.target}: {edit.value!r} is not a price above zero")
        row = rows[edit.target]
        value = edit.value if edit.kind is EditKind.SET else row.value * edit.value
        rows[edit.target] = replace(row, value=value, terms=(), stated=None, factors=())
    for key, row in rows.items():  # sums of rows follow their terms
        if row.terms:
            rows[key] = replace(row, value=sum(factor * rows[term].value for term, factor in row.terms))
    return replace(book, rows=rows)


def _pack_findings(
    pack: Pack,
    notes: tuple[str, ...],
    terms: Scenario,
    wanted: tuple[str, ...],
    samples: int,
    book: PriceBook | None,
) -> PackFindings:
    content = repr((pack, notes, terms, wanted, samples, book, draws_key()))
    key = hashlib.blake2b(content.encode(), digest_size=20).hexdigest()
    if key in _kept:
        _kept.move_to_end(key)
        return _kept[key]
    tree = build(pack)
    mass = masses(pack, tree, samples)
    energy = layout_figures(pack, tree, mass, samples)
    figures: dict[str, Figure] = dict(mass.figures) if "mass" in wanted else {}
    figures |= energy if "energy" in wanted else {}
    lines: tuple[CostLine, ...] = ()
    if "cost" in wanted and book is not None:
        lines, cost_figures = _costs(pack, mass, energy, terms, book, samples)
        figures |= cost_figures
    found = PackFindings(
        pack=pack.id,
        name=pack.name,
        figures=figures,
        mass_lines=mass.lines,
        cost_lines=lines,
        doubts=check_pack(pack) if "check" in wanted else (),
        notes=notes,
    )
    _kept[key] = found
    while len(_kept) > KEPT:
        _kept.popitem(last=False)
    return found


def _costs(
    pack: Pack,
    mass: Masses,
    energy: Mapping[str, Figure],
    terms: Scenario,
    book: PriceBook,
    samples: int,
) -> tuple[tuple[CostLine, ...], Mapping[str, Figure]]:
    from .cost import cost_pack  # here, so that method books load only where a cost is asked for

    result = cost_pack(pack, terms, book, mass.lines, samples, energy=energy.get("energy_nominal"))
    return result.lines, result.figures
