"""The one pipeline: records, scenario and changes in, findings out."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Collection, Hashable, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..quantities.draws import Seeded, drawing, draws_key, related, somebody_draws
from ..records import Change, Edit, EditKind, Pack, Scenario, Study
from .blocks import Blocks, block_labels
from .changes import ChangeError, change_scenario, conflicts, redesign, touches
from .doubts import check_pack
from .findings import BLOCK, Figure, Findings, PackFindings
from .layout import layout_figures
from .mass import Masses, masses
from .related import copula
from .tree import build

if TYPE_CHECKING:
    from ..methods import Book
    from ..prices import PriceBook
    from .cost import CostResult

#: What an evaluation may be asked for.
TOPICS = ("mass", "energy", "cost", "check")

#: How many packs' findings are kept at 1,000 samples, and fewer at more: one then holds a megabyte or two.
KEPT = 16
KEPT_AT = 1_000

_kept: OrderedDict[Hashable, list[_Kept]] = OrderedDict()


def evaluate(
    study: Study,
    scenario: Scenario | None = None,
    *,
    changes: Sequence[Change] = (),
    topics: Collection[str] | None = None,
    samples: int = 1000,
    prices: PriceBook | None = None,
    seed: int = 0,
    books: Mapping[str, Book] | None = None,
) -> Findings:
    """Every figure of every pack of a study, in a scenario, after changes of design.

    ``topics`` of `TOPICS` (all where ``None``); ``prices`` overrides the scenario's price book and
    ``books`` the shipped method books; ``samples`` may be 0 for nominal values without intervals, and
    more than a block of them are drawn block by block (whole blocks, see `blocks`). Another ``seed``
    draws all streams anew; streams go together as the study and its price book declare. Findings of
    a pack are kept by the content they rest on, so an unchanged pack is not computed again. Raises
    `ChangeError` (of it `ChangeConflict`) for changes that cannot be carried out, and
    `CorrelationError` for correlations that cannot be.
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
    # Whoever draws in place of the streams says how many samples there are: that is one block.
    labels = list(block_labels(samples, seed)) if not somebody_draws() else [None]
    count = samples if len(labels) == 1 else BLOCK
    asked = _Asked(terms=terms, wanted=wanted, samples=count, prices=book, books=books)
    blocks: dict[str, Blocks] = {}
    with related(copula(study.correlations, packs, book)):
        for label in labels:
            with nullcontext() if label is None else drawing(Seeded(label)):
                for pack in packs:
                    one = _pack_findings(pack, notes[pack.id], asked)
                    blocks.setdefault(pack.id, Blocks(one)).add(one)
    found = {pack: of_pack.averaged() for pack, of_pack in blocks.items()}
    sources = [s for p in found.values() for f in p.figures.values() for s in f.sources]
    sources += [s for p in found.values() for line in p.cost_lines for s in line.sources]
    return Findings(
        study=study.id,
        scenario=terms,
        currency=book.currency if book is not None else terms.currency or "",
        year=book.year if book is not None else terms.year,
        samples=count * len(labels),
        seed=seed,
        packs=found,
        sources=tuple(dict.fromkeys(sources)),
        prices=book,
        books=books,
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What findings of a pack depend on besides the pack."""

    terms: Scenario
    wanted: tuple[str, ...]
    samples: int
    prices: PriceBook | None
    books: Mapping[str, Book] | None


@dataclass(frozen=True, slots=True)
class _Kept:
    pack: Pack
    notes: tuple[str, ...]
    asked: _Asked
    found: PackFindings


def _pack_findings(pack: Pack, notes: tuple[str, ...], asked: _Asked) -> PackFindings:
    """Findings of a pack, those of an equal one where they are kept."""
    key = (pack.id, asked.terms, asked.wanted, asked.samples, draws_key())
    known = _kept.setdefault(key, [])
    _kept.move_to_end(key)
    for entry in known:
        # Parts that did not change are the same objects, so that to compare packs is to compare little.
        same = entry.asked.books is asked.books and entry.notes == notes
        if same and entry.asked.prices == asked.prices and entry.pack == pack:
            return entry.found
    found = _computed(pack, notes, asked)
    known.append(_Kept(pack, notes, asked, found))
    most = max(1, KEPT * KEPT_AT // max(asked.samples, KEPT_AT))
    while sum(map(len, _kept.values())) > most and len(_kept) > 1:
        _kept.popitem(last=False)
    del known[: max(0, len(known) - most)]
    return found


def _computed(pack: Pack, notes: tuple[str, ...], asked: _Asked) -> PackFindings:
    tree = build(pack)
    mass = masses(pack, tree, asked.samples)
    energy = layout_figures(pack, tree, mass, asked.samples)
    figures: dict[str, Figure] = dict(mass.figures) if "mass" in asked.wanted else {}
    figures |= energy if "energy" in asked.wanted else {}
    costs = _costs(pack, mass, energy, asked)
    if costs is not None:
        figures |= costs.figures
    return PackFindings(
        pack=pack.id,
        name=pack.name,
        figures=figures,
        mass_lines=mass.lines,
        cost_lines=() if costs is None else costs.lines,
        doubts=check_pack(pack) if "check" in asked.wanted else (),
        notes=notes,
        cost_samples={} if costs is None else costs.samples,
    )


def _costs(pack: Pack, mass: Masses, energy: Mapping[str, Figure], asked: _Asked) -> CostResult | None:
    if "cost" not in asked.wanted or asked.prices is None:
        return None
    from .cost import cost_pack  # here, so that method books load only where a cost is asked for

    return cost_pack(
        pack,
        asked.terms,
        asked.prices,
        mass.lines,
        asked.samples,
        energy=energy.get("energy_nominal"),
        books=asked.books,
    )
