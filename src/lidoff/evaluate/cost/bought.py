"""Bought parts: which class of the price book a part is priced as."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path

from ...materials import Material
from ...prices import PriceBook
from ...records import Function, Item

OTHER = "bought.other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """A class that another takes the place of; empty lists ask nothing."""

    of: str
    take: str
    materials: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    functions: tuple[str, ...] = ()

    def fits(self, row: str, material: Material | None, function: Function | None) -> bool:
        key, family = ("", "") if material is None else (material.key, material.family)
        return (
            row == self.of
            and (not self.materials or any(fnmatchcase(key, pattern) for pattern in self.materials))
            and (not self.families or family in self.families)
            and (not self.functions or function in self.functions)
        )


@cache
def _instead() -> tuple[Instead, ...]:
    data = tomllib.loads((Path(__file__).parent / "bought.toml").read_text("utf-8"))
    return tuple(
        Instead(
            of=raw["of"],
            take=raw["take"],
            materials=tuple(raw.get("materials", ())),
            families=tuple(raw.get("families", ())),
            functions=tuple(raw.get("functions", ())),
        )
        for raw in data["instead"]
    )


def bought_rows(
    prices: PriceBook, item: Item, material: Material | None, function: Function | None
) -> dict[str, str]:
    """Price rows of a bought part: by its name, else by what it is made of, else of any bought part."""
    row = _class(prices, item, material, function)
    rows = {"item.price": row}
    piece = row.replace("bought.", "bought_piece.", 1)
    if piece != row and piece in prices.rows:
        rows["item.piece_price"] = piece
    return {origin: key for origin, key in rows.items() if key in prices.rows}


def _class(prices: PriceBook, item: Item, material: Material | None, function: Function | None) -> str:
    named = prices.bought_class(item.name)
    if named is not None:
        taken = (one.take for one in _instead() if one.fits(named.key, material, function))
        return next((row for row in taken if row in prices.rows), named.key)
    if material is not None and material.price in prices.rows:
        return str(material.price)
    return OTHER


def bought_note(row: str | None, item: Item) -> tuple[str, ...]:
    """What is to be said of a part that no class knows by name."""
    unknown = f"no price row knows {item.name.strip()!r}"
    if row == OTHER:
        return (f"{unknown}; priced by mass as any bought part",)
    if row is not None and row.startswith("material."):
        return (f"{unknown}; priced by mass as {row.removeprefix('material.')}",)
    return ()
