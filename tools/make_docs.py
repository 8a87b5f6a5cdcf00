"""Writes the pages of the method books: ``python tools/make_docs.py [folder]``, by default ``docs/methods``.

Everything on a page comes from its book: what it is, inputs, formulas with units and sources, limits, and the
checks with what the engine gives today. Pages of books that are gone are removed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from lidoff.methods import Book, Input, Line, books, run_checks
from lidoff.methods.amounts import plain_unit
from lidoff.methods.latex import to_latex
from lidoff.sources import cite

HOME = Path(__file__).parents[1] / "docs" / "methods"
TOPICS = {
    "cost.buy": "Bought parts", "cost.join": "Joining", "cost.rate": "Rates", "cost.shape": "Shaping",
    "cost.stack": "Price", "physics.coat": "Physics of coating", "physics.cut": "Physics of cutting",
    "physics.form": "Physics of forming", "physics.join": "Physics of joining",
}  # fmt: skip


def pages() -> dict[str, str]:
    """File name to text, of every book and the index."""
    shelf = sorted(books().values(), key=lambda book: (book.topic, book.name))
    found = {f"{book.name}.md": "\n".join(_page(book)) + "\n" for book in shelf}
    found["index.md"] = "\n".join(_index(shelf)) + "\n"
    return found


def _index(shelf: list[Book]) -> Iterator[str]:
    yield "# Methods\n"
    yield "Generated from the method books by `make docs`; do not edit.\n"
    last = ""
    for book in shelf:
        if book.topic != last:
            yield f"{'' if not last else chr(10)}## {TOPICS.get(book.topic, book.topic)}\n"
            last = book.topic
        yield f"- [{book.title}]({book.name}.md): {book.about}"


def _page(book: Book) -> Iterator[str]:
    yield f"# {book.title}\n"
    topic = TOPICS.get(book.topic, book.topic).lower()
    yield f"`{book.name}`, {topic}. Generated from its book by `make docs`.\n"
    yield f"{book.about}\n"
    yield "## Inputs\n"
    yield "| input | unit | what it is | range | where nothing is said | source |\n|---|---|---|---|---|---|"
    for entry in book.inputs.values():
        yield _row(*_input(entry))
    yield from _tables(book)
    yield "\n## Formulas\n"
    for line in book.lines.values():
        yield from _line(line)
    if book.limits:
        yield "## Limits\n"
        yield "Where one of these does not hold, the result carries a warning.\n"
        for limit in book.limits:
            yield f"- $ {to_latex(limit.holds.tree)} $: {limit.says}"
        yield ""
    yield from _checks(book)
    if book.sources:
        yield "## Sources\n"
        for source in book.sources:
            yield f"- {source}: {cite(source)}"


def _input(entry: Input) -> tuple[str, ...]:
    if entry.columns is not None:
        unit = ", ".join(f"{name} {plain_unit(u.text)}" if u else name for name, u in entry.columns.items())
    else:
        unit = plain_unit(entry.unit.text)
    said = []
    if entry.comes_from:
        said.append(f"from {entry.comes_from}")
    if entry.default is not None:
        text = entry.default_text or ""
        said.append(f"`{text}` ({entry.default.basis}, ±{100 * entry.default.spread:g} %)")
    return (
        entry.name,
        unit,
        entry.about,
        plain_unit(entry.range_text),
        "; else ".join(said),
        entry.source or "",
    )


def _tables(book: Book) -> Iterator[str]:
    for table in book.tables.values():
        yield f"\n## Table {table.name}\n"
        heads = [f"{name} ({plain_unit(unit.text)})" if unit else name for name, unit in table.units.items()]
        yield _row(*heads)
        yield "|" + "---|" * len(heads)
        for n in range(table.table.rows):
            cells = []
            for name, unit in table.units.items():
                if unit is None:
                    cells.append(table.table.words[name][n])
                else:
                    cells.append(f"{unit.from_si(float(table.table.columns[name][n])):.6g}")
            yield _row(*cells)
        if table.source:
            yield f"\n{cite(table.source)}"


def _line(line: Line) -> Iterator[str]:
    unit = plain_unit(line.unit.text)
    yield (
        f"**{line.name}**" + (f" [{unit}]" if unit else "") + (f": {line.about}" if line.about else "") + "\n"
    )
    yield f"$$ {to_latex(line.name)} = {to_latex(line.formula.tree)} $$\n"
    if line.source:
        yield f"{cite(line.source)}\n"


def _checks(book: Book) -> Iterator[str]:
    yield "## Checks\n"
    if not book.checked:
        yield "Unchecked: no check stands behind this method.\n"
    for number, group in groupby(run_checks(book), key=lambda result: result.number):
        results = list(group)
        first = results[0]
        of = f", tolerance {100 * first.rel:.3g} %"
        yield f"{number}. **{first.kind}**{of}: {cite(first.source)}; {first.where}"
        for result in results:
            verdict = "print refuted" if result.refuted else "agrees"
            verdict = verdict if result.passed else "differs"
            says = f": {result.says}" if result.says else ""
            yield f"    - {result.name}: {plain_unit(result.expected)}; here {result.got}; {verdict}{says}"
    yield ""


def _row(*cells: str) -> str:
    return "| " + " | ".join(" ".join(cell.replace("|", "\\|").split()) for cell in cells) + " |"


def main(arguments: list[str]) -> int:
    folder = Path(arguments[0]) if arguments else HOME
    folder.mkdir(parents=True, exist_ok=True)
    wanted = pages()
    for gone in {path.name for path in folder.glob("*.md")} - wanted.keys():
        (folder / gone).unlink()
    for name, text in wanted.items():
        (folder / name).write_text(text, encoding="utf-8")
    print(f"{len(wanted)} pages in {folder}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
