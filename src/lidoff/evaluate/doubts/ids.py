"""Ids and places of doubts: made of what the records say, so the same doubt keeps its id."""

from __future__ import annotations

import hashlib

from ...records import Item, Pack


def doubt_id(kind: str, pack: Pack, *salient: object) -> str:
    """Id of a doubt. ``salient`` is what it hangs on: an item, and the value that looks wrong."""
    text = "|".join([kind, pack.id, *(f"{s:.9g}" if isinstance(s, float) else str(s) for s in salient)])
    return f"{kind.replace(' ', '-')}-{hashlib.blake2b(text.encode(), digest_size=4).hexdigest()}"


def place(item: Item, *readings: object) -> str:
    """Where in the bench's file a doubt is, as near as the records know."""
    origins = [str(getattr(reading, "origin", "")) for reading in readings]
    found = next((origin for origin in (*origins, item.origin) if origin), item.number)
    return cell(found)


def cell(origin: str) -> str:
    """An origin as people look it up: a cell of a workbook goes without its file.

    >>> cell("heron.xlsx!Parts!E31"), cell("marlin.csv!D14")
    ('Parts!E31', 'marlin.csv!D14')
    """
    return origin.split("!", 1)[1] if origin.count("!") > 1 else origin


def kilograms(value: float, figures: int = 3) -> str:
    """A mass as a bench would say it, to so many figures.

    >>> kilograms(0.0251), kilograms(1.602), kilograms(2.5e-5)
    ('25.1 g', '1.6 kg', '0.025 g')
    """
    if abs(value) < 1.0:
        return f"{_short(value * 1e3, figures)} g"
    return f"{_short(value, figures)} kg"


def _short(value: float, figures: int) -> str:
    """So many figures, without an exponent.

    >>> _short(1234.5, 3), _short(0.0266, 2), _short(140.2, 2)
    ('1230', '0.027', '140')
    """
    shown = f"{value:.{figures}g}"
    return f"{float(shown):.0f}" if "e+" in shown or abs(value) >= 1000.0 else shown


def millimetres(*sizes: float) -> str:
    """Sizes as written on a drawing.

    >>> millimetres(1.1, 0.2, 0.0008)
    '1100 × 200 × 0.8 mm'
    """
    return " × ".join(f"{s * 1e3:.4g}" for s in sizes) + " mm"
