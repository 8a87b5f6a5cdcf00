"""Sources: only those that this report used, with honest marks."""

from __future__ import annotations

from ...methods import books
from ...sources import SOURCES, Seen, cite
from ..blocks import Column, Paragraph, Row, Section, Set, Style, Table, say
from .story import Story
from .tell import quiet, words


def source_key(text: str) -> str:
    """The id in a citation such as "groover, p. 441"."""
    return text.partition(",")[0].strip()


def used(story: Story) -> tuple[str, ...]:
    """Ids of all sources behind figures, worked lines and method sheets, in alphabetical order."""
    found: set[str] = set(map(source_key, story.findings.sources))
    for told in story.packs:
        for figure in told.figures.values():
            found |= set(map(source_key, figure.sources))
            found |= {source_key(w.source) for w in figure.working if w.source}
        for line in told.findings.cost_lines:
            found |= set(map(source_key, line.sources))
            found |= {source_key(w.source) for step in line.route for w in step.working if w.source}
    for row in story.compared.values():
        for compared in row.values.values():
            if compared is not None:
                found |= set(map(source_key, compared.sources))
                found |= {source_key(w.source) for w in compared.working if w.source}
    shelf = books() if story.findings.books is None else story.findings.books
    for name in story.methods_used:
        if name in shelf:
            found |= set(shelf[name].sources)
            found |= {source_key(check.source) for check in shelf[name].checks}
    return tuple(sorted(found))


def source_label(text: str) -> str:
    """A source's id, with its page where given, as a reader would write it."""
    key = source_key(text)
    return key.replace("_", " ") + text.strip()[len(key) :]


def source_anchor(text: str) -> str:
    """Where a source stands in the list; every source a run of text names is in it."""
    return f"source-{source_key(text)}"


def sources(story: Story) -> Section:
    rows = []
    for identity in used(story):
        entry = SOURCES.get(identity)
        if entry is None:
            cells = (
                quiet(source_label(identity)),
                words("not in the citation table"),
                quiet(""),
                quiet("unknown"),
            )
        else:
            cells = (
                quiet(source_label(identity)),
                words(cite(identity)),
                quiet(str(entry.kind)),
                quiet(_seen(entry.seen)),
            )
        rows.append(Row(cells=cells, anchor=f"source-{identity}"))
    columns = (
        Column(head="Id", set=Set.QUIET),
        Column(head="Source", width=4.0),
        Column(head="Kind", set=Set.QUIET),
        Column(head="How its numbers were come by", set=Set.QUIET, width=1.4),
    )
    note = Paragraph(text=say("Only what this report used is listed."), style=Style.NOTE)
    table = Table(told="Sources used", columns=columns, rows=tuple(rows), small=True)
    return Section(anchor="sources", title="Sources", short="Sources", own_sheet=False, blocks=(note, table))


def _seen(seen: Seen) -> str:
    return {
        Seen.PAGE: "page read",
        Seen.MEMORY: "from memory, page not seen",
        Seen.COMPUTED: "computed from what it says",
        Seen.OURS: "our own choice",
    }[seen]
