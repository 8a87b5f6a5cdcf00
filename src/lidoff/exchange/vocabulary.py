"""Words by meaning: how a text is brought to one spelling, and found among the words of a list.

The lists are data in ``words/*.toml``.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

_GERMAN = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "ß": "sz", "æ": "ae", "œ": "oe", "ø": "ø", "å": "a"}
)
_PLAIN = str.maketrans({"ä": "a", "ö": "o", "ü": "u", "ß": "sz", "æ": "ae", "œ": "oe", "å": "a"})
_GAP = re.compile(r"[^\w#ø✓✔✗✘∑]+|_+")
#: "Maße" (sizes) and "Masse" (mass) must stay apart where every other ß may be written ss.
_KEEP_SZ = re.compile(r"\bma(?:sz|ss)e?\b")


@lru_cache(maxsize=65536)
def normal(text: str) -> str:
    """One spelling: lower case, no accents, umlauts as ae/oe/ue, words parted by one space."""
    return _normal(text, _GERMAN)


def _normal(text: str, umlauts: Mapping[int, str]) -> str:
    work = unicodedata.normalize("NFC", text).lower().translate(umlauts)
    if not work.isascii():
        work = "".join(c for c in unicodedata.normalize("NFKD", work) if not unicodedata.combining(c))
    return _GAP.sub(" ", work).strip()


def spellings(word: str) -> tuple[str, ...]:
    """The ways a listed word may arrive: with ae or with a plain a, with sz or ss for ß."""
    first = [_normal(word, _GERMAN), _normal(word, _PLAIN)]
    swiss = [s if _KEEP_SZ.search(s) else s.replace("sz", "ss") for s in first] if "ß" in word else []
    return tuple(dict.fromkeys([*first, *swiss]))


@cache
def load(name: str) -> dict[str, Any]:
    """One of the word lists."""
    return tomllib.loads(files(__package__).joinpath("words", f"{name}.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True, slots=True)
class Hit:
    """A meaning found, and how surely: 1 for the whole text, less for a part of it or a near spelling."""

    meaning: str
    score: float
    word: str


#: Letters a word may have to be compared with a list, and a text to be searched for words.
_LONGEST, _LONGEST_TEXT = 60, 400
#: How many letters a piece gains by standing in the head of a text.
_HEAD = 10.0
_BEFORE = re.compile(
    r"\s(?:of|for|to|in|fuer|von|zum|zur|am|an|im|de|du|des|del|della|di|da|per|van|voor|aan)\s"
)


def _head(spelled: str) -> tuple[int, int]:
    """Where the head word of a normalised text starts and ends."""
    before = _BEFORE.search(spelled)
    end = before.start() if before else len(spelled)
    return spelled.rfind(" ", 0, end) + 1, end


class Vocabulary:
    """Meanings by their words."""

    def __init__(
        self, lists: Mapping[str, Iterable[str]], stems: Mapping[str, Iterable[str]] | None = None
    ) -> None:
        self.stems = [(s, meaning) for meaning, words in (stems or {}).items() for s in words]
        self.exact: dict[str, list[str]] = {}
        for meaning, words in lists.items():
            for word in words:
                for spelled in spellings(word):
                    if spelled:
                        known = self.exact.setdefault(spelled, [])
                        if meaning not in known:
                            known.append(meaning)
        self.longest = max((w.count(" ") + 1 for w in self.exact), default=1)
        self._fuzzy = [w for w in self.exact if len(w) >= 5]
        self._cache: dict[str, Hit | None] = {}

    def whole(self, text: str) -> str | None:
        """The first meaning whose word is the whole text."""
        found = self.exact.get(normal(text))
        return found[0] if found else None

    def parts(self, text: str) -> list[Hit]:
        """Meanings of words found inside the text, the longest first."""
        tokens = normal(text[:_LONGEST_TEXT]).split()
        total = sum(map(len, tokens)) or 1
        hits: dict[str, Hit] = {}
        for size in range(min(self.longest, len(tokens)), 0, -1):
            for at in range(len(tokens) - size + 1):
                phrase = " ".join(tokens[at : at + size])
                covered = len(phrase) - size + 1
                if covered < 3:
                    continue
                for meaning in self.exact.get(phrase, ()):
                    score = 0.4 + 0.5 * covered / total - 0.02 * at
                    if meaning not in hits or hits[meaning].score < score:
                        hits[meaning] = Hit(meaning, score, phrase)
        return sorted(hits.values(), key=lambda h: -h.score)

    def within(self, text: str) -> list[Hit]:
        """Every meaning with a word or a stem inside the text, the longest piece first.

        A piece in the head of the name counts most: the last word ("enclosure lid"), or the one
        before a preposition ("vis de couvercle").
        """
        spelled = normal(text[:_LONGEST_TEXT]).replace("sz", "ss")
        head_at, head_end = _head(spelled)
        best: dict[str, tuple[float, str]] = {}
        for hit in self.parts(text):
            end = spelled.rfind(hit.word) + len(hit.word)
            weight = len(hit.word) + 2.0 + end / 100.0 + (_HEAD if head_at < end <= head_end else 0.0)
            best[hit.meaning] = (weight, hit.word)
        for stem, meaning in self.stems:
            at = spelled.rfind(stem)
            weight = len(stem) + (at + len(stem)) / 100.0 + (_HEAD if head_at <= at < head_end else 0.0)
            if at >= 0 and weight > best.get(meaning, (0.0, ""))[0]:
                best[meaning] = (weight, stem)
        ranked = sorted(best.items(), key=lambda b: -b[1][0])
        return [Hit(meaning, weight, word) for meaning, (weight, word) in ranked]

    def near(self, text: str, cutoff: float = 0.86) -> Hit | None:
        """The meaning of the nearest spelling, for words of five letters or more."""
        spelled = normal(text)
        if not 5 <= len(spelled) <= _LONGEST:
            return None
        close = get_close_matches(spelled, self._fuzzy, n=1, cutoff=cutoff)
        return Hit(self.exact[close[0]][0], 0.6, close[0]) if close else None

    def find(self, text: str) -> Hit | None:
        """The likeliest meaning: whole text, then a word within it, then a near spelling."""
        if text in self._cache:
            return self._cache[text]
        hit: Hit | None = None
        whole = self.whole(text)
        if whole is not None:
            hit = Hit(whole, 1.0, normal(text))
        else:
            inside = self.parts(text)
            hit = inside[0] if inside else self.near(text)
        self._cache[text] = hit
        return hit


@cache
def functions() -> Vocabulary:
    return _stemmed("functions")


@cache
def bases() -> Vocabulary:
    return _stemmed("basis")


def _stemmed(name: str) -> Vocabulary:
    lists = load(name)
    return Vocabulary(
        {meaning: spec["words"] for meaning, spec in lists.items()},
        {meaning: spec["stems"] for meaning, spec in lists.items()},
    )


@lru_cache(maxsize=4096)
def basis_meaning(text: str) -> str | None:
    """The basis a text means ("none" for not weighed), or ``None`` where it is not understood."""
    known = bases()
    whole = known.whole(text)
    if whole is not None:
        return whole
    inside = known.within(text)
    return inside[0].meaning if inside else None


@cache
def common() -> Vocabulary:
    return Vocabulary(load("common"))


@cache
def small_words(meaning: str) -> frozenset[str]:
    """The words of one small meaning ("yes", "total", "pause"), in every spelling."""
    return frozenset(s for word in load("common")[meaning] for s in spellings(word) if s)


@cache
def _blanks() -> frozenset[str]:
    return frozenset(word.lower() for word in load("common")["blank"])


def is_blank(text: str) -> bool:
    """Whether a cell says that there is nothing: "", "-", "n/a", "nicht gewogen"."""
    low = text.strip().lower()
    return low in _blanks() or (low != "" and normal(low) in _blank_words())


@cache
def _blank_words() -> frozenset[str]:
    return frozenset(s for word in load("common")["blank"] for s in spellings(word) if len(s) > 2)


def yes_no(text: str) -> bool | None:
    """Yes, no, or ``None`` where the text says neither."""
    raw = text.strip().lower()
    first = normal(raw).split(" ")[0] if normal(raw) else raw
    for word in (raw, normal(raw), first):
        if word in small_words("yes") or word in ("✓", "✔"):
            return True
        if word in small_words("no") or word in ("✗", "✘", "-", "–"):
            return False
    return None


def has_any(text: str, meaning: str) -> bool:
    """Whether a word of a small meaning stands in the text as a whole word."""
    spelled = f" {normal(text)} "
    return any(f" {word} " in spelled for word in small_words(meaning))
