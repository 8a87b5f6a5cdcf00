"""Text files as one raw sheet: encoding, separator, quoting and fixed columns found from content."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from itertools import pairwise
from pathlib import Path

from .sheets import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, BenchFileError, Cell, Sheet, too_large

_SEPARATORS = (";", "\t", "|", ",")
#: Control characters, with the escape sequences of terminals, but for tabs and line ends.
_CONTROL = re.compile(r"\x1b\[[0-9;]*[A-Za-z]|[\x00-\x08\x0b\x0e-\x1f\x7f]")
_BOMS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
#: Letters and signs that benches in western languages do write beyond ASCII.
_USUAL = frozenset("äöüÄÖÜßéèêëàâáçñíìîóòôúùûœæøåÅÉÈÀÇÑ°µ²³±×·–—‘’“”„…€£§½¼¾ØΩ≈≤≥ \u00a0\u202f")


def read_text(path: Path) -> list[Sheet]:
    """The sheet of a text file, named by the file's stem. Raises `BenchFileError`."""
    raw = path.read_bytes()
    text = decode(raw, path.name)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if not any(line.strip() for line in lines):
        raise BenchFileError(f"{path.name} is empty")
    if len(lines) > MAX_ROWS:
        raise too_large(path.name, f"has {len(lines):,} lines")
    return [Sheet(path.stem, *_rows(lines, path.name))]


def decode(raw: bytes, name: str) -> str:
    """Text of the bytes, by byte-order mark, else UTF-8 if valid, else the likeliest code page."""
    for mark, encoding in _BOMS:
        if raw.startswith(mark):
            return _strict(raw, encoding, name)
    if b"\x00" in raw[:4096]:
        for encoding, zeros in (("utf-16-le", raw[1:4096:2]), ("utf-16-be", raw[0:4096:2])):
            if zeros and zeros.count(0) > 0.6 * len(zeros):
                return _strict(raw, encoding, name)
        raise BenchFileError(f"{name} is neither a workbook nor text")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        text = _code_page(raw)
    if sum(text[:4096].count(c) for c in map(chr, range(1, 32)) if c not in "\t\n\r\f\x1a") > 8:
        raise BenchFileError(f"{name} is neither a workbook nor text")
    return _CONTROL.sub("", text)


def _strict(raw: bytes, encoding: str, name: str) -> str:
    try:
        return _CONTROL.sub("", raw.decode(encoding))
    except UnicodeDecodeError as error:
        raise BenchFileError(f"{name} starts as {encoding} text but is damaged ({error.reason})") from None


def _code_page(raw: bytes) -> str:
    """Eight-bit text: the western page whose letters look most like words, else what is detected."""

    def score(text: str) -> float:
        beyond = [c for c in text if ord(c) > 127]
        good = sum(c in _USUAL for c in beyond)
        inside = len(re.findall(r"(?<=[a-zäöüß])[A-ZÄÖÜÉÈÀ](?=[a-zäöüß])", text))  # a capital within a word
        return (good - inside) / len(beyond) if beyond else 1.0

    best, best_score = "", -1.0
    for page in ("cp1252", "cp850", "mac_roman", "latin-1"):
        try:
            text = raw.decode(page)
        except UnicodeDecodeError:
            continue
        if score(text) > best_score + 1e-9:
            best, best_score = text, score(text)
    if best_score >= 0.7:
        return best
    from charset_normalizer import from_bytes

    match = from_bytes(raw).best()
    return str(match) if match is not None else best


def _rows(lines: list[str], name: str) -> tuple[list[list[Cell]], list[int]]:
    separator, drop = _separator(lines)
    if separator is None:
        fixed = _fixed(lines)
        if fixed is not None:
            return fixed
        return [[line.rstrip()] for line in lines], list(range(1, len(lines) + 1))
    framed = separator == "|" and _framed(lines)
    padded = separator == "|" and sum(line.count("| ") for line in lines) > 0.8 * sum(map(_pipes, lines))
    rows: list[list[Cell]] = []
    numbers: list[int] = []
    for number, record in _records(lines, separator, name):
        if framed:
            record = _unframed(record)
        elif separator == "|":
            record = [c.rstrip()[1:] if padded and c[:1] == " " else c.rstrip() for c in record]
        rows.append(list(record))
        numbers.append(number)
    if drop:
        rows[drop - 1] = []
    return rows, numbers


def _records(lines: list[str], separator: str, name: str) -> list[tuple[int, list[str]]]:
    """Line number and cells of every record; a forgotten quote does not swallow the lines behind it."""
    spaced = any(f'{separator} "' in line for line in lines[:2000])  # a blank between comma and quote
    csv.field_size_limit(10_000_000)
    reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=separator, skipinitialspace=spaced)
    out: list[tuple[int, list[str]]] = []
    cells, start = 0, 1
    try:
        for record in reader:
            out.append((start, record))
            start = reader.line_num + 1
            cells += len(record)
            if len(record) > MAX_COLUMNS or cells > MAX_CELLS:
                raise too_large(name, f"has {len(record):,} columns in line {start:,}")
    except csv.Error as error:
        raise BenchFileError(
            f"{name} cannot be read as a table at line {reader.line_num} ({error})"
        ) from None
    swallowed = any("\n" in c and c.count(separator) >= 3 for _, record in out for c in record)
    if not swallowed:
        return out
    return [(n, [_unquoted(c) for c in line.split(separator)]) for n, line in enumerate(lines, 1)]


def _unquoted(cell: str) -> str:
    if len(cell) >= 2 and cell[0] == cell[-1] == '"':
        return cell[1:-1].replace('""', '"')
    return cell


def _pipes(line: str) -> int:
    return line.count("|")


def _framed(lines: list[str]) -> bool:
    """Whether most piped lines begin and end with a pipe."""
    piped = [line.strip() for line in lines[:2000] if "|" in line]
    return sum(line.startswith("|") and line.endswith("|") for line in piped) >= 0.8 * len(piped)


def _unframed(record: list[str]) -> list[str]:
    """Cells of a line framed by pipes; a ruled line is blank."""
    cells = [c.strip() for c in record]
    if len(cells) > 2 and cells[0] == "" == cells[-1]:
        cells = cells[1:-1]
    return [] if cells and all(re.fullmatch(r":?-{2,}:?", c) for c in cells) else cells


def _separator(lines: list[str]) -> tuple[str | None, int]:
    """The separator that cuts most lines into the same number of cells; and a ``sep=`` line to drop."""
    for number, line in enumerate(lines[:3], 1):
        declared = re.fullmatch(r"\ufeff?\"?sep=(.)\"?", line.strip())
        if declared:
            return declared.group(1), number
    body = [line for line in lines[:2000] if line.strip() and not line.lstrip('"').startswith("#")]
    best: tuple[float, str] | None = None
    for separator in _SEPARATORS:
        try:
            counts = Counter(
                len(r)
                for r in csv.reader(io.StringIO("\n".join(body)), delimiter=separator, skipinitialspace=True)
                if r
            )
        except csv.Error:
            continue
        wide = {n: c for n, c in counts.items() if n > 2}
        narrow = counts.get(2, 0)
        agreeing = max((c * min(n, 12) for n, c in wide.items()), default=0)
        score = agreeing + 0.5 * sum(wide.values()) + 0.4 * narrow
        if separator == ",":
            score *= 0.8  # commas also stand in sentences and numbers
        if score > 0 and (best is None or score > best[0]):
            best = (score, separator)
    if best is not None and len(body) > 1 and all(line.count(best[1]) == 1 for line in body):
        return (best[1], 0) if best[1] != "," else (None, 0)
    if best is None or best[0] < min(4.0, 0.9 * len(body)):
        return None, 0
    if best[1] == "," and _fixed(lines) is not None and best[0] < 3 * len(body):
        return None, 0
    return best[1], 0


def _fixed(lines: list[str]) -> tuple[list[list[Cell]], list[int]] | None:
    """Columns that are blank in every line of a run part a fixed-width table."""
    rows: list[list[Cell]] = []
    found = False
    run: list[str] = []

    def flush() -> None:
        nonlocal found
        cuts = _blank_columns(run)
        if len(run) >= 3 and len(cuts) >= 2:
            found = True
            bounds = [0, *cuts, max(len(line) for line in run)]
            for line in run:
                pieces = [line[a:b] for a, b in pairwise(bounds)]
                rows.append([pieces[0].rstrip(), *(p.strip() for p in pieces[1:])])
        else:
            rows.extend(list(re.split(r"\s{2,}|\t", line.rstrip())) for line in run)
        run.clear()

    for line in lines:
        if line.strip():
            run.append(line.expandtabs(8))
        else:
            flush()
            rows.append([])
    flush()
    return (rows, list(range(1, len(rows) + 1))) if found else None


def _blank_columns(run: list[str]) -> list[int]:
    """Where columns start: positions behind two or more characters blank in every line."""
    if not run:
        return []
    width = max(len(line) for line in run)
    blank = [all(len(line) <= i or line[i] == " " for line in run) for i in range(width)]
    cuts: list[int] = []
    first_text = next((i for i in range(width) if not blank[i]), width)
    for i in range(first_text + 2, width):
        if not blank[i] and blank[i - 1] and blank[i - 2]:
            cuts.append(i)
    return cuts
