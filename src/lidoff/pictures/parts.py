"""Which recorded parts a plan view shows, with their sizes; lengths in metres."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from ..records import Function, Item, Pack

#: A high-voltage box below this share of the plan's area is too small to draw to scale.
SMALLEST_BOX_SHARE = 0.005
#: More blocks than this (loose cells) would be a texture, not a drawing.
MOST_BLOCKS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One kind of rectangle in the plan: its name, long and short side [m], and how many."""

    name: str
    length: float
    width: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanParts:
    """What a pack's plan shows. ``None`` and empty mean not recorded."""

    name: str
    length: float | None
    width: float | None
    height: float | None
    modules: Block | None = None
    boxes: tuple[Block, ...] = ()
    members: Block | None = None
    rail: float | None = None


class _Tree:
    def __init__(self, pack: Pack) -> None:
        self.by_id = {item.id: item for item in pack.items if not item.held}
        self.children: dict[str, list[Item]] = defaultdict(list)
        self.roots: list[Item] = []
        for item in self.by_id.values():
            if item.parent in self.by_id:
                self.children[item.parent].append(item)
            else:
                self.roots.append(item)

    def function(self, item: Item) -> str | None:
        """The item's own function, else its parent's, else what most of its parts are for."""
        seen: Item | None = item
        while seen is not None:
            if seen.function is not None and seen.function.means:
                return seen.function.means
            seen = self.by_id.get(seen.parent) if seen.parent else None
        return self._mostly(item)

    def _mostly(self, item: Item) -> str | None:
        tally: dict[str, float] = defaultdict(float)
        for leaf in self.leaves(item):
            if leaf is not item and leaf.function is not None and leaf.function.means:
                tally[leaf.function.means] += leaf.mass.value * _count(leaf) if leaf.mass else 0.0
        return max(tally, key=lambda key: tally[key]) if tally else None

    def leaves(self, item: Item) -> list[Item]:
        below = self.children.get(item.id)
        return [leaf for child in below for leaf in self.leaves(child)] if below else [item]

    def above(self, item: Item) -> list[Item]:
        """Ancestors from the parent up."""
        found: list[Item] = []
        parent = self.by_id.get(item.parent) if item.parent else None
        while parent is not None and parent not in found:
            found.append(parent)
            parent = self.by_id.get(parent.parent) if parent.parent else None
        return found

    def total(self, item: Item) -> int:
        """Pieces in the whole pack."""
        count = _count(item)
        for parent in self.above(item):
            count *= _count(parent)
        return round(count)


def _count(item: Item) -> float:
    return item.quantity.value if item.quantity is not None else 1.0


def _block(tree: _Tree, item: Item) -> Block | None:
    if item.length is None or item.width is None:
        return None
    sides = sorted((item.length.value, item.width.value), reverse=True)
    if sides[1] <= 0.0:
        return None
    return Block(name=item.name.strip(), length=sides[0], width=sides[1], count=tree.total(item))


def _modules(tree: _Tree) -> Block | None:
    """The lowest assembly with a size that holds cells; the cells themselves where none does."""
    cells = [
        i for i in tree.by_id.values() if tree.function(i) == Function.CELLS and i.id not in tree.children
    ]
    for cell in cells:
        for holder in (*tree.above(cell), cell):
            block = _block(tree, holder)
            if block is not None and holder not in tree.roots:
                return block if block.count <= MOST_BLOCKS else None
    return None


def _boxes(tree: _Tree, area: float) -> tuple[Block, ...]:
    """Switching and conversion parts large enough to draw, outermost only."""
    wanted = (Function.SWITCHING, Function.CONVERSION)
    found: list[Block] = []
    taken: set[str] = set()
    for item in tree.by_id.values():
        if item in tree.roots or tree.function(item) not in wanted:
            continue
        block = _block(tree, item)
        if block is None or any(parent.id in taken for parent in tree.above(item)):
            continue
        taken.add(item.id)
        if block.length * block.width >= SMALLEST_BOX_SHARE * area:
            found.append(block)
    return tuple(sorted(found, key=lambda b: -b.length * b.width))


def _members(tree: _Tree, across: float) -> Block | None:
    """Slender structural parts, two or more, that span most of the width: cross members."""
    best: Block | None = None
    for item in tree.by_id.values():
        block = _block(tree, item)
        if block is None or tree.function(item) != Function.TRAY or item.id in tree.children:
            continue
        slender = block.length >= 6.0 * block.width
        spans = 0.6 * across <= block.length <= across
        if slender and spans and block.count >= 2 and (best is None or block.count > best.count):
            best = block
    return best


def _rail(tree: _Tree, along: float) -> float | None:
    """Width of the long side rails, where two or more slender parts run the whole length."""
    for item in tree.by_id.values():
        block = _block(tree, item)
        if block is None or tree.function(item) != Function.TRAY or item.id in tree.children:
            continue
        if block.count == 2 and block.length >= 0.95 * along and block.width <= 0.1 * along:
            return block.width
    return None


def plan_parts(pack: Pack) -> PlanParts:
    """Read a pack's envelope, modules, boxes and cross members from its records."""
    tree = _Tree(pack)
    root = tree.roots[0] if len(tree.roots) == 1 else None

    def size(key: str, own: str) -> float | None:
        reading = pack.fact(key) or (getattr(root, own) if root is not None else None)
        return float(reading.value) if reading is not None and reading.value > 0.0 else None

    length, width = size("envelope_length", "length"), size("envelope_width", "width")
    height = size("envelope_height", "thickness")
    if length is None or width is None:
        return PlanParts(name=pack.name, length=length, width=width, height=height)
    if length < width:
        length, width = width, length
    return PlanParts(
        name=pack.name,
        length=length,
        width=width,
        height=height,
        modules=_modules(tree),
        boxes=_boxes(tree, length * width),
        members=_members(tree, width),
        rail=_rail(tree, length),
    )
