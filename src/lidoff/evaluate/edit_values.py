"""Values of an edit turned into what a record's field holds: readings, words, plain values."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

from ..quantities import Basis, Evidence, Reading, Shape, Spread, Word
from ..quantities.defaults import default_spread
from ..records import FACTS, Fact, Function, Item, Joint, Removal, Step


class ChangeError(ValueError):
    """An edit that cannot be carried out, in one sentence naming it."""


KINDS: Mapping[str, type[Any]] = {
    "item": Item, "joint": Joint, "step": Step, "removal": Removal, "fact": Fact,
}  # fmt: skip

_READINGS = {
    "item": {"quantity": "", "mass": "kg", "length": "mm", "width": "mm", "thickness": "mm", "wall": "mm"},
    "joint": {"count": "", "length": "mm"},
    "step": {"people": ""},
    "removal": {"duration": "min"},
    "fact": {"reading": ""},
}
_WORDS = {"item": ("material", "process", "function"), "fact": ("word",)}
_POSITIVE = frozenset({"quantity", "mass", "length", "width", "thickness", "wall", "count", "duration"})


def field_value(record: str, field: str, value: Any, before: Any, where: str) -> Any:
    """What ``field`` of a record holds when ``value`` is put there.

    A number keeps basis and origin of the reading it corrects; where there was none it is an
    estimate. Raises `ChangeError` naming ``where``.
    """
    if field not in {f.name for f in fields(KINDS[record])} or field == "id":
        raise ChangeError(f"{where}: a record of kind {record!r} has no field {field!r} to change")
    if value is None:
        if field in ("number", "name", "does", "duration"):
            raise ChangeError(f"{where}: {field} cannot be left empty")
        return None
    if field in _READINGS.get(record, {}):
        return _reading(field, value, before, _READINGS[record][field], where)
    if field in _WORDS.get(record, ()):
        return _word(field, value, before, where)
    if field == "weighings":
        return tuple(_reading("mass", v, None, "kg", where) for v in value)
    return value


def _reading(field: str, value: Any, before: Reading | None, unit: str, where: str) -> Reading:
    if isinstance(value, Reading):
        found = value
    elif isinstance(value, Mapping):
        found = _from_plain(value, unit, where)
    elif isinstance(value, bool) or not isinstance(value, int | float):
        raise ChangeError(f"{where}: {field} must be a number, not {value!r}")
    elif before is None:
        found = Reading(value=float(value), unit=unit, basis=Basis.ESTIMATED)
    else:
        found = moved(before, float(value))
    if not math.isfinite(found.value) or (field in _POSITIVE and found.value < 0.0):
        raise ChangeError(f"{where}: {found.value:g} cannot be a {field}")
    return found


def _from_plain(value: Mapping[str, Any], unit: str, where: str) -> Reading:
    plain = {"unit": unit, "basis": Basis.ESTIMATED, **value}
    try:
        plain["basis"] = Basis(plain["basis"])
        if isinstance(plain.get("spread"), Mapping):
            plain["spread"] = Spread(**{**plain["spread"], "shape": Shape(plain["spread"]["shape"])})
        plain["value"] = float(plain["value"])
        return Reading(**plain)
    except (KeyError, TypeError, ValueError) as error:
        raise ChangeError(f"{where}: {dict(value)!r} is not a reading ({error})") from error


def moved(before: Reading, value: float) -> Reading:
    """The reading at another value: bounds and the scale's own error go along in proportion."""
    ratio = value / before.value if before.value else 1.0
    spread = before.spread
    if spread.shape is Shape.NORMAL and not spread.stated and not spread.shared:
        spread = default_spread(value, before.basis, instrument=before.instrument)
    else:
        spread = replace(
            spread,
            low=None if spread.low is None else spread.low * ratio,
            high=None if spread.high is None else spread.high * ratio,
            choices=tuple((v * ratio, p) for v, p in spread.choices),
            shared=tuple((name, abs(u * ratio)) for name, u in spread.shared),
        )
    return replace(before, value=value, spread=spread)


def scaled(before: Reading, factor: float) -> Reading:
    """The reading times a factor, its whole spread with it."""
    spread = before.spread
    if spread.shape is not Shape.LOGNORMAL:
        spread = replace(spread, u=spread.u * abs(factor))
    low, high = (None if b is None else b * factor for b in (spread.low, spread.high))
    spread = replace(
        spread,
        low=low,
        high=high,
        choices=tuple((v * factor, p) for v, p in spread.choices),
        shared=tuple((name, abs(u * factor)) for name, u in spread.shared),
    )
    return replace(before, value=before.value * factor, spread=spread)


def _word(field: str, value: Any, before: Word | None, where: str) -> Word:
    if isinstance(value, Word):
        return value
    if isinstance(value, Mapping):
        try:
            return Word(**{**value, "evidence": Evidence(value.get("evidence", Evidence.STATED))})
        except (TypeError, ValueError) as error:
            raise ChangeError(f"{where}: {dict(value)!r} is not a word ({error})") from error
    if not isinstance(value, str) or not value.strip():
        raise ChangeError(f"{where}: {field} must be a word, not {value!r}")
    origin = "" if before is None else before.origin
    if field == "function":
        if value not in {f.value for f in Function}:
            raise ChangeError(f"{where}: {value!r} is not a function ({', '.join(Function)})")
        return Word(text=value, means=value, origin=origin)
    if field == "material":
        return _material(value, origin)
    return Word(text=value, origin=origin)


def _material(text: str, origin: str) -> Word:
    from ..materials import MATERIALS, recognise

    if text in MATERIALS:
        return Word(text=MATERIALS[text].title, means=text, origin=origin)
    found = recognise(text)
    if found is None:
        return Word(text=text, origin=origin)
    return Word(text=text, means=found.key, evidence=found.evidence, origin=origin)


def whole_record(record: str, value: Any, identity: str, where: str) -> Any:
    """The record that an `ADD` or `REPLACE` brings, under ``identity``. Raises `ChangeError`."""
    kind = KINDS[record]
    if isinstance(value, kind):
        return replace(value, id=identity)
    if not isinstance(value, Mapping):
        raise ChangeError(f"{where}: needs a whole {record}, not {value!r}")
    try:
        plain = {
            name: field_value(record, name, content, None, where)
            for name, content in value.items()
            if name not in ("id", "pack")
        }
        made = kind(id=identity, **plain)
    except TypeError as error:
        raise ChangeError(f"{where}: {dict(value)!r} is not a whole {record} ({error})") from error
    if isinstance(made, Fact) and made.key is not None and made.key not in FACTS:
        raise ChangeError(f"{where}: {made.key!r} is not a fact of a pack")
    return made
