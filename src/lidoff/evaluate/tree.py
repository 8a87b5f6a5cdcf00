"""The parts tree: counts in a pack, leaves, inherited functions, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..records import Function, Item, Pack
from .limits import limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """An item in its place: ``path`` is the ids from the top down to and with this item.

    ``count`` is pieces in one pack at nominal quantities, ``function`` its own or its nearest
    ancestor's.
    """

    item: Item
    path: tuple[str, ...]
    count: float
    function: Function | None
    children: tuple[str, ...] = ()

    @property
    def is_leaf(self) -> bool:
        return not self.children

    @property
    def label(self) -> str:
        """Number and name, as a person would point at it."""
        return f"{self.item.number} {self.item.name.strip()}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """Nodes in the order of the records; held lines and what hangs below them are not in it."""

    nodes: Mapping[str, Node]
    problems: tuple[str, ...] = ()

    @property
    def leaves(self) -> tuple[Node, ...]:
        return tuple(node for node in self.nodes.values() if node.is_leaf)

    @property
    def assemblies(self) -> tuple[Node, ...]:
        return tuple(node for node in self.nodes.values() if not node.is_leaf)

    def leaves_of(self, identity: str) -> tuple[Node, ...]:
        """Leaves below an item (the item itself where it is one)."""
        return tuple(node for node in self.leaves if identity in node.path)

    def ancestors(self, identity: str) -> Iterator[Node]:
        """Assemblies above an item, nearest first."""
        for above in reversed(self.nodes[identity].path[:-1]):
            yield self.nodes[above]

    def quantities(self, node: Node, below: str | None = None) -> tuple[float, ...]:
        """Quantities per parent down the path, those other than one; from under ``below`` if given."""
        path = node.path if below is None else node.path[node.path.index(below) + 1 :]
        chain = (quantity_of(self.nodes[i].item) for i in path)
        return tuple(q for q in chain if q != 1.0)

    def count_below(self, node: Node, assembly: str) -> float:
        """Pieces of ``node`` in one piece of an assembly above it."""
        count = 1.0
        for quantity in self.quantities(node, assembly):
            count *= quantity
        return count


def quantity_of(item: Item) -> float:
    """Pieces per parent. One where none was written: an unnumbered line is one off."""
    return 1.0 if item.quantity is None else item.quantity.value


def build(pack: Pack) -> Tree:
    """The tree of a pack.

    A line whose parent is unknown stands at the top; lines that are their own ancestors are left
    out. Both are told in ``problems``, as are function words nobody understood. A line at the top
    with nothing but the pack's own outer sizes is the pack itself, and no part of it.
    """
    items = {item.id: item for item in pack.items}
    problems: list[str] = []
    nodes: dict[str, Node] = {}
    held: set[str] = set()
    for item in pack.items:
        path = _path(item, items)
        if path is None:
            problems.append(f"{item.number} {item.name}: is part of itself; left out of the sums")
            held.add(item.id)
        elif any(items[i].held for i in path) or _is_pack(item, pack):
            held.add(item.id)
        else:
            _place(item, path, items, nodes, problems)
    for node in list(nodes.values()):
        parent = node.path[-2] if len(node.path) > 1 else None
        if parent is not None:
            above = nodes[parent]
            nodes[parent] = Node(
                item=above.item,
                path=above.path,
                count=above.count,
                function=above.function,
                children=(*above.children, node.item.id),
            )
    return Tree(nodes=nodes, problems=tuple(problems))


def _is_pack(item: Item, pack: Pack) -> bool:
    """Whether a line only repeats the pack in a list that hangs nothing below it."""
    if item.parent is not None or item.mass is not None or item.material is not None:
        return False
    if any(other.parent == item.id for other in pack.items):
        return False
    envelope = sorted(r.value for k in ("length", "width") if (r := pack.fact(f"envelope_{k}")) is not None)
    sides = sorted(r.value for r in (item.length, item.width) if r is not None)
    same = zip(envelope, sides, strict=False)
    return len(envelope) == len(sides) == 2 and all(abs(a - b) <= limit("envelope") * a for a, b in same)


def _path(item: Item, items: Mapping[str, Item]) -> tuple[str, ...] | None:
    path = [item.id]
    while (parent := items[path[-1]].parent) is not None and parent in items:
        if parent in path:
            return None
        path.append(parent)
    return tuple(reversed(path))


def _place(
    item: Item,
    path: tuple[str, ...],
    items: Mapping[str, Item],
    nodes: dict[str, Node],
    problems: list[str],
) -> None:
    where = f"{item.number} {item.name}".strip()
    if item.parent is not None and item.parent not in items:
        problems.append(f"{where}: its assembly is not in the list; counted once a pack")
    if item.quantity is None and item.mass is not None:
        problems.append(f"{where}: no quantity written; taken as one off")
    elif item.quantity is not None and item.quantity.value <= 0.0:
        problems.append(f"{where}: quantity {item.quantity.value:g} is not a number of pieces")
    count = 1.0
    function: Function | None = None
    for identity in path:
        count *= quantity_of(items[identity])
        function = function_of(items[identity]) or function
    if item.function is not None and item.function.text.strip() and function_of(item) is None:
        taken = f"taken as its assembly's, {function}" if function else "left without one"
        problems.append(f"{where}: function {item.function.text.strip()!r} is not understood; {taken}")
    nodes[item.id] = Node(item=item, path=path, count=count, function=function)


def function_of(item: Item) -> Function | None:
    """The item's own function, ``None`` where it has none or it was not understood."""
    if item.function is None or item.function.means is None:
        return None
    try:
        return Function(item.function.means)
    except ValueError:
        return None
