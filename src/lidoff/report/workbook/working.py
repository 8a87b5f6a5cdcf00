"""Working of a pack: every costed line with its route, each step's lines as formulas, and its price.

Step i of n handles N_i = N / Π_{j≥i} y_j pieces for N good ones, written from the last step back, so that
what is lost with a reject is what was put into it before.
"""

from __future__ import annotations

from ...evaluate.cost.model import From, ModelInput, ModelLine, ModelStep
from ...evaluate.cost.route import ELEMENTS, GOOD_SHARE, TOOLING
from ...methods.book import UNCHECKED
from ...methods.spreadsheet import Held, converted
from ...quantities import Unit, parse_unit
from .binder import PLAIN, Binder, Cell, PackSheets
from .page import Page, Ref
from .rates import PROGRAMME, VOLUME
from .sheet_block import ABOUT, FORMULA, NAME, NOTE, SOURCE, UNIT, VALUE, Block, Link
from .style import money

EACH, MONEY = parse_unit("money/part"), parse_unit("money")
PARTS_YEAR, PARTS_LIFE = parse_unit("part/year"), parse_unit("part")


def working(binder: Binder, pack: PackSheets) -> None:
    page = binder.page(pack.names["working"], (30, 46, 14, 16, 52, 30, 44))
    page.head(
        f"{pack.name}: working",
        "Every costed line, step by step. The outline at the left margin opens the steps (level 3) or closes "
        "them (level 2). The method's own formula stands beside each value, and its unit with it.",
        binder.back,
    )
    heads = ("Name", "What it is", "Value", "Unit", "Formula", "From, or source", "Note")
    page.columns([(head, head == "Value") for head in heads], freeze=1)
    page.sheet.outline_settings(True, False, False, False)
    for identity, line in pack.model.lines.items():
        _Writer(binder, page, pack, identity, line).write()
        page.row += 1


class _Writer:
    """Writes one costed line."""

    def __init__(self, binder: Binder, page: Page, pack: PackSheets, identity: str, line: ModelLine) -> None:
        self.binder, self.page, self.pack = binder, page, pack
        self.identity, self.line = identity, line

    def write(self) -> None:
        line, page = self.line, self.page
        head = page.at(NAME)
        self.pack.blocks[self.identity] = head
        page.row += 1
        placed = self._placed()
        for number, (step, block, _) in enumerate(placed):
            self._step(number, step, block, [handled for _, _, handled in placed])
        self._sums(placed)
        value = self._price()
        label = f"{line.mass.number} {line.mass.name}".strip()
        for column in range(NOTE + 1):
            page.say(column, label if column == NAME else "", "item", row=head.row)
        price = self.pack.lines[self.identity, "price"].ref.seen_from(page.name)
        page.work(VALUE, price, value, "item number", row=head.row, look=money(value))
        page.say(UNIT, f"{self.binder.prices.currency} a piece", "item", row=head.row)
        page.link(FORMULA, self.pack.cost_rows[self.identity], "its cost line", "item link", row=head.row)
        if not line.is_joint:
            page.link(SOURCE, self.pack.part_rows[self.identity], "its part", "item link", row=head.row)

    def _placed(self) -> list[tuple[ModelStep, Block, Ref]]:
        """Steps with their blocks and the cell of what each handles: a heading, that cell, the block."""
        found, row = [], self.page.row
        for step in self.line.steps:
            block = Block(self.binder, self.page, step.sheet)
            found.append((step, block, self.page.at(VALUE, row + 1)))
            row = block.place(row + 2)
        return found

    def _heading(self, text: str, note: str = "") -> None:
        for column in range(NOTE + 1):
            said = {NAME: text, NOTE: note}.get(column, "")
            self.page.say(column, said, "step", indent=1 if column == NAME else 0)
        self.page.group(1, closed=True)
        self.page.row += 1

    def _row(
        self, name: str, about: str, formula: str, value: float, unit: Unit, told: tuple[str, str], level: int
    ) -> Ref:
        page = self.page
        page.say(NAME, name, indent=1)
        page.say(ABOUT, about, "soft")
        ref = page.work(VALUE, formula, value)
        page.say(UNIT, self.binder.unit(unit), "unit")
        page.prose(FORMULA, told[0])
        page.say(SOURCE, told[1], "soft")
        page.say(NOTE, "", "soft")
        page.group(level, hidden=level > 1)
        page.row += 1
        return ref

    def _step(self, number: int, step: ModelStep, block: Block, handled: list[Ref]) -> None:
        count = len(handled)
        where = f"step {number + 1} of {count}: " if count > 1 else ""
        book = step.sheet.book
        self._heading(f"{where}{book.title}", "" if book.checked else UNCHECKED)
        after = "1" if number + 1 == count else handled[number + 1].seen_from(self.page.name)
        if GOOD_SHARE in book.lines:
            after += f"/{converted(block.name(GOOD_SHARE), PLAIN)}"
        told = "handled by the next step / good share", "yields multiplied backwards"
        about = "pieces through this step for a good one at the end"
        self._row("handled", about, after, step.handled, PLAIN, told, 2)
        block.write(self._link(handled[number]), level=2, hidden=True)

    def _link(self, handled: Ref) -> Link:
        here, binder, pack = self.page.name, self.binder, self.pack

        def link(put: ModelInput) -> tuple[str, str] | None:
            kind, key, unit = put.origin.kind, put.origin.key, put.entry.unit
            if kind is From.PRICE:
                return converted(binder.rows[key].held(here), unit), f"Prices: {key}"
            if kind is From.MATERIAL:
                told = f"Materials: {key.replace('.', ', ').replace('_', ' ')}"
                return converted(binder.materials[key].held(here), unit), told
            if kind is From.ITEM:
                return converted(pack.items[self.identity, key].held(here), unit), "reading, see parts"
            if kind is From.JOINT:
                return converted(pack.joints[self.identity, key].held(here), unit), "reading, see joints"
            if kind is From.SCENARIO:
                return converted(binder.scenario[key].held(here), unit), f"Scenario: {key}"
            if kind is From.ROUTE:
                return self._pieces(key, handled, unit), "Scenario × pieces in the pack × handled"
            return None

        return link

    def _pieces(self, key: str, handled: Ref, wanted: Unit) -> str:
        """Pieces that a step handles, a year or over the programme."""
        base, unit = (VOLUME, PARTS_YEAR) if key == "parts_year" else (PROGRAMME, PARTS_LIFE)
        factors = [base, handled.seen_from(self.page.name)]
        if not self.line.is_joint:
            factors.insert(1, self.pack.counts[self.identity].ref.seen_from(self.page.name))
        return converted(Held("*".join(factors), unit), wanted)

    def _sums(self, placed: list[tuple[ModelStep, Block, Ref]]) -> None:
        """Material, labour and burden of a good piece; tooling over the programme."""
        self._heading("the route")
        for name in ELEMENTS:
            terms = [
                f"{handled.seen_from(self.page.name)}*{converted(block.name(name), EACH)}"
                for step, block, handled in placed
                if name in step.sheet.book.lines
            ]
            told = f"sum over the steps of handled × {name}", ""
            value = self.line.element(name)
            ref = self._row(name, f"{name} of a good piece", "+".join(terms) or "0", value, EACH, told, 1)
            self.pack.lines[self.identity, name] = Cell(ref, EACH)
        tools = [
            converted(block.name(TOOLING), MONEY)
            for step, block, _ in placed
            if TOOLING in step.sheet.book.lines
        ]
        value, about = self.line.tooling, "tools of all steps over the programme"
        ref = self._row(TOOLING, about, "+".join(tools) or "0", value, MONEY, ("sum over the steps", ""), 1)
        self.pack.lines[self.identity, TOOLING] = Cell(ref, MONEY)

    def _price(self) -> float:
        """The price to the buyer: by the stack's book, or the plain sum where no mark-up is laid on."""
        stack, page = self.line.stack, self.page
        lines = self.pack.lines
        if stack is None:
            self._heading("price to the buyer: bought, its maker's mark-up is in the price")
            cells = [lines[self.identity, name].ref.seen_from(page.name) for name in ELEMENTS]
            value = sum(self.line.element(name) for name in ELEMENTS)
            told = "material + labour + burden", ""
            ref = self._row(
                "price", "price to the buyer, tooling apart", "+".join(cells), value, EACH, told, 1
            )
            lines[self.identity, "price"] = Cell(ref, EACH)
            return value
        self._heading(f"{stack.book.title}: mark-up class {self.line.supplier.replace('_', ' ')}")
        block = Block(self.binder, page, stack)
        block.place(page.row)
        here = page.name

        def link(put: ModelInput) -> tuple[str, str] | None:
            key = put.origin.key
            if put.origin.kind is From.ROUTE:
                return converted(lines[self.identity, key].held(here), put.entry.unit), "the route"
            if put.origin.kind is From.PRICE:
                return converted(self.binder.rows[key].held(here), put.entry.unit), f"Prices: {key}"
            return None

        block.write(link, level=2, hidden=True)
        for name in ("markup", "packaging", "price"):
            lines[self.identity, name] = block.held[name]
        return stack.book.lines["price"].unit.from_si(stack.value("price"))
