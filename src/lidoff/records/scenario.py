"""Scenario: the volume, life, place and terms a cost is asked for."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Terms of an evaluation.

    ``volume`` is packs a year, ``life`` years of production. ``region``, ``currency`` and ``year``
    are those of the price book named; ``None`` takes the book's own.
    """

    volume: float = 100_000.0
    life: float = 6.0
    price_book: str = "eu-2024"
    region: str | None = None
    currency: str | None = None
    year: int | None = None
