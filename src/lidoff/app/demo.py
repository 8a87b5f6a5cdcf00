"""The demo study, put into a workspace through the same import as any bench file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..records import Study

if TYPE_CHECKING:
    from .workspace import Workspace


def import_demo(desk: Workspace) -> Study:
    """Import both demo packs, answering the questions the story answers."""
    from ..demo import STORY, files

    for pack in files():
        desk.import_file(pack.path, study=STORY.study, pack=pack.name, accept=pack.accept)
    return desk.study(STORY.study)
