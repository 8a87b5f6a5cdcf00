"""Writes the parts table: headings, lines, and what workshops put between them."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from .page import Cell, Formula, Page, Row, mass_text, shown, size_text, unit_name
from .style import Style
from .truth import MASS, SIZE, Line, Truth
from .words import words

#: Sizes are written for every line that has them except this share.
_NO_SIZES = 0.05


class PartsTable:
    """One parts table being written; ``written`` maps each line to its row of cells by column."""

    def __init__(self, rng: Random, style: Style, page: Page, truth: Truth) -> None:
        self.rng, self.style, self.page, self.truth = rng, style, page, truth
        self.phrases = words(style.language, "phrases")
        blank = style.indent.strip(" \t") == ""
        self.indent_too = (
            style.layout != "indent" and style.format != "pipe" and blank and rng.random() < 0.25
        )
        self.mark = rng.choice(self.phrases["approx"])
        self.joiner = rng.choice([" x ", "x", " × ", "*", " X "])
        self.numbers_typed = False
        self.running = 0
        self.head: Row = []

    # headings

    def heading(self) -> tuple[Row, Row | None]:
        """The heading row, and the row of units below it where this bench writes one."""
        names: Row = []
        units: Row = []
        for key in self.style.columns:
            unit = self._unit_of(key)
            place = self.style.mass_place if key in ("mass", "total") else self.style.size_place
            text = self.style.headings.get(key, "")
            if unit and place == "heading":
                form = self.style.unit_form
                name = unit_name(self.rng, self.style, unit)
                if form == "{h} in {u}" and name == "in":
                    name = "inch"
                text = form.format(h=text, u=name)
                if self.style.is_book and self.rng.random() < 0.08 and "[" in text:
                    text = text.replace(" [", "\n[")
            names.append(text or None)
            units.append(unit if unit and place == "row" else None)
        return names, units if any(units) else None

    def _unit_of(self, key: str) -> str | None:
        if key in ("mass", "total"):
            return self.style.mass_unit
        return self.style.size_unit if key in ("length", "width", "third", "size") else None

    def unit_note(self) -> str | None:
        """The file's note on units, where this bench states them so."""
        mass = self.style.mass_place == "note"
        size = self.style.size_place == "note" and self.truth.has_sizes
        if not (mass or size):
            return None
        m, s = (unit_name(self.rng, self.style, u) for u in (self.style.mass_unit, self.style.size_unit))
        s = s.replace("in", "inch") if s == "in" else s  # nobody writes "sizes in in"
        if mass and size:
            return self.rng.choice(self.phrases["units"]).format(m=m, s=s)
        if mass:
            return {"en": f"masses in {m}", "de": f"Massen in {m}", "fr": f"masses en {m}"}[
                self.style.language
            ]
        return {"en": f"sizes in {s}", "de": f"Maße in {s}", "fr": f"cotes en {s}"}[self.style.language]

    # lines

    def line(self, line: Line, *, swap: bool = False, slip_ten: bool = False) -> dict[str, Cell]:
        """The cells of a line. ``swap`` is a factor of 1000 in its mass, ``slip_ten`` one of ten."""
        cells: dict[str, Cell] = {
            "level": self._level(line.depth),
            "number": self._number(line),
            "name": self._name(line),
            "qty": self._count(line),
            "material": line.material or None,
            "process": line.process or None,
            "function": line.function_word or None,
            "basis": line.basis_word or None,
            "photo": line.photo or None,
            "remarks": line.remark or None,
            "initials": self.rng.choice(["ok", "x", None]),
            "code": f"KS-{self.rng.randint(10000, 99999)}" if self.rng.random() < 0.7 else None,
        }
        cells.update(self._sizes(line, always=swap or slip_ten))
        cells.update(self._mass(line, swap=swap, slip_ten=slip_ten))
        return cells

    def _level(self, depth: int) -> Cell:
        form = self.style.level_form
        if form == "dots":
            return "." * depth + str(depth)
        number = depth + (form == "one")
        return shown(self.style, number)

    def _number(self, line: Line) -> Cell:
        number = line.number
        if self.numbers_typed and number.count(".") <= 1:
            return Decimal(number) if "." in number else int(number)
        return number + ("." if self.style.trailing_dot and self.style.layout == "dotted" else "")

    def _name(self, line: Line) -> str:
        lead = self.style.indent * line.depth if self.style.layout == "indent" or self.indent_too else ""
        if lead.startswith("-"):
            lead += " "
        return lead + line.name + (" " if self.rng.random() < 0.05 else "")

    def _count(self, line: Line) -> Cell:
        if self.rng.random() < 0.1:
            return self.rng.choice(self.phrases["count"]).format(line.quantity)
        return shown(self.style, line.quantity)

    def _sizes(self, line: Line, *, always: bool) -> dict[str, Cell]:
        left_out = self.rng.random() < _NO_SIZES and not always
        if line.wanted_sizes is None or not self.truth.has_sizes or left_out:
            return {}
        written = tuple(size_text(self.style, value) for value in line.wanted_sizes)
        factor = SIZE[self.style.size_unit]
        line.sizes = (float(written[0] * factor), float(written[1] * factor), float(written[2] * factor))
        unit = f" {self.style.size_unit}" if self.style.size_place == "cell" else ""
        if self.style.size_form == "size":
            return {"size": self.joiner.join(self.style.number(v).replace(" ", "") for v in written) + unit}
        values = [self.style.number(v) + unit if unit else shown(self.style, v) for v in written]
        return dict(zip(("length", "width", "third"), values, strict=True))

    def _mass(self, line: Line, *, swap: bool, slip_ten: bool) -> dict[str, Cell]:
        if line.wanted_mass is None:
            if line.is_assembly:
                return self._whole(line)
            blank = self.rng.choice(self.phrases["blank"])
            return {"mass": blank or None, "total": blank or None}
        unit = self.style.mass_unit
        in_cell = self.style.mass_place == "cell"
        beside = self.style.mass_place == "column"
        grams = Decimal(repr(line.wanted_mass * 1000))
        if (
            in_cell
            or beside
            or (self.style.mass_place != "none" and self.rng.random() < 0.06 and not (swap or slip_ten))
        ):
            unit = self._cell_unit(grams)
            in_cell = not beside
        each = mass_text(self.style, grams / 1000 / MASS[unit], unit)
        if slip_ten:
            line.mass = float(each * MASS[unit])
            each *= 10
        elif swap:
            line.mass = float(each * MASS[unit])
            each = each / 1000 if unit == "g" else each * 1000
        if self.style.mass_form == "total":
            total = mass_text(self.style, each * line.quantity, unit)
            line.mass = float(total * MASS[unit]) / line.quantity
        else:
            total = each * line.quantity
            if not (swap or slip_ten):
                line.mass = float(each * MASS[unit])
        return {
            "mass": self._mass_cell(line, each, unit, in_cell),
            "total": self._total_cell(line, total, unit, in_cell),
            "unit": unit,
        }

    def _whole(self, line: Line) -> dict[str, Cell]:
        """Now and then an assembly was weighed as assembled and the figure stands on its line."""
        mass = line.wanted()
        if line.parent is None or mass is None or self.rng.random() > 0.06:
            return {}
        unit = self.style.mass_unit
        value = mass_text(self.style, Decimal(repr(mass * self.rng.gauss(1.0, 0.0008))) / MASS[unit], unit)
        line.whole = float(value * MASS[unit])
        in_cell = self.style.mass_place == "cell"
        return {
            "mass": self._mass_cell(line, value, unit, in_cell),
            "total": self._mass_cell(line, value * line.quantity, unit, in_cell),
            "unit": unit,
        }

    def _cell_unit(self, grams: Decimal) -> str:
        if self.style.mass_unit in ("lb", "oz"):
            return "lb" if grams > 400 else "oz"
        return "kg" if grams > 1500 else "g"

    def _mass_cell(self, line: Line, value: Decimal, unit: str, in_cell: bool) -> Cell:
        suffix = f"{'' if self.style.tight else ' '}{unit}" if in_cell else ""
        if line.approx:
            return self.mark + self.style.number(value) + suffix
        return self.style.number(value) + suffix if in_cell else shown(self.style, value)

    def _total_cell(self, line: Line, value: Decimal, unit: str, in_cell: bool) -> Cell:
        cell = self._mass_cell(line, value, unit, in_cell)
        if self.style.mass_form == "both" and isinstance(cell, Decimal) and "formula" in self.style.extras:
            return Formula(text="", value=value)  # the writer fills in its cells
        return cell

    # rows

    def row(self, cells: dict[str, Cell]) -> Row:
        return [cells.get(key) for key in self.style.columns]

    def put(self, line: Line, cells: dict[str, Cell]) -> int:
        self.running += 1
        row = self.row({**cells, "running": shown(self.style, self.running)})
        at = self.page.add(row)
        for column in range(len(row)):
            if isinstance(row[column], Formula):
                row[column] = Formula(text=self._product(at), value=row[column].value)  # type: ignore[union-attr]
        return at

    def _product(self, row: int) -> str:
        across = self.page.offset[1]
        names = [chr(ord("A") + across + self.style.columns.index(key)) for key in ("qty", "mass")]
        return "=" + "*".join(f"{name}{row}" for name in names)

    def between(self, text: str, *, column: str = "name") -> int:
        """A row that holds one text only."""
        return self.page.add([text if key == column else None for key in self.style.columns])
