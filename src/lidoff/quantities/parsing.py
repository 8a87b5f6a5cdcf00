"""Quantities as a bench writes them: "1.2 kg", "~450", "0.78-0.82", "2560 x 1350 x 128 mm".

`scan` reads every quantity of a text, `parse_quantity` the first. Values stay in the unit as
written; converting is the caller's, who knows which dimension is wanted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from .numbers import HARD_SPACES, LITERAL, Number, QuantityError, finite, read_number, tidy
from .units import UnitError, parse_unit
from .written import count_words, unit_word

__all__ = ["Parsed", "QuantityError", "parse_quantity", "scan"]


#: Characters of a text in which quantities are looked for.
LONGEST = 2000
_ENDLESS = re.compile(r"\d{40}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Parsed:
    """One quantity, or several of one unit ("2560 x 1350 mm", "8.6 8.9 9.4").

    ``unit`` is "" where none was written, "part" for a bare count ("62x", "11 off"). ``low`` and
    ``high`` bound a stated range; then the single value is the stated nominal or the middle.
    ``plus_minus`` is a stated half-width, ``deviation`` a stated standard deviation, ``count`` the
    number of observations. ``alternatives`` are the values under the other decimal mark where the
    text alone cannot tell. ``bound`` is "<" or ">". ``rest`` are the words left over.
    """

    values: tuple[float, ...]
    unit: str = ""
    low: float | None = None
    high: float | None = None
    plus_minus: float | None = None
    deviation: float | None = None
    count: int = 1
    approximate: bool = False
    bound: str = ""
    product: bool = False
    alternatives: tuple[float, ...] = ()
    rest: str = ""

    @property
    def value(self) -> float:
        return self.values[0]

    @property
    def single(self) -> bool:
        return len(self.values) == 1


_APPROXIMATE = re.compile(
    r"(?:^|(?<=[\s(:=]))(?:~|≈|±(?=\s*\d+\s*$)|(?:ca|circa|approx|approximately|about|abt|roughly|etwa|"
    r"ungef(?:ähr)?|rund|env|environ|aprox|aproximadamente|est|estimated|gesch|geschätzt|zirka|"
    r"ongeveer|stimato|estimé)\b\.?)\s*",
    re.IGNORECASE,
)
_STATISTICS = re.compile(
    r"[\s(,;]*\b(?:n\s*=\s*(?P<n>\d{1,6}))?[\s,;]*"
    r"(?:(?<![\w.])(?:(?:sd|std|stdev|sigma|σ)\s*[=:]?|s\s*=)\s*(?P<sd>\d*[.,]?\d+))?\s*\)?",
    re.IGNORECASE,
)
_NOMINAL = re.compile(
    rf"^[\s,;(]*(?:nominal|nom|typical|typ|nenn(?:ma(?:ß|ss))?|mostly|meist|mean|mittel)\b\.?:?\s*(?P<x>{LITERAL})",
    re.IGNORECASE,
)
#: A number; one glued behind "2143x" counts only where that was a number itself (no "M6x16").
_NUMBER = re.compile(rf"(?:(?<![\w.,])|(?<=\d[xX×*]))(?P<sign>[+-](?=[\d.,]))?(?P<number>{LITERAL})")
_UNIT = re.compile(r"\s*(?P<unit>[A-Za-zÄÖÜäöüßµμΩ°%\"'][^\s,;:()\[\]+±=<>~]*\.?|\[[^\]]{1,12}\])")
_GLUE_RANGE = re.compile(r"\s*(?:-|–|—|\.{2,3}|…|\bto\b|\bbis\b|\bà\b|\btot\b)\s*", re.IGNORECASE)
_GLUE_TIMES = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)
_GLUE_SPREAD = re.compile(r"\s*\(?(?:\+\s*/\s*-|±|\+-)\s*")
_GLUE_LIST = re.compile(r"\s*[;/|&]\s*|\s*,\s+|\s+|\s*\+\s*")
_FRACTION = re.compile(
    r"(?:(\d{1,6})\s+)?(\d{1,2})\s?/\s?(\d{1,3})(?=\s*(?:\"|''|in\b|inch|zoll|ft\b))", re.IGNORECASE
)
_VULGAR = {"½": ".5", "¼": ".25", "¾": ".75", "⅛": ".125", "⅜": ".375", "⅝": ".625", "⅞": ".875"}
_NOT_A_NUMBER = re.compile(r"\s*[+-]?(?:nan|inf|infinity|unendlich)\b", re.IGNORECASE)
_BOUND = re.compile(
    r"^\s*(?:(?P<less><=?|≤|(?:max|höchstens)\b\.?(?=\s*[\d.]))"
    r"|(?P<more>>=?|≥|(?:min|mindestens)\b\.?(?=\s*[\d.])))",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Token:
    number: Number
    unit: str
    start: int
    end: int


def _fractions(text: str) -> str:
    """Vulgar and inch fractions as decimals: ``1 1/2"`` becomes ``1.5"``."""
    for sign, decimal in _VULGAR.items():
        if sign in text:
            text = re.sub(rf"\s?{sign}", decimal, text)

    def spelled(match: re.Match[str]) -> str:
        whole, top, bottom = (int(g or 0) for g in match.groups())
        return repr(whole + top / bottom) if bottom else match.group()

    return _FRACTION.sub(spelled, text)


def _unit_after(text: str, position: int) -> tuple[str, int]:
    """The unit that starts at ``position`` and where it ends; "" where there is none."""
    found = _UNIT.match(text, position)
    if not found:
        return "", position
    word = found.group("unit")
    two = re.match(r"\s*(N\s?m|deg\s?[CF]|sq\.?\s?mm|fl\.?\s?oz)\b", text[position:])
    if two:
        return {"N": "N*m", "d": "deg" + two.group(1)[-1], "s": "mm**2", "f": "floz"}[two.group(1)[0]], (
            position + two.end()
        )
    for cut in (word, word.rstrip(".:"), re.split(r"[/x×](?=\d)|-", word)[0], word.split("/")[0]):
        unit = unit_word(cut)
        if unit:
            end = found.start("unit") + len(cut)
            if cut in "xX×" and re.match(r"\s*\d", text[end:]):
                return "", position  # "1.9 x 2.6" multiplies
            if cut == "in" and re.match(r"\s+[A-Za-z]{2,}", text[end:]):
                return "", position  # "9 in parallel" is no nine inches
            return unit, end
    return "", position


def _tokens(text: str, decimal: str | None) -> list[_Token]:
    """All numbers of the text, each with the unit written behind it."""
    tokens: list[_Token] = []
    position = 0
    while True:
        found = _NUMBER.search(text, position)
        if not found:
            return tokens
        number = read_number(found.group("number"), decimal)
        finite(number.value, found.group("number"))
        start = found.start()
        if start and text[start - 1] in "xX×*" and not (tokens and tokens[-1].end == start - 1):
            position = found.end()
            continue
        if found.group("sign") == "-":
            between = text[tokens[-1].end : start] if tokens else "-"
            if tokens and not between.strip():  # "0.3 -0.8" is a range, not a negative number
                start += 1
            else:
                other = None if number.alternative is None else -number.alternative
                number = Number(-number.value, other)
        unit, end = _unit_after(text, found.end())
        tokens.append(_Token(number, unit, start, end))
        position = end


def _compound(first: _Token, second: _Token, between: str) -> Number | None:
    """The sum of "2 lb 3 oz", "1 h 5 min": like units, falling, side by side."""
    if between.strip() or not first.unit or not second.unit or first.unit == second.unit:
        return None
    try:
        large, small = parse_unit(first.unit), parse_unit(second.unit)
    except UnitError:
        return None
    if large.dimension != small.dimension or large.dimension.is_number or large.factor <= small.factor:
        return None
    if second.number.value * small.factor >= large.factor:
        return None
    return Number(first.number.value + second.number.value * small.factor / large.factor)


def _joined(tokens: list[_Token], text: str) -> list[_Token]:
    """Compound quantities summed into one token."""
    out: list[_Token] = []
    for token in tokens:
        if out:
            total = _compound(out[-1], token, text[out[-1].end : token.start])
            if total is not None:
                out[-1] = _Token(total, out[-1].unit, out[-1].start, token.end)
                continue
        out.append(token)
    return out


@dataclass(slots=True)
class _Group:
    """One quantity being gathered from tokens."""

    text: str
    values: list[Number]
    units: list[str]
    end: int
    low: float | None = None
    high: float | None = None
    plus_minus: float | None = None
    product: bool = False
    done: bool = False

    @property
    def unit(self) -> str:
        return next((u for u in self.units if u), "")

    def take(self, token: _Token) -> bool:
        """Take the next token in, where what stands between says that it belongs."""
        if self.done or (self.unit == "part" and len(self.values) == 1):
            return False
        glue = self.text[self.end : token.start]
        if _GLUE_SPREAD.fullmatch(glue):
            return self._spread(token)
        number, unit = token.number, token.unit
        times = _GLUE_TIMES.fullmatch(glue) is not None
        if times and self.unit and unit and _scale(unit, self.unit) != 1.0:  # "6.3 m x 14 mm"
            number, unit = Number(number.value * _scale(unit, self.unit)), self.unit
        if self.unit and unit and unit != self.unit:
            return False
        if len(self.values) == 1 and _GLUE_RANGE.fullmatch(glue):
            self.low, self.high = sorted((self.values[0].value, number.value))
            self.values = [Number((self.low + self.high) / 2.0)]
        elif times and self.low is None and not (self.units[-1] and not unit):
            self.values.append(number)
            self.product = True
        elif _GLUE_LIST.fullmatch(glue) and self.low is None and not self.product:
            if unit and self.units[-1] != unit and any(self.units):
                return False
            self.values.append(number)
        else:
            return False
        self.units.append(unit)
        self.end = token.end
        return True

    def _spread(self, token: _Token) -> bool:
        """What stands behind ±, with a unit that may follow a closing bracket."""
        self.plus_minus = abs(token.number.value) * _scale(token.unit, self.unit)
        self.end = token.end + (self.text[token.end : token.end + 1] == ")")
        after, behind = _unit_after(self.text, self.end)
        bare = not self.unit and not token.unit
        self.units.append(token.unit)
        if bare and after:
            self.units.append(after)
            self.end = behind
        self.done = True
        return True


def _group(tokens: list[_Token], at: int, text: str, decimal: str | None) -> tuple[Parsed, int]:
    """The quantity that starts at token ``at``, and the index behind it."""
    first = tokens[at]
    group = _Group(text, [first.number], [first.unit], first.end)
    index = at + 1
    while index < len(tokens) and group.take(tokens[index]):
        index += 1
    said = _qualified(text, group.end, group.low is not None, decimal)
    while index < len(tokens) and tokens[index].start < said.end:
        index += 1
    doubtful = first.number.alternative is not None and group.low is None
    numbers = tuple(v.value for v in group.values)
    parsed = Parsed(
        values=numbers if said.nominal is None else (said.nominal,),
        unit=group.unit,
        low=group.low,
        high=group.high,
        plus_minus=group.plus_minus,
        deviation=said.deviation,
        count=said.count,
        product=group.product,
        alternatives=tuple(v.value if v.alternative is None else v.alternative for v in group.values)
        if doubtful
        else (),
        rest=text[said.end : tokens[index].start if index < len(tokens) else None].strip(" ,;"),
    )
    return parsed, index


def _scale(unit: str, wanted: str) -> float:
    """Factor from ``unit`` to ``wanted``; 1 where either is unsaid or they do not fit."""
    if not unit or not wanted or unit == wanted:
        return 1.0
    try:
        source, target = parse_unit(unit), parse_unit(wanted)
    except UnitError:
        return 1.0
    return source.factor / target.factor if source.dimension == target.dimension else 1.0


@dataclass(frozen=True, slots=True)
class _Said:
    """What qualifies a quantity behind it, and where that ends."""

    end: int
    nominal: float | None = None
    deviation: float | None = None
    count: int = 1


def _qualified(text: str, end: int, ranged: bool, decimal: str | None) -> _Said:
    """Read a nominal behind a range, and "(n=6, sd .03)"."""
    nominal = deviation = None
    count = 1
    named = _NOMINAL.match(text[end:]) if ranged else None
    if named:
        nominal = read_number(named.group("x"), decimal).value
        end += named.end()
    statistics = _STATISTICS.match(text[end:])
    if statistics and (statistics.group("n") or statistics.group("sd")):
        count = int(statistics.group("n") or 1)
        if statistics.group("sd"):
            deviation = read_number(statistics.group("sd"), decimal).value
        end += statistics.end()
    return _Said(end, nominal, deviation, count)


@lru_cache(maxsize=65536)
def scan(text: str, *, decimal: str | None = None) -> tuple[Parsed, ...]:
    """Every quantity of a text, in order. Raises `QuantityError` for 1e400, nan, inf.

    Only the first `LONGEST` characters are looked at.
    """
    if _ENDLESS.search(text):
        raise QuantityError(f"{text.strip()[:20]!r}… has too many digits for a number")
    text = text[:LONGEST]
    work = _fractions(tidy(text))
    if _NOT_A_NUMBER.match(work):
        raise QuantityError(f"{text.strip()!r} is not a finite number")
    for space in HARD_SPACES:
        work = re.sub(rf"{space}(?!\d{{3}})", " ", work)
    bound = _BOUND.match(work)
    if bound:
        work = work[bound.end() :]
    work = re.sub(r"^\s*-\s+(?=[\d.,])", "-", work)
    approximate = False
    for found in _APPROXIMATE.finditer(work):
        approximate = True
        work = work[: found.start()] + " " * (found.end() - found.start()) + work[found.end() :]
    work = re.sub(r"(?<![\w])[x×](?=\d)", " ", work)  # "x62" counts as "62x" does
    tokens = _joined(_tokens(work, decimal), work)
    groups: list[Parsed] = []
    index = 0
    while index < len(tokens):
        group, index = _group(tokens, index, work, decimal)
        groups.append(group)
    if not groups:
        return ()
    changes: dict[str, object] = {"approximate": approximate or groups[0].rest.startswith("?")}
    if bound:
        changes["bound"] = "<" if bound.group("less") else ">"
    lead = work[: tokens[0].start].strip(" ,;:(")
    if lead:
        changes["rest"] = f"{lead} {groups[0].rest}".strip()
    groups[0] = replace(groups[0], **changes)  # type: ignore[arg-type]
    return tuple(groups)


def parse_quantity(text: str, *, decimal: str | None = None) -> Parsed | None:
    """The first quantity of a text, or ``None`` where it holds no number.

    ``decimal`` is the decimal mark the file is known to use ("." or ","). What stands behind the
    first quantity is in ``rest``. Raises `QuantityError` for what is no finite number (1e400, nan).
    """
    groups = scan(text, decimal=decimal)
    return groups[0] if groups else None


def is_count(unit: str) -> bool:
    """Whether a unit word counts pieces ("off", "Stk", "x")."""
    return unit == "part" or unit.lower() in count_words()
