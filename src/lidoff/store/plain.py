"""Records as JSON text for the history, and back.

Fields at their default are left out, so that a field added later does not make old history differ.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, TypeVar, get_args, get_origin, get_type_hints

from .values import default_of, tagged, untagged

T = TypeVar("T")
Codec = tuple[Callable[[Any], Any], Callable[[Any], Any]]


def _as_number(value: Any) -> Any:
    return value.item()  # a number of numpy's


_ENCODER = json.JSONEncoder(
    ensure_ascii=False, allow_nan=False, separators=(",", ":"), default=_as_number, check_circular=False
)


def same(value: Any) -> Any:
    return value


def inner_hint(hint: Any) -> Any:
    """A type hint without its ``None``."""
    if isinstance(hint, UnionType):
        (hint,) = (arg for arg in get_args(hint) if arg is not NoneType)
    return hint


@cache
def _codec(hint: Any) -> Codec:
    """How a field of this type goes into JSON and comes back."""
    hint = inner_hint(hint)
    if hint is Any:
        return tagged, untagged
    if get_origin(hint) is tuple:
        args = get_args(hint)
        if args[-1] is Ellipsis:
            into, back = _codec(args[0])
            return (lambda v: [into(x) for x in v]), (lambda v: tuple(back(x) for x in v))
        return list, tuple  # a pair of atoms
    if is_dataclass(hint):
        assert isinstance(hint, type)
        return to_plain, lambda v: from_plain(hint, v)
    if issubclass(hint, Enum):
        return (lambda v: v.value), hint
    return same, (float if hint is float else same)


_PLANS: dict[type[Any], tuple[tuple[str, Any, Codec], ...]] = {}


def _plan(cls: type[Any]) -> tuple[tuple[str, Any, Codec], ...]:
    """A dataclass's fields: name, default, codec."""
    if cls not in _PLANS:
        hints = get_type_hints(cls)
        _PLANS[cls] = tuple((f.name, default_of(f), _codec(hints[f.name])) for f in fields(cls))
    return _PLANS[cls]


def to_plain(record: Any) -> dict[str, Any]:
    """A record's fields as plain data, those at their default left out."""
    plain = {}
    for name, default, (into, _) in _plan(type(record)):
        value = getattr(record, name)
        if value != default:
            plain[name] = None if value is None else into(value)
    return plain


def from_plain(cls: type[T], data: dict[str, Any]) -> T:
    """The opposite of `to_plain`. What the record no longer has is dropped."""
    back = {name: codec[1] for name, _, codec in _plan(cls)}
    given = {name: value for name, value in data.items() if name in back}
    return cls(**{name: None if value is None else back[name](value) for name, value in given.items()})


def to_text(record: Any) -> str:
    """A record as one line of JSON."""
    return _ENCODER.encode(to_plain(record))


def from_text(cls: type[T], text: str) -> T:
    """The record written by `to_text`."""
    return from_plain(cls, json.loads(text))
