"""Puts a whole bench file together: dress the lines, write the tables, plant the slips."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from .page import Page, mass_text, shown
from .parts import PartsTable
from .slips import REACTIONS, pick
from .style import Style
from .tree import walk
from .truth import MASS, Line, Slip, Truth
from .words import UNKNOWN_FUNCTIONS, words

#: What masses of other parts rest on, and how often.
_EVIDENCE = {"weighed": 0.93, "estimated": 0.03, "by difference": 0.015, "assumed": 0.01, "marked": 0.015}


def dress(rng: Random, root: Line, style: Style) -> None:
    """What this bench notes of each line: words, evidence, photo, remark."""
    phrases = words(style.language, "phrases")
    for line in walk(root):
        if line.function and not (line.is_assembly and rng.random() < 0.3):
            line.function_word = style.functions[line.function]
        if rng.random() < 0.1:
            line.remark = rng.choice(phrases["remark"])
        if rng.random() < 0.3:
            line.photo = rng.choice(
                ["IMG_{}", "DSC{}", "P{}", "IMG_{}-" + str(rng.randint(5000, 5009))]
            ).format(rng.randint(2000, 4999))
        if line.is_assembly:
            continue
        line.process = style.processes.get(line.process, "")
        _evidence(rng, line, style)


def _evidence(rng: Random, line: Line, style: Style) -> None:
    roll = rng.random()
    if line.shape == "bead":
        line.basis = "estimated" if roll < 0.8 else "weighed"
    elif line.shape == "small":
        line.basis = "published" if roll < 0.1 else "weighed"
    else:
        line.basis = rng.choices(list(_EVIDENCE), list(_EVIDENCE.values()))[0]
    if rng.random() < 0.015 and line.shape in ("small", "bead", "bought"):
        line.wanted_mass = None
        line.basis = None
    if line.basis == "estimated":
        line.approx = "basis" not in style.columns or rng.random() < 0.6
    elif "basis" not in style.columns:
        line.basis = "weighed"
    line.basis_word = style.basis[line.basis or "none"]


def number(root: Line, style: Style) -> None:
    """Find numbers as this bench gives them."""
    if style.layout not in ("dotted", "dashed"):
        return
    sign = "." if style.layout == "dotted" else "-"

    def give(line: Line, own: str) -> None:
        line.number = own
        for position, child in enumerate(line.children, 1):
            step = f"{position:02d}" if style.padded else str(position)
            give(child, f"{own}{sign}{step}" if own else step)

    give(root, "1" if style.root else "")


def without_root(root: Line) -> list[Line]:
    """The lines of a bench that leaves the pack's own line out: everything one level up."""
    lines = list(walk(root))[1:]
    for line in lines:
        line.depth -= 1
        if line.parent is root:
            line.parent = None
    return lines


def write_parts(
    rng: Random, root: Line, style: Style, page: Page, truth: Truth, needs: frozenset[str]
) -> None:
    """The parts table with everything between its lines."""
    table = PartsTable(rng, style, page, truth)
    planted = _choose(rng, root, style, needs)
    if not style.root:
        truth.lines = without_root(root)
    table.numbers_typed = _may_be_numbers(style, truth.lines, "mangled number" in planted)
    note = table.unit_note()
    if note:
        page.titles.append(page.add([note]))
    table.head, units = table.heading()
    head_row = page.add(list(table.head))
    if units:
        page.add(units)
    if "missing unit" in needs:
        tokens = ("unit", "einheit", style.headings["mass"].lower())
        truth.slips.append(Slip(kind="missing unit", reaction="asked", sheet=page.name,
                                rows=(head_row,), tokens=tokens))  # fmt: skip
    by_line = {id(line): kind for kind, line in planted.items()}
    for position, line in enumerate(truth.lines):
        if position and line.depth == truth.lines[0].depth + style.root and line.is_assembly:
            _between_blocks(rng, table, truth)
        _write_line(rng, table, line, by_line.get(id(line)), truth)
        if (above := planted.get("weighings")) is not None and _closes(line, above):
            _weighings(rng, table, above, truth)
        if "subtotals" in style.extras and line.parent is not None and line is list(walk(line.parent))[-1]:
            _subtotal(rng, table, line.parent)
    if rng.random() < 0.5:
        page.add([])
    if rng.random() < 0.5:
        table.between(rng.choice(table.phrases["total"]))
    if "notes" in style.extras and rng.random() < 0.4:
        page.add([])
        text = rng.choice(table.phrases["end"])
        if style.layout == "indent":
            text = _marked(style, text)
        table.between(text, column=style.columns[0])
        truth.notes.append(text)


def _choose(rng: Random, root: Line, style: Style, needs: frozenset[str]) -> dict[str, Line]:
    planted: dict[str, Line] = {}
    taken: set[int] = set()
    for kind in sorted(needs - {"dotted time", "missing unit"}):
        line = pick(rng, kind, root, style, taken)
        if line is None:
            continue
        planted[kind] = line
        taken.add(id(line))
        if kind == "weighings":
            taken |= {id(part) for part in walk(line)}
    return planted


def _may_be_numbers(style: Style, lines: list[Line], mangled: bool) -> bool:
    """Whether find numbers can be typed as numbers without losing a trailing nought (or one was lost)."""
    if not (style.is_book and style.layout == "dotted") or style.padded or style.trailing_dot:
        return False
    lost = any(line.number.count(".") == 1 and line.number.endswith("0") for line in lines)
    return mangled or (style.numeric_numbers and not lost)


def _write_line(rng: Random, table: PartsTable, line: Line, slip: str | None, truth: Truth) -> None:
    page, style = table.page, table.style
    cells = table.line(line, swap=slip == "unit swap", slip_ten=slip == "decimal slip")
    tokens: tuple[str, ...] = ()
    rows: tuple[int, ...] = ()
    if slip == "bad mass":
        bad = rng.choice(
            [shown(style, Decimal("-41.3")), "-" + style.number(Decimal("12.5")), "nan", "1e400", "NaN"]
        )
        if style.mass_place == "cell":
            bad = f"{bad} {style.mass_unit}" if isinstance(bad, str) else style.number(bad) + " g"
        cells["mass"] = cells["total"] = bad
        line.mass = None
        line.skip |= {"basis"}
    elif slip == "mangled number":
        lost = line.number.rstrip("0")
        cells["number"] = Decimal(lost) if table.numbers_typed else lost
        line.skip |= {"number"}
    elif slip == "unknown function":
        cells["function"] = rng.choice(UNKNOWN_FUNCTIONS)
        tokens = (str(cells["function"]),)
        line.skip |= {"function"}
    elif slip == "fraction":
        cells["qty"] = style.number(Decimal(line.quantity) - Decimal("0.5"))
        line.skip |= {"quantity"} | ({"mass"} if style.mass_form == "total" else set())
    elif slip in ("unit swap", "decimal slip"):
        line.skip |= {"mass"}
    line.row, line.sheet = table.put(line, cells), page.name
    if line.wanted_mass is None and (not line.is_assembly or line.whole is not None):
        truth.quiet_rows.add((page.name, line.row))
    rows = (line.row,)
    if slip == "doubled line":
        again = dict(cells)
        if "basis" in style.columns and rng.random() < 0.4:
            again["remarks"] = None
        rows = (line.row, table.put(line, again))
    if slip and slip != "weighings":
        truth.slips.append(Slip(kind=slip, reaction=REACTIONS[slip], sheet=page.name, rows=rows,
                                tokens=tokens, line=line))  # fmt: skip


def _closes(line: Line, above: Line) -> bool:
    """Whether this line is the last one below another."""
    last = list(walk(above))[-1]
    return line is last


def _between_blocks(rng: Random, table: PartsTable, truth: Truth) -> None:
    page, style = table.page, table.style
    if rng.random() < 0.3:
        page.add([])
    if "notes" in style.extras and rng.random() < 0.35:
        text = rng.choice(table.phrases["note"])
        if style.layout == "indent":  # a bare text would be a part there
            text = _marked(style, text)
        table.between(text, column="remarks" if "remarks" in style.columns and rng.random() < 0.3 else "name")
        truth.notes.append(text)
    if "repeat" in style.extras and rng.random() < 0.4:
        page.add([])
        page.add(list(table.head))


def _marked(style: Style, text: str) -> str:
    return {"en": "Note: ", "de": "Hinweis: ", "fr": "Note : "}[style.language] + text


def _weighings(rng: Random, table: PartsTable, above: Line, truth: Truth) -> None:
    unit = "lb" if table.style.mass_unit in ("lb", "oz") else "kg"
    mass = Decimal(repr(above.rolled())) / MASS[unit]
    if mass < Decimal("0.5"):
        unit, mass = ("oz", mass * 16) if unit == "lb" else ("g", mass * 1000)
    many = above.quantity if rng.random() < 0.7 else max(2, above.quantity - rng.randint(0, 3))
    values = [mass_text(table.style, mass * Decimal(repr(rng.gauss(1.0, 0.0015))), unit) for _ in range(many)]
    between = rng.choice([" ", " ", " / ", "; "])
    text = rng.choice(table.phrases["weighings"]).format(
        n=many,
        name=above.name,
        u=unit,
        list=between.join(table.style.number(v).replace(" ", "") for v in values),
    )
    row = table.between(text)
    truth.slips.append(
        Slip(kind="weighings", reaction="asked", sheet=table.page.name, rows=(row, above.row), line=above)
    )
    truth.weighings.append((above, tuple(float(v * MASS[unit]) for v in values)))


def _subtotal(rng: Random, table: PartsTable, parent: Line) -> None:
    """What the parts of one assembly come to, under the masses they were added from."""
    if not all(child.mass is not None or child.children for child in parent.children):
        return
    style = table.style
    if "total" not in style.columns or style.mass_place == "none" or any(c.skip for c in walk(parent)):
        return
    value = mass_text(style, Decimal(repr(parent.rolled())) / MASS[style.mass_unit], style.mass_unit)
    label = rng.choice(table.phrases["subtotal"]).format(name=parent.name)
    unit = f" {style.mass_unit}" if style.mass_place == "cell" else ""
    beside = style.mass_unit if style.mass_place == "column" else None
    cells = {"name": label, "total": style.number(value) + unit, "unit": beside}
    table.page.add([cells.get(key) for key in style.columns])
