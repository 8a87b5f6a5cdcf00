"""The desk an import works at: it gathers questions, rejections and notes, and makes ids."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from hashlib import blake2b

from ..records import Edit, EditKind, Question, Rejection


@dataclass(slots=True)
class Desk:
    """Collects what an import is unsure of and what it cannot use.

    Ids are made of the pack, the place and the content, never of the file's name or the time, so the
    same file gives the same ids at the next run.
    """

    pack_id: str
    file: str
    questions: list[Question] = field(default_factory=list)
    rejections: list[Rejection] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    _used: dict[str, int] = field(default_factory=dict)

    def identity(self, prefix: str, *parts: object) -> str:
        """A stable short id; equal parts get a number behind them in order of appearance."""
        key = f"{prefix}\x1f{parts[0]}" if len(parts) == 1 else "\x1f".join(map(str, (prefix, *parts)))
        occurrence = self._used.get(key, 0)
        self._used[key] = occurrence + 1
        text = f"{self.pack_id}\x1f{key}\x1f{occurrence}"
        return f"{prefix}-{blake2b(text.encode(), digest_size=6).hexdigest()}"

    def identities(self, prefix: str, names: Iterable[str]) -> list[str]:
        """The ids of many records of one kind, as `identity` makes them one by one."""
        used, lead = self._used, f"{self.pack_id}\x1f"
        out = []
        for name in names:
            key = f"{prefix}\x1f{name}"
            occurrence = used.get(key, 0)
            used[key] = occurrence + 1
            text = f"{lead}{key}\x1f{occurrence}"
            out.append(f"{prefix}-{blake2b(text.encode(), digest_size=6).hexdigest()}")
        return out

    def ask(
        self,
        where: str,
        what: str,
        *,
        taken: str,
        proposed: str,
        edits: tuple[Edit, ...] = (),
        about: str = "",
    ) -> None:
        """Raise a question. ``about`` and the place make its id."""
        identity = self.identity("q", where, about or what)
        self.questions.append(
            Question(id=identity, where=where, what=what, taken=taken, proposed=proposed, edits=edits)
        )

    def reject(self, where: str, why: str, text: str = "") -> None:
        self.rejections.append(Rejection(where=where, why=why, text=text))

    def note(self, text: str) -> None:
        self.notes.append(text)


def set_edit(record: str, target: str, name: str, value: object) -> Edit:
    return Edit(kind=EditKind.SET, record=record, target=target, field=name, value=value)


def remove_edit(record: str, target: str) -> Edit:
    return Edit(kind=EditKind.REMOVE, record=record, target=target)
