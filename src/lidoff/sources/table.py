"""Reads `sources.toml`: one entry a source, named by id everywhere else."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib.resources import files
from types import MappingProxyType


class SourceError(ValueError):
    """An entry of the citation table that cannot be used."""


class Kind(StrEnum):
    """What sort of thing a source is."""

    STANDARD = "standard"
    BOOK = "book"
    PAPER = "paper"
    REPORT = "report"
    DATA = "data"
    PUBLIC_PAGE = "public page"
    COMMON_PRACTICE = "common practice"
    PROJECT_CHOICE = "project choice"


class Seen(StrEnum):
    """How the numbers taken from a source were come by.

    ``PAGE``: somebody read the published page. ``MEMORY``: recalled, page not seen.
    ``COMPUTED``: derived by us from what the source says. ``OURS``: our own choice, nothing to see.
    """

    PAGE = "page"
    MEMORY = "memory"
    COMPUTED = "computed"
    OURS = "ours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source. ``cite`` is what a report prints, ``where`` the page, table or clause."""

    id: str
    cite: str
    kind: Kind
    seen: Seen
    year: int | None = None
    doi: str | None = None
    where: str | None = None


_KEYS = {"cite", "kind", "seen", "year", "doi", "where"}


def load_sources(text: str) -> Mapping[str, Source]:
    """Read a citation table. Raises `SourceError` naming the entry."""
    try:
        entries = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise SourceError(f"citation table: {error}") from error
    return MappingProxyType({name: _entry(name, entry) for name, entry in entries.items()})


def _entry(name: str, entry: object) -> Source:
    if not isinstance(entry, dict):
        raise SourceError(f"source {name!r} is not a table")
    unknown = set(entry) - _KEYS
    if unknown:
        raise SourceError(f"source {name!r} has unknown entries: {', '.join(sorted(unknown))}")
    cite_text = entry.get("cite")
    if not isinstance(cite_text, str) or not cite_text.strip():
        raise SourceError(f"source {name!r} lacks a citation")
    try:
        kind, seen = Kind(str(entry.get("kind"))), Seen(str(entry.get("seen")))
    except ValueError as error:
        raise SourceError(f"source {name!r}: {error}") from error
    year, doi, where = entry.get("year"), entry.get("doi"), entry.get("where")
    if year is not None and (not isinstance(year, int) or isinstance(year, bool)):
        raise SourceError(f"source {name!r}: year {year!r} is not a whole number")
    for label, value in (("doi", doi), ("where", where)):
        if value is not None and not isinstance(value, str):
            raise SourceError(f"source {name!r}: {label} is not text")
    return Source(id=name, cite=cite_text, kind=kind, seen=seen, year=year, doi=doi, where=where)


SOURCES: Mapping[str, Source] = load_sources((files(__package__) / "sources.toml").read_text("utf-8"))


def source(identity: str) -> Source:
    """The source of an id. Raises ``KeyError`` with a sentence for an unknown one.

    A page or table may follow the id after a comma, as method books write it:

    >>> source("kalpakjian_schmid, ch. 16").id
    'kalpakjian_schmid'
    """
    name = identity.partition(",")[0].strip()
    if name not in SOURCES:
        raise KeyError(f"no source {name!r} in the citation table")
    return SOURCES[name]


def cited(text: str) -> str:
    """The citation of an id, or the words themselves where they are no id: a user's own books cite so."""
    return cite(text) if text.partition(",")[0].strip() in SOURCES else text


def cite(identity: str) -> str:
    """The citation as a report prints it, with the page that follows the id, and honest marks.

    Raises ``KeyError`` for an unknown id.
    """
    entry = source(identity)
    page = identity.partition(",")[2].strip()
    parts = [entry.cite.rstrip(".")]
    if page or entry.where:
        parts.append(page or str(entry.where))
    if entry.doi:
        parts.append(f"doi {entry.doi}")
    text = ", ".join(parts)
    if entry.seen is Seen.MEMORY:
        text += " (from memory)"
    return text
