"""Pack: what is compared; with the questions its import left open."""

from __future__ import annotations

from dataclasses import dataclass

from ..quantities import Reading
from .change import Edit
from .facts import Fact
from .item import Item
from .joint import Joint
from .step import Removal, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What an import was unsure of: what it took, what it proposes, and the edits if accepted.

    The id is made of the file's own content and place, so the same doubt has the same id at the
    next run.
    """

    id: str
    where: str
    what: str
    taken: str
    proposed: str
    edits: tuple[Edit, ...] = ()
    answer: str | None = None  # None open, "accepted", "kept"
    file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejection:
    """What an import could not use, where, and why; the text is kept."""

    where: str
    why: str
    text: str = ""
    file: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One design, from one or more specimens."""

    id: str
    name: str
    items: tuple[Item, ...] = ()
    joints: tuple[Joint, ...] = ()
    steps: tuple[Step, ...] = ()
    removals: tuple[Removal, ...] = ()
    facts: tuple[Fact, ...] = ()
    questions: tuple[Question, ...] = ()
    rejections: tuple[Rejection, ...] = ()

    def fact(self, key: str) -> Reading | None:
        """The reading noted under a key, or ``None``."""
        return next((f.reading for f in self.facts if f.key == key and f.reading is not None), None)

    def word(self, key: str) -> str | None:
        """The word noted under a key, or ``None``."""
        return next((f.word.text for f in self.facts if f.key == key and f.word is not None), None)

    def item(self, identity: str) -> Item | None:
        return next((i for i in self.items if i.id == identity), None)
