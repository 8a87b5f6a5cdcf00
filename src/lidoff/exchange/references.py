"""References to items in joints and logs: by find number, by a run of them, or by name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from ..records import Item
from .findnumber import Key, key_of
from .items import Parts
from .vocabulary import has_any, is_blank, normal

_NUMBERED = re.compile(r"[A-Za-z]{0,4}[.\- ]?\d{1,5}(?:[.\-/_]\d{1,5})+\.?")
_PIECE = re.compile(r"\s*(?:;|,|&|\n|\+|\s/\s|\band\b|\bund\b|\bet\b)\s*")
_RUN = re.compile(r"^(\S+?)\s*(?:-|–|\.\.|to|bis)\s*(\S+)$")


@dataclass(slots=True)
class Finder:
    """Finds items of one file by what a bench calls them."""

    parts: Parts
    items: Sequence[Item]
    _names: dict[str, list[int]] = field(default_factory=dict)

    def _commas(self) -> bool:
        return any("," in item.number for item in self.items)

    def _by_name(self) -> dict[str, list[int]]:
        if not self._names:
            for at, item in enumerate(self.items):
                if not item.held:
                    self._names.setdefault(normal(item.name), []).append(at)
        return self._names

    def one(self, text: str) -> tuple[str | None, bool]:
        """The item a text names, and whether the text is a find number that names none."""
        bare = _bare(text)
        if not bare or is_blank(bare):
            return None, False
        at = self._number(bare)
        named = self._by_name().get(normal(text), ()) if at is None else ()
        if len(named) == 1:
            at = named[0]
        if at is not None:
            return self.items[at].id, False
        first = bare.split()[0]
        at = self._number(first) if _NUMBERED.fullmatch(first) else None
        if at is not None:
            return self.items[at].id, False
        if _NUMBERED.fullmatch(first):
            return None, True
        at = self._name(bare)
        return (None if at is None else self.items[at].id), False

    def many(self, text: str) -> tuple[tuple[str, ...], list[str]]:
        """All items a text names, and the find numbers in it that name none."""
        bare = _bare(text)
        if not bare or is_blank(bare):
            return (), []
        whole = self._number(bare)
        if whole is not None:
            return (self.items[whole].id,), []
        found: list[str] = []
        lost: list[str] = []
        for piece in _PIECE.split(bare):
            ids = self._run(piece)
            if ids is None:
                identity, missing = self.one(piece)
                ids = [identity] if identity else []
                if missing:
                    lost.append(piece.strip())
            found += [i for i in ids if i not in found]
        return tuple(found), lost

    def _run(self, piece: str) -> list[str] | None:
        """The items of "1.4.1-1.4.3"."""
        match = _RUN.match(piece.strip())
        if not match or self._number(piece) is not None:
            return None
        first, last = key_of(match.group(1)), key_of(match.group(2))
        if len(last) == 1 and len(first) > 1:
            last = (*first[:-1], last[0])
        if (
            first[:-1] != last[:-1]
            or not first
            or not isinstance(first[-1], int)
            or not isinstance(last[-1], int)
        ):
            return None
        keys: list[Key] = [(*first[:-1], n) for n in range(first[-1], last[-1] + 1)]
        if len(keys) > 200 or first not in self.parts.by_key or last not in self.parts.by_key:
            return None
        return [self.items[self.parts.by_key[k]].id for k in keys if k in self.parts.by_key]

    def _number(self, text: str) -> int | None:
        if "," in text and not self._commas():
            return None  # "12,3" lists two numbers where numbers are written with points
        return self.parts.by_key.get(key_of(text)) if any(c.isdigit() for c in text) else None

    def _name(self, text: str) -> int | None:
        """The item of that name, or the highest whose name starts with it, where only one does."""
        spelled = normal(text)
        if len(spelled) < 3 or has_any(text, "vehicle"):
            return None
        exact = self._by_name().get(spelled)
        if exact:
            return exact[0] if len(exact) == 1 else None
        starting = [
            at for name, ats in self._by_name().items() if name.startswith(f"{spelled} ") for at in ats
        ]
        starting.sort(key=lambda at: (self._depth(at), at))
        if starting and (len(starting) == 1 or self._depth(starting[0]) < self._depth(starting[1])):
            return starting[0]
        if len(spelled) > 4 and spelled.endswith("s"):
            return self._name(spelled[:-1])
        return None

    def _depth(self, at: int) -> int:
        depth, above = 0, self.parts.parents[at]
        while above is not None:
            depth, above = depth + 1, self.parts.parents[above]
        return depth


def _bare(text: str) -> str:
    """A reference without which of several it was: "1.3 #3" is 1.3."""
    return re.sub(r"\s*#\s*\d+|\s*\((?!\d)[^)]*\)|\bno\.?\s*\d+$", "", text).strip(" .;,")
