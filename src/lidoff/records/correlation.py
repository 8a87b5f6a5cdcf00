"""Correlation: two numbers that are declared to move together."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Correlation:
    """``rank`` is Spearman's rank correlation, above -1 and below 1, of two random streams.

    A stream has the name of what it draws: "<item>.mass", "<item>.length", "<pack>.<fact>" for a
    reading, "price:<row>" for a price, "material:<key>:<property>". ``why`` says what the number
    rests on.
    """

    id: str
    first: str
    second: str
    rank: float
    why: str = ""
    origin: str = ""
