"""The demo study, put into a workspace through the same import as any bench file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..records import Study

if TYPE_CHECKING:
    from .workspace import Workspace

#: The demo study's id: what `lidoff check demo` names.
DEMO = "demo"


def import_demo(desk: Workspace) -> Study:
    """Import both demo packs, answering the questions the story answers."""
    from ..demo import STORY, files

    if DEMO not in {summary.id for summary in desk.studies()}:
        desk.store.create_study(DEMO, STORY.study, who=desk.who, scenario=STORY.scenario)
    for pack in files():
        desk.import_file(pack.path, study=DEMO, pack=pack.name, accept=pack.accept)
    return desk.study(DEMO)
