"""Number literals as people write them: decimal points and commas, thousands, missing zeros.

"1,630" is one thousand six hundred and thirty on one bench and 1.63 on the next. `decimal_mark`
finds a file's habit from its other numbers; `read_number` reads one literal by that habit and says
when it could not tell.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass


class QuantityError(ValueError):
    """A text that means to be a number and cannot be one; the message is a sentence."""


#: Spaces that group thousands whatever stands around them: no-break, narrow, thin, figure space.
HARD_SPACES = "\u00a0\u202f\u2009\u2007"
_TIDY = str.maketrans(
    {"−": "-", "﹣": "-", "－": "-", "’": "'", "`": "'", "´": "'", "\u2126": "Ω", "\u03bc": "µ"}
)

#: One literal. A plain space groups thousands only behind one or two leading digits ("1 630",
#: "41 280"), since "112 121 118" is a list of readings.
LITERAL = (
    rf"(?:\d{{1,3}}(?:[{HARD_SPACES}']\d{{3}})+(?!\d)(?:[.,]\d+)?"
    r"|\d{1,2}(?: \d{3})+(?:[.,]\d+)?(?![.,]?\d| \d)"
    r"|\d{1,3}(?:,\d{3})+(?:\.\d+)?(?![\d,])"
    r"|\d{1,3}(?:\.\d{3})+(?:,\d+)?(?![\d.])"
    r"|\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d+)?"
)
_PLAIN = re.compile(r"[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?")
_PARTS = re.compile(r"([+-]?)([\d.,]*?)((?:[eE][+-]?\d+)?)")


@dataclass(frozen=True, slots=True)
class Number:
    """A literal's value, and the other value it might have where its mark is unsure."""

    value: float
    alternative: float | None = None


def tidy(text: str) -> str:
    """Minus signs and apostrophes in one spelling."""
    return text.translate(_TIDY)


def finite(value: float, text: str) -> float:
    """``value`` unless it is no finite number. Raises `QuantityError`."""
    if not math.isfinite(value):
        raise QuantityError(f"{text.strip()!r} is not a finite number")
    return value


def _reading(body: str, mark: str) -> float:
    """The literal with ``mark`` as decimal mark and the other as thousands."""
    other = "," if mark == "." else "."
    return float(body.replace(other, "").replace(mark, "."))


def _single_mark(body: str, mark: str, exponent: str, decimal: str | None) -> Number:
    """A literal with one kind of mark, written once."""
    whole, _, fraction = body.partition(mark)
    as_decimal = float(f"{whole or '0'}.{fraction}{exponent}")
    if len(fraction) != 3 or len(whole) > 3 or whole.strip("0") == "" or exponent:
        return Number(as_decimal)
    as_thousands = float(whole + fraction)
    if decimal is None:
        # A lone point is taken as decimal, a lone comma as thousands; either is unsure.
        return Number(as_decimal, as_thousands) if mark == "." else Number(as_thousands, as_decimal)
    return Number(as_decimal) if mark == decimal else Number(as_thousands)


def read_number(text: str, decimal: str | None = None) -> Number:
    """Read one literal; ``decimal`` is the file's decimal mark ("." or ","), ``None`` if unknown.

    Raises `QuantityError` where the text is no finite number.
    """
    work = tidy(text).strip()
    if _PLAIN.fullmatch(work) and ("." not in work or decimal == "."):
        return Number(finite(float(work), text))
    for space in HARD_SPACES + "' ":
        work = work.replace(space, "")
    found = _PARTS.fullmatch(work)
    if not found or not any(c.isdigit() for c in found.group(2)):
        raise QuantityError(f"{text.strip()!r} is not a number")
    sign, body, exponent = found.groups()
    grouped = len(work) < len(text.strip())  # spaces or apostrophes already grouped the thousands
    commas, points = body.count(","), body.count(".")
    try:
        if commas and points:
            mark = "," if body.rfind(",") > body.rfind(".") else "."
            number = Number(_reading(body + exponent, mark))
        elif commas > 1 or points > 1:
            number = Number(float(body.replace(",", "").replace(".", "") + exponent))
        elif commas or points:
            mark = "," if commas else "."
            number = _single_mark(body, mark, exponent, mark if grouped else decimal)
        else:
            number = Number(float(body + exponent))
    except ValueError as error:
        raise QuantityError(f"{text.strip()!r} is not a number") from error
    factor = -1.0 if sign == "-" else 1.0
    other = None if number.alternative is None else factor * number.alternative
    return Number(factor * finite(number.value, text), other)


_LITERAL = re.compile(rf"(?<![\w.,])[+-]?{LITERAL}(?![\w]*[.,]\d)")
#: Longer texts are no single numbers and have no vote.
_LONGEST = 200
_MARKED = re.compile(r"(?<![\w.,])(\d*)([.,])(\d+)(?![\d.,])")
_BOTH = re.compile(r"\d[.,]\d{3}([.,])\d")


def mark_votes(texts: Iterable[str]) -> tuple[int, int]:
    """How many literals can only be read with a decimal point, and how many only with a comma.

    A list such as "1.8,1.7" votes by its points; a mark before exactly three digits does not vote.
    """
    points = commas = 0
    for text in texts:
        if len(text) > _LONGEST:
            continue
        both = _BOTH.search(text)
        if both:
            if both.group(1) == ",":
                commas += 1
            else:
                points += 1
            continue
        for whole, mark, fraction in _MARKED.findall(text):
            if len(fraction) == 3 and len(whole) <= 3 and whole.strip("0"):
                continue
            if mark == ",":
                commas += 1
            else:
                points += 1
    return points, commas


def decimal_mark(texts: Iterable[str]) -> str | None:
    """The decimal mark that a set of number texts shows, or ``None`` where they show neither."""
    points, commas = mark_votes(texts)
    if points == commas:
        return None
    return "." if points > commas else ","
