"""What a part is by its name: which of many words is the noun that heads it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TypeVar

Thing = TypeVar("Thing")

#: Where the name of a thing ends and what it is for begins.
_END = re.compile(
    r"[,;(]| (?:for|in|on|to|under|with|of|at|through|from|between"
    r"|zum|zur|zu|im|am|an|auf|mit|fuer|für|unter|von|vom) ",
    re.IGNORECASE,
)
_THREAD = re.compile(r"\bM\d+(?:[.,]\d+)?(?: ?[xX×] ?\d+(?:[.,]\d+)?)* *")
_BESIDE = re.compile(r"\S*[a-zäöüß] +(?=[A-ZÄÖÜ][a-zäöüß])")


def named_by(text: str, words: Sequence[tuple[str, Thing]]) -> Thing | None:
    """The thing whose word heads the name, else whose word is anywhere in it; ``None`` without a word.

    The last noun before a comma or preposition heads it ("Harness clip, left" is a clip), of nouns
    put side by side in German the first ("Federclip Kupplung"). ``words`` are casefolded, longest
    first: of overlapping words the longer counts.
    """
    for part in _parts(text.strip()):
        found = _last(part.casefold(), words)
        if found is not None:
            return found
    return None


def _parts(text: str) -> Iterator[str]:
    head = _END.split(text, maxsplit=1)[0]
    beside = _BESIDE.match(_THREAD.sub("", head))  # the capital of the next noun gives German away
    if beside is not None:
        yield beside.group(0)
    yield head
    yield text


def _last(text: str, words: Sequence[tuple[str, Thing]]) -> Thing | None:
    """The last word in a text, words inside longer ones not counted."""
    taken: list[tuple[int, int, Thing]] = []
    for word, thing in words:
        start = text.rfind(word)
        end = start + len(word)
        if start >= 0 and all(end <= other[0] or start >= other[1] for other in taken):
            taken.append((start, end, thing))
    return max(taken, key=lambda place: place[1])[2] if taken else None
