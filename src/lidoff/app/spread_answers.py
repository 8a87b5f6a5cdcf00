"""Spreads as text for the command line, and as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..evaluate.spread import REST, Proposal, SpreadOf, Spreads
from ..pictures.numbers import percent, shown
from .texts import columns

Plain = dict[str, Any]

#: Inputs listed in a table; the others are added up in one line.
LISTED = 10
#: From this share of `REST` on the single shares are said to be only part of the answer (project choice).
LARGE_REST = 0.10


def spread_answer(found: Spreads, names: Mapping[str, str]) -> list[Plain]:
    return [_plain(one, names) for one in found.targets]


def _plain(one: SpreadOf, names: Mapping[str, str]) -> Plain:
    shares = one.shares
    return {
        "figure": one.target.name,
        "title": one.target.title,
        "unit": one.target.unit,
        "packs": [names.get(pack, pack) for pack in one.target.packs],
        "difference": one.target.is_difference,
        "value": shares.value,
        "low": shares.low,
        "high": shares.high,
        "shares": [
            {
                "stream": share.stream,
                "share": share.share,
                **({"input": _named(one, share.stream)} if share.stream in one.named else {}),
            }
            for share in shares.shares
        ],
        "rest": shares.rest,
        "follows": shares.follows,
        "next": [_proposal(proposal) for proposal in one.next],
        "indices": _indices(one),
    }


def _named(one: SpreadOf, stream: str) -> Plain:
    named = one.named[stream]
    return {
        "title": named.title,
        "where": named.where,
        "basis": str(named.basis) if named.basis is not None else None,
        "item": named.item,
        "value": named.value,
        "u": named.u,
    }


def _proposal(proposal: Proposal) -> Plain:
    return {
        "stream": proposal.named.stream,
        "title": proposal.named.title,
        "where": proposal.named.where,
        "says": proposal.says,
        "share": proposal.share,
        "narrows": proposal.narrows,
        "low": proposal.low,
        "high": proposal.high,
    }


def _indices(one: SpreadOf) -> Plain | None:
    found = one.indices
    if found is None:
        return None
    index = found.indices
    return {
        "rows": found.rows,
        "evaluations": found.evaluations,
        "coverage": index.coverage,
        "streams": [
            {
                "stream": stream,
                "first": float(index.first[k]),
                "first_interval": [float(index.first_low[k]), float(index.first_high[k])],
                "total": float(index.total[k]),
                "total_interval": [float(index.total_low[k]), float(index.total_high[k])],
            }
            for k, stream in enumerate(found.streams)
        ],
    }


def spread_text(found: Spreads, names: Mapping[str, str]) -> str:
    return "\n\n".join(_text(one, names) for one in found.targets)


def _text(one: SpreadOf, names: Mapping[str, str]) -> str:
    shares = one.shares
    of = " less ".join(names.get(pack, pack) for pack in one.target.packs)
    value = shown(shares.value, shares.low, shares.high)
    head = f"{one.target.title}, {of}: {value} {one.target.unit} ({_span(one, shares.low, shares.high)})"
    if not shares.shares:
        return f"{head}\n  It has no spread."
    text = f"{head}\n{columns(_rows(one), right=(3,))}"
    if one.indices is not None:
        text += f"\n\n{_index_table(one)}"
    return f"{text}\n\n{_sentence(one)}"


def _span(one: SpreadOf, low: float, high: float) -> str:
    bounds = one.shares.low, one.shares.high
    return f"{shown(low, *bounds)} … {shown(high, *bounds)}"


def _rows(one: SpreadOf) -> list[list[str]]:
    promised = {proposal.named.stream: proposal for proposal in one.next}
    rows = [["  reading or rate", "where", "basis", "share", "to know it better", "interval then"]]
    listed = one.shares.shares[:LISTED]
    for share in listed:
        named, proposal = one.named[share.stream], promised.get(share.stream)
        rows.append(
            [
                f"  {named.title}",
                named.where,
                str(named.basis) if named.basis is not None else "",
                percent(share.share),
                proposal.says if proposal is not None else "",
                ""
                if proposal is None
                else f"{_span(one, proposal.low, proposal.high)}, {percent(proposal.narrows)} narrower",
            ]
        )
    others = sum(share.share for share in one.shares.shares[LISTED:])
    more = len(one.shares.shares) - len(listed)
    if more > 0:
        rows.append([f"  {more} others", "", "", percent(others), "", ""])
    rows.append([f"  {REST}", "", "", percent(one.shares.rest), "", ""])
    return rows


def _sentence(one: SpreadOf) -> str:
    said = []
    if one.next:
        best = one.next[0]
        said.append(
            f"Next: {best.named.title}: {best.says}. "
            f"The interval would be {percent(best.narrows)} narrower, {_span(one, best.low, best.high)} "
            f"{one.target.unit}.".replace(" .", ".")
        )
    else:
        said.append("No single reading or rate would narrow it much.")
    if one.shares.rest >= LARGE_REST and one.indices is None:
        said.append(
            f"{percent(one.shares.rest)} of the variance comes of inputs acting together: --sobol tells more."
        )
    return " ".join(said)


def _index_table(one: SpreadOf) -> str:
    found = one.indices
    assert found is not None
    index = found.indices
    rows = [["  reading or rate", "first index", "interval", "total index", "interval"]]
    order = sorted(range(len(found.streams)), key=lambda k: -float(index.total[k]))
    for k in order[:LISTED]:
        stream = found.streams[k]
        rows.append(
            [
                f"  {one.named[stream].title if stream in one.named else stream}",
                f"{index.first[k]:.3f}",
                f"{index.first_low[k]:.3f} … {index.first_high[k]:.3f}",
                f"{index.total[k]:.3f}",
                f"{index.total_low[k]:.3f} … {index.total_high[k]:.3f}",
            ]
        )
    return columns(rows, right=(1, 2, 3, 4))
