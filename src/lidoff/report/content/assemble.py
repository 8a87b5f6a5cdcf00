"""The report in the reader's order."""

from __future__ import annotations

from ..blocks import Report
from . import (
    alike,
    answer,
    cost,
    cover,
    electrical,
    mass,
    questions,
    readings,
    service,
    sheets,
    sources_list,
    spread,
    workings,
)
from .story import Story


def assemble(story: Story) -> Report:
    """All sections of a study's report."""
    sections = [
        answer.answer(story),
        mass.mass(story),
        mass.by_function(story),
        mass.estimates(story),
        mass.doubts(story),
        electrical.electrical(story),
        cost.cost(story),
        *cost.lines(story),
        spread.spread(story),
        alike.alike(story),
        *service.service(story),
        workings.workings(story),
        sheets.methods(story),
        sheets.worked(story),
        *readings.readings(story),
        questions.questions(story),
        sources_list.sources(story),
    ]
    return Report(
        title=story.study.name,
        subtitle=f"Teardown comparison of {cover.joined([told.name for told in story.packs])}",
        cover=cover.cover(story),
        sections=tuple(section for section in sections if section is not None),
        title_block=cover.title_block(story),
        issued=cover.issued(story),
        keywords=("battery pack", "teardown", "should-cost"),
    )
