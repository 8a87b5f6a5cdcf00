"""Values of any plain kind: what an edit puts in place, as a small tree and back.

A value is nothing, a truth, a whole number, a number, a text, or a list, tuple, mapping or record
of such values. `split` and `join` take one level apart and put it together; both the rows of
`EditValueRow` and the JSON of the history are made of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from enum import Enum
from numbers import Integral, Real
from typing import Any, get_type_hints

from .. import records
from ..quantities import Reading, Spread, Word
from .faults import StoreError

#: Dataclasses that may stand in an edit's value, by name: a reading, a word, or any record.
CLASSES: dict[str, type[Any]] = {
    thing.__name__: thing
    for thing in (Reading, Spread, Word, *vars(records).values())
    if isinstance(thing, type) and is_dataclass(thing)
}

Atom = str | int | float | bool | None
Branch = list[tuple[str, Any]]


@dataclass(frozen=True, slots=True)
class Node:
    """One level of a value: ``content`` is the atom itself or the named values below."""

    type: str
    content: Atom | Branch


def default_of(field: Field[Any]) -> Any:
    """A field's default, `MISSING` where it has none."""
    if field.default_factory is not MISSING:
        return field.default_factory()
    return field.default


def enums_of(cls: type[Any]) -> dict[str, type[Enum]]:
    """The enum fields of a dataclass."""
    hints = get_type_hints(cls)
    return {n: h for n, h in hints.items() if isinstance(h, type) and issubclass(h, Enum)}


def split(value: Any) -> Node:
    """Take the topmost level of a value apart. Raises `StoreError` for what cannot be kept."""
    if value is None:
        return Node("none", None)
    if isinstance(value, bool):
        return Node("truth", value)
    if isinstance(value, str):
        return Node("text", str(value))
    if isinstance(value, Integral):
        return Node("whole", int(value))
    if isinstance(value, Real):
        return Node("number", float(value))
    if isinstance(value, list | tuple):
        branch = [(str(index), inner) for index, inner in enumerate(value)]
        return Node("list" if isinstance(value, list) else "tuple", branch)
    if isinstance(value, Mapping) and all(isinstance(name, str) for name in value):
        return Node("map", list(value.items()))
    cls = type(value)
    if CLASSES.get(cls.__name__) is cls:
        return Node(cls.__name__, [(field.name, getattr(value, field.name)) for field in fields(cls)])
    raise StoreError(f"an edit's value of type {cls.__name__} cannot be kept; nothing was written")


def join(node: Node) -> Any:
    """Put one level together again; the opposite of `split`."""
    if not isinstance(node.content, list):
        return node.content
    if node.type == "map":
        return dict(node.content)
    if node.type in ("list", "tuple"):
        inner = [value for _, value in node.content]
        return inner if node.type == "list" else tuple(inner)
    cls = CLASSES[node.type]
    enums = enums_of(cls)
    return cls(**{name: enums[name](value) if name in enums else value for name, value in node.content})


def walk(
    value: Any, parent: int = -1, name: str = "", first: int = 0
) -> Iterator[tuple[int, int, str, Node]]:
    """Every level of a value, depth first: its number, its parent's, its name there and itself."""
    node = split(value)
    yield first, parent, name, node
    at = first + 1
    if isinstance(node.content, list):
        for inner_name, inner in node.content:
            for step in walk(inner, first, inner_name, at):
                yield step
                at += 1


def rebuild(nodes: list[tuple[int, str, str, Atom]]) -> Any:
    """The value of nodes (parent, name, type, atom) in their order; the opposite of `walk`."""
    branches: list[Branch] = [[] for _ in nodes]
    value: Any = None
    for number in range(len(nodes) - 1, -1, -1):  # children come after their parent
        parent, name, kind, atom = nodes[number]
        is_atom = kind in ("none", "truth", "text", "whole", "number")
        value = join(Node(kind, atom if is_atom else branches[number][::-1]))
        if parent >= 0:
            branches[parent].append((name, value))
    return value


def tagged(value: Any) -> Any:
    """A value as JSON holds it: atoms as they are, everything else as {type: what is in it}."""
    node = split(value)
    if not isinstance(node.content, list):
        return node.content
    return {node.type: {name: tagged(inner) for name, inner in node.content}}


def untagged(data: Any) -> Any:
    """The opposite of `tagged`."""
    if not isinstance(data, dict):
        return data
    ((kind, inner),) = data.items()
    return join(Node(kind, [(name, untagged(value)) for name, value in inner.items()]))
