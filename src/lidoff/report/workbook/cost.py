"""Cost of a pack: one row a line, money per pack as formulas, sums on top."""

from __future__ import annotations

from collections.abc import Mapping

from ...evaluate import CostLine, CostStatus, Money
from ...evaluate.cost.route import TOOLING
from ...methods.spreadsheet import converted
from ...quantities import parse_unit
from ...records import Function
from .binder import Binder, Cell, PackSheets, Range
from .page import Page, Ref, cells_from
from .rates import PROGRAMME
from .style import money
from .working import EACH, MONEY

(
    NUMBER, NAME, FUNCTION, PIECES, MASS, MATERIAL, LABOUR, BURDEN, MARKUP, PACKAGING, PIECE, TOOL_PIECE,
    TOOL_ALL, COSTED, DRY, ROUTE, NOTE,
) = range(17)  # fmt: skip
_ELEMENTS: Mapping[str, int] = {
    "material": MATERIAL, "labour": LABOUR, "burden": BURDEN, "markup": MARKUP, "packaging": PACKAGING,
}  # fmt: skip
_SUMMED = (*_ELEMENTS.values(), PIECE, TOOL_PIECE, TOOL_ALL)
_FIGURES: Mapping[str, int] = {
    "cost_piece": PIECE, "cost_material": MATERIAL, "cost_labour": LABOUR, "cost_burden": BURDEN,
    "cost_markup": MARKUP, "cost_packaging": PACKAGING, "cost_tooling_per_piece": TOOL_PIECE,
    "tooling_investment": TOOL_ALL,
}  # fmt: skip
PACK = parse_unit("money")


def place(binder: Binder, pack: PackSheets) -> Page:
    """Settle the rows of the cost lines, so that workings may point at them."""
    widths = (9, 40, 12, 8, 10, 10, 9, 9, 9, 10, 11, 11, 14, 8, 7, 40, 60)
    page = binder.page(pack.names["cost"], widths)
    currency = binder.prices.currency
    page.head(
        f"{pack.name}: cost",
        f"{currency} of {binder.prices.year} per pack: piece cost times pieces in the pack, tooling beside "
        "it. A line that is not costed has no cost here, which is not zero.",
        binder.back,
    )
    heads = (
        "No.",
        "Line",
        "Function",
        "Pieces",
        "Mass\nkg",
        "Material",
        "Labour",
        "Burden",
        "Mark-up",
        "Packaging",
    )
    more = ("Piece", "Tooling,\nper pack", "Tooling,\ninvestment", "Costed", "Dry leaf", "How made", "Note")
    page.columns([(head, PIECES <= n <= DRY) for n, head in enumerate((*heads, *more))], height=30)
    page.row += 1  # the sums
    page.sheet.freeze_panes(page.row, 2)
    page.sheet.repeat_rows(page.row - 2, page.row - 1)
    for number, line in enumerate(pack.found.cost_lines):
        pack.cost_rows[line.item] = page.at(NAME, page.row + number)
    return page


def cost(binder: Binder, pack: PackSheets) -> None:
    page = binder.pages[pack.names["cost"]]
    lines = pack.found.cost_lines
    first, last = page.row, page.row + max(len(lines) - 1, 0)
    for key, column in (
        ("function", FUNCTION), ("mass", MASS), ("piece", PIECE), ("tooling piece", TOOL_PIECE),
        ("tooling", TOOL_ALL), ("costed", COSTED), ("dry", DRY),
    ):  # fmt: skip
        pack.columns[f"cost {key}"] = Range(page.at(column, first), page.at(column, last), PACK)
    for line in lines:
        _line(binder, page, pack, line)
        page.row += 1
    _totals(page, pack, first, last)
    if lines:
        page.sheet.autofilter(first - 2, 0, last, NOTE)
    page.sheet.print_area(0, 0, last, NOTE)


def _line(binder: Binder, page: Page, pack: PackSheets, line: CostLine) -> None:
    here, item = page.name, line.item
    is_leaf = item in pack.counts
    page.say(NUMBER, line.number)
    if item in pack.blocks:
        page.link(NAME, pack.blocks[item], line.name)
    else:
        page.say(NAME, line.name)
    _reading(page, pack, line)
    costed = line.status is CostStatus.COSTED
    if costed:
        _money(page, pack, line)
    else:
        for column in _SUMMED:
            page.say(column, "")
    page.put(COSTED, float(costed), "issued", look="0")
    function = page.at(FUNCTION).seen_from(here)
    if is_leaf:
        dry = float(line.function is not Function.COOLANT)
        page.work(DRY, f'IF({function}="{Function.COOLANT}",0,1)', dry, "issued", look="0")
    else:
        page.put(DRY, 0.0, "issued", look="0")
    route = " → ".join(step.title for step in line.route)
    page.say(ROUTE, f"{route} (assumed)" if line.assumed_route else route, "soft")
    notes = [*line.warnings] if costed else [f"not costed: {line.why}"]
    page.say(NOTE, "; ".join(notes)[:1000], "soft")
    for text in line.sources:
        binder.cite(text)


def _reading(page: Page, pack: PackSheets, line: CostLine) -> None:
    """Function, pieces and mass, taken from the sheets of readings."""
    here, item = page.name, line.item
    if item in pack.counts:
        part = pack.part_rows[item]
        cell = Ref(part.sheet, part.row, 2).seen_from(here)
        page.work(FUNCTION, f'{cell}&""', "" if line.function is None else str(line.function), "soft")
        page.work(PIECES, pack.counts[item].ref.seen_from(here), line.count)
        if line.mass is not None:
            page.work(MASS, Ref(part.sheet, part.row, 6).seen_from(here), line.mass)
        else:
            page.say(MASS, "")
        return
    page.say(FUNCTION, "" if line.function is None else str(line.function), "soft")
    count = pack.joints.get((item, "count"))
    if count is None:
        page.say(PIECES, "")
    else:
        page.work(PIECES, count.ref.seen_from(here), line.count)
    page.say(MASS, "")


def _money(page: Page, pack: PackSheets, line: CostLine) -> None:
    here, item = page.name, line.item
    pieces = page.at(PIECES).seen_from(here) if item in pack.counts else None
    parts = []
    for name, column in _ELEMENTS.items():
        amount: Money | None = getattr(line, name)
        cell = pack.lines.get((item, name))
        if cell is None or amount is None:
            page.put(column, 0.0, "calc", look="0.00")
        else:
            text = converted(cell.held(here), EACH)
            value = amount.value
            page.work(column, f"{text}*{pieces}" if pieces else text, value, look=money(value))
        parts.append(page.at(column).seen_from(here))
    assert (
        line.piece is not None and line.tooling_per_piece is not None and line.tooling_investment is not None
    )
    page.work(PIECE, f"SUM({parts[0]}:{parts[-1]})", line.piece.value, look=money(line.piece.value))
    tools = converted(pack.lines[item, TOOLING].held(here), MONEY)
    whole = line.tooling_investment.value
    per_pack = line.tooling_per_piece.value
    page.work(TOOL_ALL, tools, whole, look="#,##0")
    page.work(TOOL_PIECE, f"{page.at(TOOL_ALL).seen_from(here)}/{PROGRAMME}", per_pack, look=money(per_pack))


def _totals(page: Page, pack: PackSheets, first: int, last: int) -> None:
    """Sums over all costed lines, in the row under the head."""
    row = first - 1
    for column in range(NOTE + 1):
        page.say(column, "All costed lines" if column == NAME else "", "total text", row=row)
    figures = {column: pack.found.figures.get(name) for name, column in _FIGURES.items()}
    for column in _SUMMED:
        figure = figures[column]
        if figure is None or figure.value is None:
            continue
        span = cells_from(page.name, page.at(column, first), page.at(column, last))
        value = figure.value
        look = "#,##0" if column == TOOL_ALL else money(value)
        ref = page.work(column, f"SUM({span})", value, "total", row=row, look=look)
        name = next(name for name, there in _FIGURES.items() if there == column)
        pack.figures[name] = Cell(ref, PACK)
    mass, dry = (
        cells_from(page.name, page.at(column, first), page.at(column, last)) for column in (MASS, DRY)
    )
    rolled = pack.found.figures["mass_rolled"].value if "mass_rolled" in pack.found.figures else None
    if rolled is not None:
        page.work(MASS, f"SUMIFS({mass},{dry},1)", rolled, "total", row=row, look=money(rolled))
