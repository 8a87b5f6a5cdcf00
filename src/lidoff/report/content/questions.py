"""What the import left open, and what it could not use."""

from __future__ import annotations

from ..blocks import Block, Column, Heading, Paragraph, Row, Section, Set, Style, Table, say
from .story import Story
from .tell import quiet, words

_QUESTIONS = (
    Column(head="Where", set=Set.QUIET),
    Column(head="Question", width=2.4),
    Column(head="Taken", width=1.4),
    Column(head="Proposed", width=1.6),
    Column(head="Answer", set=Set.QUIET),
    Column(head="Id", set=Set.QUIET),
)
_REJECTED = (
    Column(head="Where", set=Set.QUIET),
    Column(head="Why", width=2.0),
    Column(head="Text", set=Set.QUIET, width=2.0),
)


def questions(story: Story) -> Section:
    blocks: list[Block] = []
    for told in story.packs:
        pack = told.pack
        blocks.append(Heading(text=say(told.name)))
        open_ones = tuple(
            Row(
                cells=(
                    quiet(q.where),
                    words(q.what),
                    words(q.taken),
                    words(q.proposed),
                    quiet(q.answer or "open"),
                    quiet(q.id),
                )
            )
            for q in pack.questions
        )
        if open_ones:
            blocks.append(
                Table(told=f"Questions about {told.name}", columns=_QUESTIONS, rows=open_ones, small=True)
            )
        else:
            blocks.append(Paragraph(text=say("The import left no question."), style=Style.NOTE))
        refused = tuple(Row(cells=(quiet(r.where), words(r.why), quiet(r.text))) for r in pack.rejections)
        if refused:
            blocks.append(Table(told=f"Not used of {told.name}", columns=_REJECTED, rows=refused, small=True))
        else:
            blocks.append(Paragraph(text=say("Nothing was rejected."), style=Style.NOTE))
    return Section(
        anchor="questions",
        title="Questions left open, and what was not used",
        short="Questions",
        own_sheet=False,
        blocks=tuple(blocks),
    )
