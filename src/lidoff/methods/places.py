"""Places: on which line of a TOML file a value stands, so that errors can say where."""

from __future__ import annotations

import re

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\[\]]+?)\s*\]")
_KEY = re.compile(r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"))*)\s*=""")
Path = tuple[str | int, ...]


class Places:
    """Line numbers by path, such as ``("lines", 2, "formula")``.

    It follows the layout of well-formed TOML; `tomllib` has read the file before and refused
    what is not.
    """

    def __init__(self, text: str) -> None:
        self._lines: dict[Path, int] = {}
        counts: dict[str, int] = {}
        section: Path = ()
        depth, quote = 0, ""
        for number, line in enumerate(text.splitlines(), start=1):
            if depth == 0 and not quote:
                header = _HEADER.match(line)
                if header:
                    section = self._section(header, counts)
                    self._lines.setdefault(section, number)
                    continue
                key = _KEY.match(line)
                if key:
                    self._lines.setdefault(section + _split(key.group(1)), number)
            depth, quote = _follow(line, depth, quote)

    def line(self, *path: str | int) -> int:
        """Line of the value, else of the nearest part of the path that has one, else 1."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return self._lines[path[:length]]
        return 1

    @staticmethod
    def _section(header: re.Match[str], counts: dict[str, int]) -> Path:
        parts = _split(header.group(2))
        first = str(parts[0])
        if header.group(1) == "[[" and len(parts) == 1:
            counts[first] = counts.get(first, -1) + 1
            return first, counts[first]
        if first in counts:
            return (first, counts[first], *parts[1:])
        return parts


def _split(dotted: str) -> Path:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


def _follow(line: str, depth: int, quote: str) -> tuple[int, str]:
    """Bracket depth and open multi-line quote after a line."""
    at = 0
    while at < len(line):
        if quote:
            end = line.find(quote, at)
            if end < 0:
                # One-line strings end on their line; only triple quotes go on.
                return depth, quote if len(quote) == 3 else ""
            at, quote = end + len(quote), ""
            continue
        character = line[at]
        if character == "#":
            break
        if character in "\"'":
            triple = line[at : at + 3]
            quote = triple if triple == character * 3 else character
            at += len(quote)
            continue
        depth += (character in "[{") - (character in "]}")
        at += 1
    return depth, quote if len(quote) == 3 else ""
