"""Routes: from what a bench wrote for "how made" to a chain of method books, or why there is none.

The words and the decisions are data (`routes.toml`). A step without a book leaves the line not
costed, because a part costed without its main step misleads; only steps marked minor are left out
with a warning.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from ..quantities import Evidence, Word
from ..records import Function, Route, RouteStep

_FILE = Path(__file__).parent / "routes.toml"
_SEPARATORS = re.compile(r"[,;/+&>→|]|\b(?:and|und|et|then|dann|anschliessend|with|mit)\b")
#: Words that say nothing of the process.
_IDLE = frozenset(
    (
        "in",
        "one",
        "piece",
        "part",
        "parts",
        "teil",
        "teile",
        "from",
        "of",
        "the",
        "a",
        "aus",
        "ein",
        "set",
        "sets",
    )
)


class RouteError(ValueError):
    """A route table that cannot be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Process:
    """One process as data; see the head of `routes.toml`."""

    key: str
    title: str
    words: tuple[str, ...]
    families: tuple[str, ...]
    methods: tuple[str, ...]
    covers: tuple[str, ...]
    minor: bool
    finish: bool

    def suits(self, family: str | None) -> bool:
        return not self.families or (family or "") in self.families


@dataclass(frozen=True, slots=True, kw_only=True)
class Default:
    """A route taken where nothing was written; empty lists fit anything."""

    functions: tuple[str, ...]
    families: tuple[str, ...]
    materials: tuple[str, ...]
    processes: tuple[str, ...]

    def suits(self, material: str | None, family: str | None, function: Function | None) -> bool:
        return (
            (not self.functions or (function or "") in self.functions)
            and (not self.families or (family or "") in self.families)
            and (not self.materials or any(fnmatchcase(material or "", m) for m in self.materials))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteChoice:
    """A route, or in ``why`` the reason there is none. ``left_out`` names minor steps not costed."""

    route: Route | None
    why: str = ""
    assumed: bool = False
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RouteTable:
    """Processes, defaults, and the processes' words as patterns, longest first."""

    processes: Mapping[str, Process]
    defaults: tuple[Default, ...]
    patterns: tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]

    def choose(
        self,
        process: Word | None,
        *,
        material: str | None,
        family: str | None,
        function: Function | None,
        books: Collection[str],
    ) -> RouteChoice:
        """The route of an item.

        ``material`` and ``family`` are the material's key and family where known, ``books`` the
        names of the method books there are.
        """
        text = "" if process is None else process.text.strip()
        if text in ("", "-", "–", "?"):
            return self._default(material, family, function, books)
        named = _named_methods(process, books)
        if named:
            return RouteChoice(route=_route(named, Evidence.STATED, text))
        found, odd = self.read(text, family)
        if odd:
            return RouteChoice(route=None, why=f"the process {odd!r} in {text!r} is not understood")
        evidence = process.evidence if process is not None else Evidence.STATED
        before = self._before(found, material, family, function)
        choice = self._chain([*before, *found], family, books, evidence, text)
        return replace(choice, assumed=bool(before))

    def read(self, text: str, family: str | None) -> tuple[list[Process], str]:
        """Processes a text names, in order, and the first part of it that is not understood."""
        found: list[Process] = []
        for part in _SEPARATORS.split(fold(text)):
            words = part.strip()
            if not words:
                continue
            here = self._in_part(words, family)
            if not here and not set(words.split()) <= _IDLE and not words.isdigit():
                return found, words
            found.extend(here)
        return found, "" if found else text

    def _in_part(self, words: str, family: str | None) -> list[Process]:
        """Longest words first; what they cover is not looked at again."""
        taken: list[tuple[int, Process]] = []
        rest = words
        for pattern, keys in self.patterns:
            while match := pattern.search(rest):
                taken.append((match.start(), self._suiting(keys, family)))
                rest = rest[: match.start()] + "#" * (match.end() - match.start()) + rest[match.end() :]
        return [process for _, process in sorted(taken, key=lambda pair: pair[0])]

    def _suiting(self, keys: Sequence[str], family: str | None) -> Process:
        candidates = [self.processes[key] for key in keys]
        return next((process for process in candidates if process.suits(family)), candidates[0])

    def _before(
        self, found: Sequence[Process], material: str | None, family: str | None, function: Function | None
    ) -> list[Process]:
        """What must have made the piece that finishing steps alone are written for: what its
        particular material suggests, else nothing.
        """
        if not all(process.finish for process in found):
            return []
        for default in self.defaults:
            if default.materials and default.suits(material, family, function):
                return [self.processes[key] for key in default.processes]
        return []

    def _default(
        self, material: str | None, family: str | None, function: Function | None, books: Collection[str]
    ) -> RouteChoice:
        for default in self.defaults:
            if default.suits(material, family, function):
                chain = [self.processes[key] for key in default.processes]
                choice = self._chain(chain, family, books, Evidence.ASSUMED, "assumed, nothing was written")
                why = (
                    f"no process was written, taken to be {_listed(chain)}: {choice.why}"
                    if choice.why
                    else ""
                )
                return RouteChoice(route=choice.route, why=why, assumed=True, left_out=choice.left_out)
        return RouteChoice(route=None, why="no process was written, and material and function suggest none")

    def _chain(
        self,
        found: Sequence[Process],
        family: str | None,
        books: Collection[str],
        evidence: Evidence,
        note: str,
    ) -> RouteChoice:
        covered = {key for process in found for key in process.covers}
        steps: list[str] = []
        left_out: list[str] = []
        for process in found:
            if process.key in covered:
                continue
            if not process.suits(family):
                of = family or "a material that was not understood"
                return RouteChoice(route=None, why=f"{process.title} of {of} has no method book")
            absent = [method for method in process.methods if method not in books]
            if process.methods and not absent:
                steps.extend(method for method in process.methods if method not in steps)
            elif process.minor:
                left_out.append(process.title)
            else:
                return RouteChoice(route=None, why=f"{process.title} has no method book yet")
        if not steps or all(process.finish for process in found):
            return RouteChoice(route=None, why=f"{_listed(found)} alone does not say how the part is made")
        return RouteChoice(route=_route(steps, evidence, note), left_out=tuple(left_out))


def _route(methods: Sequence[str], evidence: Evidence, note: str) -> Route:
    return Route(steps=tuple(RouteStep(method=method) for method in methods), evidence=evidence, note=note)


def _named_methods(process: Word | None, books: Collection[str]) -> tuple[str, ...]:
    """Method books named outright ("extrusion + saw"), as an engineer may set a process to."""
    if process is None or not process.means:
        return ()
    parts = tuple(part.strip() for part in process.means.split("+"))
    return parts if all(part in books for part in parts) else ()


def _listed(processes: Sequence[Process]) -> str:
    return ", ".join(process.title for process in processes)


def fold(text: str) -> str:
    """Small letters without accents, hyphens and dots as spaces."""
    plain = unicodedata.normalize("NFKD", text.replace("ß", "ss").casefold())
    return re.sub(r"[\s\-_.()]+", " ", "".join(c for c in plain if not unicodedata.combining(c)))


@cache
def routes() -> RouteTable:
    """The shipped route table."""
    return read_routes(_FILE.read_text("utf-8"))


def overlaid(text: str, file: str) -> RouteTable:
    """The shipped route table with another laid over it. Raises `RouteError`.

    Entries of a process that is there already replace its own, one by one; words are added to those
    it has. Defaults stand before the shipped ones.
    """
    try:
        over = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RouteError(f"{file} is not well-formed TOML: {error}") from error
    data = tomllib.loads(_FILE.read_text("utf-8"))
    unknown = over.keys() - {"processes", "defaults"}
    if unknown:
        raise RouteError(f"{file} has an unknown part {sorted(unknown)[0]!r}")
    processes, defaults = over.get("processes", {}), over.get("defaults", [])
    if not isinstance(processes, dict) or not isinstance(defaults, list):
        raise RouteError(f"{file}: processes are tables [processes.NAME], defaults a list [[defaults]]")
    own = {key: _merged(file, key, raw, data["processes"].get(key, {})) for key, raw in processes.items()}
    # First come the user's, so that of processes with the same words theirs is taken.
    data["processes"] = {**own, **{key: raw for key, raw in data["processes"].items() if key not in own}}
    data["defaults"] = [*defaults, *data["defaults"]]
    try:
        return _table(data)
    except (TypeError, AttributeError) as error:
        raise RouteError(f"{file}: an entry has the wrong form: {error}") from error
    except RouteError as error:
        raise RouteError(f"{file}: {error}") from error


def _merged(file: str, key: str, raw: Any, known: Mapping[str, Any]) -> dict[str, Any]:
    """A process of the user's with what the shipped one of that name says besides."""
    if not isinstance(raw, dict):
        raise RouteError(f"{file}: process {key!r} is not a table")
    for name in ("words", "families", "methods", "covers"):
        if not isinstance(raw.get(name, []), list) or not all(isinstance(w, str) for w in raw.get(name, [])):
            raise RouteError(f"{file}: {name} of process {key!r} is a list of words")
    return {**known, **raw, "words": [*raw.get("words", ()), *known.get("words", ())]}


def read_routes(text: str) -> RouteTable:
    """A route table from its text. Raises `RouteError` naming the entry."""
    return _table(tomllib.loads(text))


def _table(data: Mapping[str, Any]) -> RouteTable:
    processes: dict[str, Process] = {}
    for key, raw in data["processes"].items():
        unknown = raw.keys() - {"title", "words", "families", "methods", "covers", "minor", "finish"}
        if unknown or not raw.get("words") or not raw.get("title"):
            raise RouteError(f"process {key!r}: {', '.join(sorted(unknown)) or 'no title or words'}")
        processes[key] = Process(
            key=key,
            title=raw["title"],
            words=tuple(fold(word) for word in raw["words"]),
            families=tuple(raw.get("families", ())),
            methods=tuple(raw.get("methods", ())),
            covers=tuple(raw.get("covers", ())),
            minor=bool(raw.get("minor", False)),
            finish=bool(raw.get("finish", False)),
        )
    for key, process in processes.items():
        if unknown := set(process.covers) - processes.keys():
            raise RouteError(f"process {key!r} covers unknown {', '.join(sorted(unknown))}")
    defaults = tuple(
        Default(
            **{name: tuple(raw.get(name, ())) for name in ("functions", "families", "materials", "processes")}
        )
        for raw in data["defaults"]
    )
    for default in defaults:
        if unknown := set(default.processes) - processes.keys():
            raise RouteError(f"a default names unknown {', '.join(sorted(unknown))}")
    return RouteTable(MappingProxyType(processes), defaults, _patterns(processes))


def _patterns(
    processes: Mapping[str, Process],
) -> tuple[tuple[re.Pattern[str], tuple[str, ...]], ...]:
    keys: dict[str, list[str]] = {}
    for key, process in processes.items():
        for word in process.words:
            if key not in keys.setdefault(word, []):
                keys[word].append(key)
    longest = sorted(keys, key=lambda word: (-len(word), word))
    return tuple((_pattern(word), tuple(keys[word])) for word in longest)


def _pattern(word: str) -> re.Pattern[str]:
    letters = re.escape(word).replace(re.escape("*"), r"\w*")
    return re.compile(rf"(?<!\w){letters}(?!\w)")
