"""By function: mass and cost of every pack rolled up, with a scope that may be switched."""

from __future__ import annotations

from ...compare.sums import ELEMENTS
from ...evaluate import CostStatus, Money
from ...records import FUNCTIONS, Function
from .binder import Binder, PackSheets
from .page import Page, cells_from
from .style import by_size, money

NAME, SCOPE, FIRST = range(3)
#: Columns of a pack.
_KINDS = ("mass", "cost_piece", "cost_tooling_per_piece", "tooling_investment")
_PER_KWH = ("mass", "cost_piece")
_SUMMED = {"cost_piece": "piece", "cost_tooling_per_piece": "tooling piece", "tooling_investment": "tooling"}
_ROWS: tuple[Function | None, ...] = (*(f for f in FUNCTIONS if f is not Function.COOLANT), None)


def by_function(binder: Binder) -> None:
    wide = len(_KINDS)
    page = binder.page("By function", (24, 9, *(12 for _ in range(wide * len(binder.packs)))))
    page.head(
        "By function",
        "What each function weighs and costs. Write 1 or 0 under Scope to take a function into the "
        "comparison or leave it out; coolant is never in it. Lines whose function is not known "
        "stand in the last row.",
        binder.back,
    )
    currency = binder.prices.currency
    heads = [("Function", False), ("Scope", True)]
    for pack in binder.packs:
        heads += [
            (f"{pack.name}\nmass, kg", True),
            (f"{pack.name}\npiece, {currency}", True),
            (f"{pack.name}\ntooling/pack", True),
            (f"{pack.name}\ninvestment", True),
        ]
    page.columns(heads, freeze=1, height=30)
    first = page.row
    for function in _ROWS:
        _function(binder, page, function, first)
        page.row += 1
    last = page.row - 1
    _sums(binder, page, first, last)


def _in_scope(binder: Binder, function: Function | None) -> bool:
    if binder.comparison is None:
        return True
    if function is None:
        return not binder.comparison.like_for_like and not any(
            left.function is None for left in binder.comparison.left_out
        )
    return function in binder.comparison.scope


def _value(pack: PackSheets, kind: str, functions: list[Function | None]) -> float:
    if kind == "mass":
        return sum(
            line.mass
            for line in pack.found.mass_lines
            if line.function in functions and line.mass is not None
        )
    total = 0.0
    for line in pack.found.cost_lines:
        money: Money | None = getattr(line, ELEMENTS[kind])
        if line.function in functions and line.status is CostStatus.COSTED and money is not None:
            total += money.value
    return total


def _column(place: int, kind: str) -> int:
    return FIRST + len(_KINDS) * place + _KINDS.index(kind)


def _look(kind: str, value: float) -> str:
    return by_size(value) if kind == "mass" else money(value)


def _spans(page: Page, pack: PackSheets, kind: str) -> tuple[str, str] | None:
    """The range to sum and the range of functions beside it, ``None`` where nothing is costed."""
    keys = ("parts mass", "parts function") if kind == "mass" else (f"cost {_SUMMED[kind]}", "cost function")
    if not all(key in pack.columns for key in keys):
        return None
    summed, functions = (pack.columns[key] for key in keys)
    return cells_from(page.name, summed.first, summed.last), cells_from(
        page.name, functions.first, functions.last
    )


def _function(binder: Binder, page: Page, function: Function | None, first: int) -> None:
    page.say(NAME, "not known" if function is None else str(function))
    cell = page.put(SCOPE, float(_in_scope(binder, function)), look="0")
    allowed = {"validate": "integer", "criteria": "between", "minimum": 0, "maximum": 1}
    page.sheet.data_validation(cell.row, cell.column, cell.row, cell.column, allowed)
    for place, pack in enumerate(binder.packs):
        for kind in _KINDS:
            column = _column(place, kind)
            spans = _spans(page, pack, kind)
            if spans is None:
                page.say(column, "")
                continue
            summed, functions = spans
            value = _value(pack, kind, [function])
            if function is not None:
                _one(page, pack, kind, function, column, spans)
            else:
                above = cells_from(page.name, page.at(column, first), page.at(column, page.row - 1))
                formula = f'SUM({summed})-SUMIFS({summed},{functions},"{Function.COOLANT}")-SUM({above})'
                page.work(column, formula, value, look=_look(kind, value))


def _one(
    page: Page, pack: PackSheets, kind: str, function: Function, column: int, spans: tuple[str, str]
) -> None:
    """A function's sum, or that it has none: no cost is not a cost of zero."""
    summed, functions = spans
    name, value = page.at(NAME).seen_from(page.name), _value(pack, kind, [function])
    total = f"SUMIFS({summed},{functions},{name})"
    if kind == "mass":
        there, none, lacks = value != 0.0, "none", f"{total}=0"
    else:
        costed = [
            one
            for one in pack.found.cost_lines
            if one.function is function and one.status is CostStatus.COSTED
        ]
        flags = pack.columns["cost costed"]
        span = cells_from(page.name, flags.first, flags.last)
        there, none, lacks = bool(costed), "not costed", f"COUNTIFS({functions},{name},{span},1)=0"
    shown = value if there else none
    page.work(column, f'IF({lacks},"{none}",{total})', shown, look=_look(kind, value) if there else None)


def _sums(binder: Binder, page: Page, first: int, last: int) -> None:
    """All that is dry, and what is in the scope, with what it comes to per kWh."""
    scope = cells_from(page.name, page.at(SCOPE, first), page.at(SCOPE, last))
    chosen = [function for function in _ROWS if _in_scope(binder, function)]
    for label in ("All, coolant apart", "In the scope"):
        page.say(NAME, label, "total text")
        page.say(SCOPE, "", "total text")
        for place, pack in enumerate(binder.packs):
            for kind in _KINDS:
                column = _column(place, kind)
                if _spans(page, pack, kind) is None:
                    page.say(column, "", "total text")
                    continue
                span = cells_from(page.name, page.at(column, first), page.at(column, last))
                whole = label.startswith("All")
                value = _value(pack, kind, list(_ROWS) if whole else chosen)
                formula = f"SUM({span})" if whole else f"SUMPRODUCT({scope},{span})"
                page.work(column, formula, value, "total", look=_look(kind, value))
        page.row += 1
    page.say(NAME, "In the scope, per kWh")
    page.say(SCOPE, "")
    for place, pack in enumerate(binder.packs):
        energy = pack.found.figures.get("energy_nominal")
        for kind in _KINDS:
            column = _column(place, kind)
            if energy is None or not energy.value or _spans(page, pack, kind) is None or kind not in _PER_KWH:
                page.say(column, "")
                continue
            above = page.at(column, page.row - 1).seen_from(page.name)
            value = _value(pack, kind, chosen) / energy.value
            formula = f"{above}/{pack.figures['energy_nominal'].ref.seen_from(page.name)}"
            page.work(column, formula, value, look=_look(kind, value))
    page.row += 1
