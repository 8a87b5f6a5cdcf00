"""The tree of items: from a parent column, find numbers, level numbers, or indentation of the names."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from .findnumber import Key

#: Blanks, or marks that a word or a blank follows: "..Cover", "- Screw", but no "../path" and no ".5 mm".
_INDENT = re.compile(r"^\s*(?:[.>·•+*|│├└─_\-–—=]+\s+)*(?:[.>·•+*|│├└─_\-–—=]+(?=[^\W\d_]))?(?=\S)")


@dataclass(slots=True)
class Node:
    """What a row says of its place in the tree."""

    key: Key
    level: int | None = None
    indent: int = 0
    parent_text: str = ""
    name: str = ""
    table: int = 0
    section: bool = False


@dataclass(slots=True)
class Doubt:
    """A row whose place is unsure: ``kind`` is level, missing, jump, unnumbered or parent."""

    row: int
    kind: str
    other: int | None = None
    text: str = ""


@dataclass(slots=True)
class Tree:
    """``parents[i]`` is the row above row i, ``None`` at the top; ``how`` says what it was built on."""

    parents: list[int | None]
    how: str
    doubts: list[Doubt] = field(default_factory=list)


def indent_of(name: str) -> tuple[int, str]:
    """Depth of a name's indentation in characters, and the name without it."""
    bare = name.lstrip()
    if bare[:1].isalpha():
        return len(name[: len(name) - len(bare)].expandtabs(4)), bare.rstrip()
    match = _INDENT.match(name)
    if not match:
        return 0, name.strip()
    return len(match.group().expandtabs(4)), name[match.end() :].strip()


def build(nodes: Sequence[Node]) -> Tree:
    """Build the tree from the strongest evidence the rows give."""
    if not nodes:
        return Tree([], "nothing")
    if sum(bool(n.parent_text) for n in nodes) >= 0.5 * len(nodes):
        return _by_parent(nodes)
    if _hierarchical(nodes):
        return _by_number(nodes)
    levels = [n.level for n in nodes if n.level is not None]
    if len(set(levels)) > 1 and len(levels) >= 0.5 * len(nodes):
        return _by_depth(nodes, [n.level for n in nodes], "level")
    if len({n.indent for n in nodes}) > 1:
        return _by_depth(nodes, [n.indent for n in nodes], "indentation")
    if any(n.section for n in nodes):
        return _by_section(nodes)
    blocks = _by_blocks(nodes)
    if blocks is not None:
        return blocks
    return Tree([None] * len(nodes), "a flat list")


def _hierarchical(nodes: Sequence[Node]) -> bool:
    """Whether find numbers nest: most rows with several parts have a row for a part of theirs."""
    keys = {n.key for n in nodes if n.key}
    deep = [k for k in keys if len(k) > 1]
    if not deep:
        return False
    held = sum(k[:-1] in keys or any(k[:d] in keys for d in range(1, len(k) - 1)) for k in deep)
    return held >= 0.4 * len(deep) and held > 0


def _by_number(nodes: Sequence[Node]) -> Tree:
    at: dict[Key, list[int]] = {}
    for row, node in enumerate(nodes):
        if node.key:
            at.setdefault(node.key, []).append(row)
    direct = [n.key[:-1] in at for n in nodes if len(n.key) > 1]
    complete = sum(direct) >= 0.5 * len(direct) if direct else False
    tree = Tree([], "find number")
    missing: set[Key] = set()
    for row, node in enumerate(nodes):
        if not node.key:
            tree.parents.append(_unnumbered(nodes, tree, row))
            continue
        parent = None
        for depth in range(len(node.key) - 1, 0, -1):
            prefix = node.key[:depth]
            if prefix in at:
                rows = at[prefix]
                parent = rows[0] if len(rows) == 1 else max((r for r in rows if r < row), default=rows[0])
                break
            if complete and depth > 1 and depth == len(node.key) - 1 and prefix not in missing:
                missing.add(prefix)
                tree.doubts.append(Doubt(row, "missing", text=".".join(map(str, prefix))))
        tree.parents.append(parent)
    _check_levels(nodes, tree)
    return tree


def _unnumbered(nodes: Sequence[Node], tree: Tree, row: int) -> int | None:
    """Where a row without number goes: by its level, else beside the row before."""
    node = nodes[row]
    if node.level is not None:
        for above in range(row - 1, -1, -1):
            level = nodes[above].level
            if level is not None and level < node.level:
                return above
        return None
    tree.doubts.append(Doubt(row, "unnumbered"))
    return tree.parents[row - 1] if row else None


def _check_levels(nodes: Sequence[Node], tree: Tree) -> None:
    """Doubt the rows whose level number disagrees with their find number."""
    offsets = Counter(n.level - len(n.key) for n in nodes if n.level is not None and n.key)
    if not offsets:
        return
    usual, votes = offsets.most_common(1)[0]
    if votes < 0.7 * sum(offsets.values()):
        return
    for row, node in enumerate(nodes):
        if node.level is None or not node.key or node.level - len(node.key) == usual:
            continue
        other: int | None = None
        for above in range(row - 1, -1, -1):
            level = nodes[above].level
            if level is not None and level < node.level:
                other = above
                break
        if other != tree.parents[row]:
            tree.doubts.append(Doubt(row, "level", other))
        else:
            tree.doubts.append(Doubt(row, "level", tree.parents[row]))


def _by_depth(nodes: Sequence[Node], depths: Sequence[int | None], how: str) -> Tree:
    tree = Tree([], how)
    stack: list[tuple[int, int]] = []
    table = nodes[0].table
    for row, node in enumerate(nodes):
        depth = depths[row]
        if node.table != table and how == "indentation":
            stack, table = [], node.table
        if depth is None:
            depth = stack[-1][0] if stack else 0
            tree.doubts.append(Doubt(row, "unnumbered"))
        while stack and stack[-1][0] >= depth:
            stack.pop()
        if how == "level" and stack and depth > stack[-1][0] + 1:
            tree.doubts.append(Doubt(row, "jump", stack[-1][1], f"{stack[-1][0]} to {depth}"))
        tree.parents.append(stack[-1][1] if stack else None)
        stack.append((depth, row))
    return tree


def _by_blocks(nodes: Sequence[Node]) -> Tree | None:
    """A tree from numbers in blocks: 111 stands under 110, that under 100; ``None`` where there are none."""
    numbers = [n.key[0] if len(n.key) == 1 and isinstance(n.key[0], int) else 0 for n in nodes]
    if len({len(str(n)) for n in numbers}) != 1 or numbers[0] < 100 or len(set(numbers)) < len(numbers):
        return None
    at = {n: row for row, n in enumerate(numbers)}
    above: list[int | None] = []
    for number in numbers:
        place = 10
        while number % place == 0:
            place *= 10
        above.append(at.get(number - number % place))
    held = sum(a is not None for a in above)
    return Tree(above, "numbers in blocks") if held >= 0.6 * len(nodes) else None


def _by_section(nodes: Sequence[Node]) -> Tree:
    tree = Tree([], "section rows")
    section: int | None = None
    for row, node in enumerate(nodes):
        if node.section:
            section = row
            tree.parents.append(None)
        else:
            tree.parents.append(section)
    return tree


def _by_parent(nodes: Sequence[Node]) -> Tree:
    from .findnumber import key_of

    by_key = {n.key: r for r, n in reversed(list(enumerate(nodes))) if n.key}
    by_name = {n.name.lower(): r for r, n in reversed(list(enumerate(nodes)))}
    tree = Tree([], "parent column")
    for row, node in enumerate(nodes):
        text = node.parent_text.strip()
        found = by_key.get(key_of(text)) if text else None
        if found is None and text:
            found = by_name.get(text.lower())
        if found == row:
            found = None
        if text and found is None and text not in ("-", "–", "0"):
            tree.doubts.append(Doubt(row, "parent", text=text))
        tree.parents.append(found)
    return _without_loops(tree)


def _without_loops(tree: Tree) -> Tree:
    """Cut rows that are their own ancestor loose and doubt them."""
    for row in range(len(tree.parents)):
        seen, at = {row}, tree.parents[row]
        while at is not None and at not in seen:
            seen.add(at)
            at = tree.parents[at]
        if at is not None:
            tree.doubts.append(Doubt(row, "parent", text="itself"))
            tree.parents[row] = None
    return tree
