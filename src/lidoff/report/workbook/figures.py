"""Figures: every figure of every pack as a formula, beside the interval it was issued with."""

from __future__ import annotations

from ...evaluate.names import FIGURES
from ...pictures.numbers import unit_text
from .binder import Binder, Cell, PackSheets, Range
from .cost import PACK
from .figure_formulas import Formulas
from .page import Page, Ref, cells_from
from .style import by_size, money

TITLE, UNIT, FIRST = range(3)
#: Columns of a pack: value, low, high, the way to its lines.
_WIDE = 4


def figures(binder: Binder) -> None:
    two = len(binder.packs) == 2
    widths = [30, 11, *(w for _ in binder.packs for w in (13, 11, 11, 7)), *([13] if two else []), 60]
    page = binder.page("Figures", widths)
    page.head(
        "Figures",
        "Values follow the workbook. Low and high are the bounds of the 95 % interval at issue, from samples "
        "that a spreadsheet cannot draw: they stand still, and belong to a value no more once an input was "
        "changed.",
        (("Cover", Ref("Cover", 0, 0)),),
    )
    _heads(binder, page, two)
    names = [name for name in FIGURES if any(_value(pack, name) is not None for pack in binder.packs)]
    for number, name in enumerate(names):
        for place, pack in enumerate(binder.packs):
            if _value(pack, name) is not None and name not in pack.figures:
                ref = Ref(page.name, page.row + number, FIRST + _WIDE * place)
                pack.figures[name] = Cell(ref, PACK)
    for name in names:
        _row(binder, page, name, two)
        page.row += 1
    _covers(binder, page)


def _heads(binder: Binder, page: Page, two: bool) -> None:
    heads = [("Figure", False), ("Unit", False)]
    for pack in binder.packs:
        heads += [(pack.name, True), ("low\nat issue", True), ("high\nat issue", True), ("Lines", False)]
    if two:
        heads.append((f"{binder.packs[0].name} less\n{binder.packs[1].name}", True))
    page.columns([*heads, ("Means", False)], freeze=1, height=30)


def _value(pack: PackSheets, name: str) -> float | None:
    figure = pack.found.figures.get(name)
    return None if figure is None else figure.value


def _row(binder: Binder, page: Page, name: str, two: bool) -> None:
    page.say(TITLE, FIGURES[name].title)
    unit = next((f.unit for p in binder.packs if (f := p.found.figures.get(name)) is not None), "")
    page.say(UNIT, unit_text(unit), "unit")
    there: list[Ref | None] = []
    for place, pack in enumerate(binder.packs):
        there.append(_cells(page, pack, name, FIRST + _WIDE * place))
    last = FIRST + _WIDE * len(binder.packs)
    if two:
        _difference(binder, page, name, there, last)
        last += 1
    page.say(last, FIGURES[name].means, "soft")


def _cells(page: Page, pack: PackSheets, name: str, column: int) -> Ref | None:
    figure = pack.found.figures.get(name)
    if figure is None or figure.value is None:
        page.say(column, "", "soft")
        page.say(column + 1, "missing" if figure is not None else "", "soft")
        for more in (2, 3):
            page.say(column + more, "")
        return None
    cells = {key: cell.ref.seen_from(page.name) for key, cell in pack.figures.items()}
    look = _look(name, figure.value)
    ref = page.work(column, _formula(page, pack, name, cells), figure.value, "figure", look=look)
    for more, bound in ((1, figure.low), (2, figure.high)):
        if bound is None:
            page.say(column + more, "")
        else:
            page.put(column + more, bound, "issued", look=look)
    target = Ref(pack.names["cost" if _is_cost(name) else "parts"], 0, 0)
    page.link(column + 3, target, "see")
    return ref


def _is_cost(name: str) -> bool:
    return name.startswith("cost_") or name == "tooling_investment"


def _formula(page: Page, pack: PackSheets, name: str, cells: dict[str, str]) -> str:
    if name == "cost_per_kwh":
        return f"{cells['cost_piece']}/{cells['energy_nominal']}"
    if _is_cost(name):
        return pack.figures[name].ref.seen_from(page.name)
    formula = Formulas(pack, page.name, cells).formula(name)
    if formula is None:
        raise ValueError(f"the workbook has no formula for the figure {name!r}")
    return formula


def _look(name: str, value: float) -> str:
    return money(value) if _is_cost(name) else by_size(value)


def _difference(binder: Binder, page: Page, name: str, there: list[Ref | None], column: int) -> None:
    first, second = there
    values = [_value(pack, name) for pack in binder.packs]
    if first is None or second is None or values[0] is None or values[1] is None:
        page.say(column, "")
        return
    formula = f"{first.seen_from(page.name)}-{second.seen_from(page.name)}"
    page.work(column, formula, values[0] - values[1], look=_look(name, values[0]))


def _covers(binder: Binder, page: Page) -> None:
    """How much of each pack the cost stands for."""
    page.row += 1
    for label, key in (("Costed, share of dry lines", "lines"), ("Costed, share of dry mass", "mass")):
        page.say(TITLE, label)
        page.say(UNIT, "", "unit")
        for place, pack in enumerate(binder.packs):
            column = FIRST + _WIDE * place
            piece = pack.found.figures.get("cost_piece")
            covers = None if piece is None else piece.covers
            if covers is None or "cost costed" not in pack.columns:
                continue
            costed, dry, mass = (_span(page, pack.columns[f"cost {k}"]) for k in ("costed", "dry", "mass"))
            if key == "lines":
                page.work(column, f"SUMIFS({costed},{dry},1)/SUM({dry})", covers.lines, "figure", look="0.0%")
            else:
                formula = f"SUMIFS({mass},{dry},1,{costed},1)/SUMIFS({mass},{dry},1)"
                page.work(column, formula, covers.mass, "figure", look="0.0%")
        page.row += 1


def _span(page: Page, there: Range) -> str:
    return cells_from(page.name, there.first, there.last)
