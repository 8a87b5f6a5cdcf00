"""What a bench means by the words it wrote for a material.

Words are folded (case, accents), evidence and coatings are taken out and kept; of the materials
that fit, a particular one wins over a general one and the closer spelling over the looser, so
"PA66-GF30" is never taken for "PA66" nor "Edelstahl" for plain steel.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from ..quantities import Evidence
from .table import COATINGS, MATERIALS, Material

_SPECTROMETER = re.compile(
    r"\b(xrf|oes|rfa|ftir|ir|libs|edx|eds|pmi|spectro\w*|spektro\w*|spektral\w*|funkenspektr\w*"
    r"|spettro\w*|espectro\w*)\b"
)
_HARDNESS = re.compile(
    r"\b(\d+\s*)?(hv|hb|hbw|hrc|hrb|vickers|brinell|rockwell)\s*(\d+)?\b"
    r"|\b(hardness|haerte|harte|hartepruf\w*|durete|durezza|dureza|hardheid)\b"
)
_MARKED = re.compile(
    r"\b(marked|marking|mark|markiert|markierung|gekennzeichnet|kennzeichnung|gepragt|pragung|embossed"
    r"|marque|marquage|marcato|marcatura|marcado|gemerkt)\b"
)
_HEDGED = re.compile(
    r"\b(probably|prob|likely|maybe|perhaps|assumed|guess\w*|vermutl\w*|wohl|evtl|eventuell|geschatzt"
    r"|vielleicht|angenommen|probable\w*|peut etre|forse|quiza\w*|or|oder|ou|misschien|waarschijnlijk"
    r"|tbc|unsure|unklar)\b"
)
_MARK_SIGN = re.compile(r">[^<>]+<")

#: Spellings of polyamides and fillers brought to one form before words are cut.
_REWRITES = (
    (re.compile(r"\bpa\s*[-.]?\s*6[.,/]\s*6\b"), "pa66"),
    (re.compile(r"\bpa\s*[-.]?\s*(6[.,]?12|46|4t|6t|9t|66|6|12|11)(?=\b|gf)"), r"pa\1"),
    (re.compile(r"(?<=[a-z0-9])[-+ ]*\(?\bgf\s*[-]?\s*(\d\d)\s*%?"), r" gf\1"),
    (re.compile(r"(?<=[a-z0-9])(?<!\bl)gf(\d\d)\b"), r" gf\1"),
    (re.compile(r"\b(\d\d)\s*%?\s*gf\b"), r" gf\1"),
    (re.compile(r"\b2\s*-?\s*k(?:omp\w*)?\b"), "2k"),
    (re.compile(r"\baw\s*[- ]\s*(\d{4})"), r"aw\1"),
)

_WORD = re.compile(r"[a-z0-9]+(?:[.,][0-9]+)*[a-z0-9]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recognised:
    """A material as understood. ``sure`` is false where the bench hedged or the alloy is inferred.

    ``coatings`` are keys of `COATINGS`; ``rest`` the words nothing was made of.
    """

    key: str
    evidence: Evidence
    sure: bool
    coatings: tuple[str, ...] = ()
    rest: tuple[str, ...] = ()


def _fold(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text.replace("ß", "ss").casefold())
    return "".join(c for c in plain if not unicodedata.combining(c))


@dataclass(frozen=True, slots=True)
class _Alias:
    key: str
    words: tuple[re.Pattern[str], ...]
    unsure: bool
    rank: tuple[bool, bool, bool, int]


def _word_pattern(word: str) -> re.Pattern[str]:
    """``*`` stands for any letters and figures; character classes pass through."""
    return re.compile(word.replace(".", r"\.").replace("*", "[a-z0-9.]*"))


def _alias_words(alias: str) -> tuple[re.Pattern[str], ...]:
    return tuple(_word_pattern(w) for w in _fold(alias).split())


def _rank(material: Material, alias: str) -> tuple[bool, bool, bool, int]:
    """Particular before general, sure before likely, then by letters spelt out."""
    spelt = len(re.sub(r"\[[^]]*\]|[*\s]", "", alias))
    return not material.last, not material.general, alias not in material.unsure, spelt


@lru_cache(maxsize=1)
def _aliases() -> tuple[_Alias, ...]:
    return tuple(
        _Alias(material.key, _alias_words(alias), alias in material.unsure, _rank(material, alias))
        for material in MATERIALS.values()
        for alias in material.aliases
    )


@lru_cache(maxsize=1)
def _coatings() -> tuple[tuple[str, tuple[re.Pattern[str], ...]], ...]:
    found = [(coating.key, _alias_words(alias)) for coating in COATINGS.values() for alias in coating.aliases]
    return tuple(sorted(found, key=lambda entry: -len(entry[1])))  # "zn plated" before "zn"


def _evidence(folded: str) -> tuple[Evidence, bool, str]:
    """Evidence, whether hedged, and the text without the words that said so."""
    hedged = "?" in folded or _HEDGED.search(folded) is not None
    by_mark = bool(_MARK_SIGN.search(folded) or _MARKED.search(folded))
    by_light = _SPECTROMETER.search(folded) is not None
    by_hardness = _HARDNESS.search(folded) is not None
    for pattern in (_HEDGED, _MARKED, _SPECTROMETER, _HARDNESS):
        folded = pattern.sub(" ", folded)
    if by_mark:
        return Evidence.MARKED, hedged, folded
    if by_light:
        return Evidence.SPECTROMETER, hedged, folded
    if by_hardness:
        return Evidence.HARDNESS, hedged, folded
    return (Evidence.GUESSED if hedged else Evidence.STATED), hedged, folded


def _take_coatings(words: list[str]) -> tuple[list[str], tuple[str, ...]]:
    """Words without coatings. The first word names the material and is never a coating alone."""
    found: list[str] = []
    for key, pattern in _coatings():
        start = 0 if len(pattern) > 1 else 1
        while start + len(pattern) <= len(words):
            if all(p.fullmatch(w) for p, w in zip(pattern, words[start:], strict=False)):
                del words[start : start + len(pattern)]
                found.append(key)
            else:
                start += 1
    return words, tuple(dict.fromkeys(found))


def _best(words: list[str]) -> tuple[_Alias, set[int]] | None:
    """The alias of highest rank; of equals the one whose first word stands first."""
    best: tuple[tuple[tuple[bool, bool, bool, int], int], _Alias, set[int]] | None = None
    for alias in _aliases():
        places: set[int] = set()
        for pattern in alias.words:
            place = next(
                (n for n, word in enumerate(words) if n not in places and pattern.fullmatch(word)), None
            )
            if place is None:
                break
            places.add(place)
        else:
            rank = (alias.rank, -min(places))
            if best is None or rank > best[0]:
                best = (rank, alias, places)
    return None if best is None else (best[1], best[2])


@lru_cache(maxsize=8192)
def recognise(text: str) -> Recognised | None:
    """What material a bench's words mean, or ``None`` where they say nothing known.

    >>> recognise("PA66-GF30 (marked)")
    Recognised(key='pa66_gf30', evidence=<Evidence.MARKED: 'marked'>, sure=True, coatings=(), rest=())
    """
    evidence, hedged, folded = _evidence(_fold(text[:300]))
    for pattern, form in _REWRITES:
        folded = pattern.sub(form, folded)
    words, coatings = _take_coatings(_WORD.findall(folded))
    best = _best(words)
    if best is None:
        return None
    alias, places = best
    key = alias.key
    for material in MATERIALS.values():
        if material.of == key and material.coating in coatings:
            key = material.key
    rest = tuple(w for n, w in enumerate(words) if n not in places)
    return Recognised(
        key=key, evidence=evidence, sure=not (hedged or alias.unsure), coatings=coatings, rest=rest
    )
