"""Parts and joints of a pack: the tree with its readings, counts and masses as formulas."""

from __future__ import annotations

from collections.abc import Iterator

from ...evaluate.tree import Node, function_of, quantity_of
from ...quantities import Basis, Reading, parse_unit
from ...records import Item
from .binder import PART, Binder, Cell, PackSheets, Range
from .page import Page, Ref, cells_from

KG, MM, TORQUE = parse_unit("kg"), parse_unit("mm"), parse_unit("N*m")
(
    NUMBER, NAME, FUNCTION, EACH_PARENT, PIECES, MASS, IN_PACK, BELOW, WEIGHED, CLOSURE, BASIS, LENGTH, WIDTH,
    THICKNESS, WALL, MATERIAL, PROCESS, ORIGIN, COST,
) = range(19)  # fmt: skip
_HEADS = (
    ("No.", False), ("Item", False), ("Function", False), ("Per parent", True), ("In pack", True),
    ("Mass each\nkg", True), ("In pack\nkg", True), ("Parts below\nkg in pack", True),
    ("Weighed\nkg each", True), ("Parts over\nwhole %", True), ("Basis of mass", False),
    ("Length\nmm", True), ("Width\nmm", True),
    ("Third size\nmm", True), ("Wall\nmm", True), ("Material as written", False), ("Made, as written", False),
    ("Where written", False), ("Cost", False),
)  # fmt: skip
_SIZES = {"length": LENGTH, "width": WIDTH, "thickness": THICKNESS, "wall": WALL}
_WEAK = (Basis.ASSUMED, Basis.ESTIMATED)


def in_order(pack: PackSheets) -> Iterator[Node]:
    """The tree from the top down, each assembly followed by what it holds."""

    def down(identity: str) -> Iterator[Node]:
        node = pack.tree.nodes[identity]
        yield node
        for child in node.children:
            yield from down(child)

    for identity, node in pack.tree.nodes.items():
        if len(node.path) == 1:
            yield from down(identity)


def parts(binder: Binder, pack: PackSheets) -> None:
    name = pack.names["parts"]
    widths = (9, 40, 12, 8, 8, 10, 10, 10, 9, 9, 12, 8, 8, 8, 8, 24, 18, 22, 7)
    page = binder.page(name, widths)
    page.head(
        f"{pack.name}: parts",
        "The parts tree as recorded. Only leaves add up; an assembly weighed whole closes the sum of its "
        "parts and adds nothing. A line without a function takes its assembly's. Coolant stays out of the "
        "dry mass.",
        binder.back,
    )
    page.columns(_HEADS, freeze=2, height=30)
    nodes = list(in_order(pack))
    first = page.row
    for number, node in enumerate(nodes):
        identity, row = node.item.id, first + number
        pack.part_rows[identity] = page.at(NAME, row)
        pack.counts[identity] = Cell(page.at(PIECES, row), PART)
        if node.is_leaf:
            pack.items[identity, "mass"] = Cell(page.at(MASS, row), KG)
    last = first + max(len(nodes) - 1, 0)
    for key, column in (("function", FUNCTION), ("count", PIECES), ("mass", IN_PACK), ("basis", BASIS)):
        pack.columns[f"parts {key}"] = Range(page.at(column, first), page.at(column, last), KG)
    for number, node in enumerate(nodes):
        below = _rows_below(nodes, number)
        _row(binder, page, pack, node, (first + number + 1, first + number + below) if below else None)
        page.row += 1
    if nodes:
        page.sheet.autofilter(first - 1, 0, last, COST)
    _held_lines(page, pack)
    page.sheet.outline_settings(True, False, False, False)


def _rows_below(nodes: list[Node], number: int) -> int:
    """How many of the rows after one hang below it."""
    depth = len(nodes[number].path)
    count = 0
    for node in nodes[number + 1 :]:
        if len(node.path) <= depth:
            break
        count += 1
    return count


def _row(binder: Binder, page: Page, pack: PackSheets, node: Node, below: tuple[int, int] | None) -> None:
    item, depth = node.item, len(node.path) - 1
    here = page.name
    page.say(NUMBER, item.number)
    page.say(NAME, item.name.strip(), "text" if node.is_leaf else "total text", indent=min(depth, 8))
    _function(page, pack, node)
    quantity = quantity_of(item)
    assumed = item.quantity is None or item.quantity.basis in _WEAK
    own = page.put(EACH_PARENT, quantity, "assumed" if assumed else "input")
    if depth:
        above = pack.counts[node.path[-2]].ref.seen_from(here)
        page.work(PIECES, f"{above}*{own.seen_from(here)}", node.count)
    else:
        page.work(PIECES, own.seen_from(here), node.count)
    if node.is_leaf:
        _leaf_mass(page, pack, node)
    else:
        _assembly_mass(page, pack, node, below)
    for key, column in _SIZES.items():
        reading: Reading | None = getattr(item, key)
        if reading is None:
            page.say(column, "")
            continue
        role = "assumed" if reading.basis in _WEAK else "input"
        pack.items[item.id, key] = Cell(page.put(column, MM.from_si(reading.value), role), MM)
    page.say(MATERIAL, "" if item.material is None else item.material.text, "soft")
    page.say(PROCESS, "" if item.process is None else item.process.text, "soft")
    page.say(ORIGIN, item.origin, "soft")
    page.say(COST, "")
    if depth:
        page.group(depth)


def _function(page: Page, pack: PackSheets, node: Node) -> None:
    """The line's own function as a word that may be changed, else its assembly's by formula."""
    own = function_of(node.item)
    if own is not None:
        page.say(FUNCTION, str(own), "input text")
    elif len(node.path) > 1:
        above = pack.part_rows[node.path[-2]]
        cell = Ref(above.sheet, above.row, FUNCTION).seen_from(page.name)
        page.work(FUNCTION, f'{cell}&""', "" if node.function is None else str(node.function), "soft")
    else:
        page.say(FUNCTION, "", "input text")


def _leaf_mass(page: Page, pack: PackSheets, node: Node) -> None:
    reading, here = node.item.mass, page.name
    each = pack.items[node.item.id, "mass"].ref.seen_from(here)
    pieces = pack.counts[node.item.id].ref.seen_from(here)
    if reading is None:
        page.say(MASS, "", "input text")
        page.work(IN_PACK, f'IF(ISNUMBER({each}),{pieces}*{each},"")', "")
    else:
        page.put(MASS, reading.value, "assumed" if reading.basis in _WEAK else "input")
        page.work(IN_PACK, f"{pieces}*{each}", reading.value * node.count)
    page.say(BASIS, "missing" if reading is None else str(reading.basis), "soft")
    for column in (BELOW, WEIGHED, CLOSURE):
        page.say(column, "")


def _assembly_mass(page: Page, pack: PackSheets, node: Node, below: tuple[int, int] | None) -> None:
    here, item = page.name, node.item
    page.say(MASS, "")
    page.say(IN_PACK, "")
    page.say(BASIS, "")
    if below is None:
        page.say(BELOW, "")
        return
    leaves = [leaf for leaf in pack.tree.leaves_of(item.id) if leaf.item.mass is not None]
    total = sum(leaf.count * leaf.item.mass.value for leaf in leaves if leaf.item.mass is not None)
    span = cells_from(here, page.at(IN_PACK, below[0]), page.at(IN_PACK, below[1]))
    summed = page.work(BELOW, f"SUM({span})", total)
    whole = item.weighings or ((item.mass,) if item.mass is not None else ())
    if not whole or not leaves or node.count == 0.0:
        page.say(WEIGHED, "")
        page.say(CLOSURE, "")
        return
    mean = sum(reading.value for reading in whole) / len(whole)
    weighed = page.put(WEIGHED, mean)
    pieces = pack.counts[item.id].ref.seen_from(here)
    formula = f"100*{summed.seen_from(here)}/{pieces}/{weighed.seen_from(here)}"
    page.work(CLOSURE, formula, 100.0 * total / node.count / mean)


def _held_lines(page: Page, pack: PackSheets) -> None:
    """Lines kept out of every sum: told, and not counted."""
    out = [item for item in pack.pack.items if item.id not in pack.tree.nodes]
    if not out:
        return
    page.row += 1
    page.section("Kept out of every sum (held until its question is answered, or the pack itself)", 2)
    for item in out:
        page.say(NUMBER, item.number, "soft")
        page.say(NAME, _held_name(item), "soft")
        page.row += 1


def _held_name(item: Item) -> str:
    mass = "" if item.mass is None else f", {item.mass.value:.6g} kg"
    return f"{item.name.strip()}{mass}"


def joints(binder: Binder, pack: PackSheets) -> None:
    most = max((len(joint.torques) for joint in pack.pack.joints), default=0)
    page = binder.page(pack.names["joints"], (34, 26, 26, 9, 12, *(9 for _ in range(max(most, 1))), 22))
    page.head(
        f"{pack.name}: joints",
        "Groups of like joints as recorded, and the torques found on opening.",
        binder.back,
    )
    torques = [(f"Torque {n + 1}\nN·m", True) for n in range(most)]
    heads = [("Kind", False), ("From", False), ("To", False), ("Pieces", True), ("Mean torque\nN·m", True)]
    page.columns([*heads, *torques, ("Where written", False)], freeze=1)
    for joint in pack.pack.joints:
        page.say(0, joint.kind.strip())
        page.say(1, joint.first_text, "soft")
        page.say(2, joint.second_text, "soft")
        if joint.count is None:
            page.say(3, "")
        else:
            pack.joints[joint.id, "count"] = Cell(page.put(3, joint.count.value), PART)
        for number in range(most):
            if number < len(joint.torques):
                page.put(5 + number, TORQUE.from_si(joint.torques[number].value))
            else:
                page.say(5 + number, "")
        if joint.torques:
            mean = sum(torque.value for torque in joint.torques) / len(joint.torques)
            span = cells_from(page.name, page.at(5), page.at(4 + len(joint.torques)))
            cell = page.work(4, f"AVERAGE({span})", TORQUE.from_si(mean))
            pack.joints[joint.id, "torque"] = Cell(cell, TORQUE)
        else:
            page.say(4, "")
        page.say(5 + most, joint.origin, "soft")
        page.row += 1


def links(binder: Binder, pack: PackSheets) -> None:
    """From every part to its cost line, once those stand."""
    page = binder.pages[pack.names["parts"]]
    for identity, target in pack.cost_rows.items():
        if identity in pack.part_rows:
            page.link(COST, target, "cost", row=pack.part_rows[identity].row)
