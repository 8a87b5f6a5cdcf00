"""The shelf: the shipped method books, and a user's own beside them with the routes that lead to them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType

from .book import Book, BookError
from .checks import run_checks
from .load import load_book
from .routes import RouteError, RouteTable, overlaid, routes

BOOKS = Path(__file__).parent / "books"
OWN_BOOKS = "books"
OWN_ROUTES = "routes.toml"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shelf(Mapping[str, Book]):
    """Shipped books and a user's own, by name.

    ``own`` are the names of the user's, ``faults`` say in a sentence each what was left out and why,
    ``routes`` is the route table with the user's laid over it.
    """

    books: Mapping[str, Book] = field(repr=False)
    own: frozenset[str] = frozenset()
    faults: tuple[str, ...] = ()
    routes: RouteTable = field(repr=False)

    def __getitem__(self, name: str) -> Book:
        return self.books[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.books)

    def __len__(self) -> int:
        return len(self.books)


def read_shelf(folder: Path) -> dict[str, Book]:
    """All books of a folder and its topics by name. Raises `BookError`."""
    found: dict[str, Book] = {}
    for file in sorted(folder.rglob("*.toml")):
        book = load_book(file)
        if book.name in found:
            raise BookError(f"{file}:1: a book named {book.name!r} is there already")
        found[book.name] = book
    return found


@cache
def books() -> Mapping[str, Book]:
    """The shipped books by name."""
    return MappingProxyType(read_shelf(BOOKS))


def routes_of(shelf: Mapping[str, Book]) -> RouteTable:
    """The route table that belongs to a shelf."""
    return shelf.routes if isinstance(shelf, Shelf) else routes()


def own_shelf(workspace: Path) -> Shelf:
    """The shipped books with those of a workspace, ``books/**/*.toml`` and ``routes.toml``.

    A book that cannot be read, fails a check of its own or takes the name of a shipped one is left
    out and told among the faults; the others stand.
    """
    own: dict[str, Book] = {}
    faults: list[str] = []
    for file in own_files(workspace):
        try:
            book = load_book(file)
            _refuse(book, own)
        except BookError as error:
            faults.append(f"The book is left out: {error}")
        else:
            own[book.name] = book
    shelf = MappingProxyType({**books(), **own})
    table = routes()
    try:
        table = _own_routes(workspace, shelf)
    except RouteError as error:
        faults.append(f"Your routes are left out: {error}")
    return Shelf(books=shelf, own=frozenset(own), faults=tuple(faults), routes=table)


def own_files(workspace: Path) -> list[Path]:
    """The user's own books, in the order they are read."""
    return sorted(path for path in (workspace / OWN_BOOKS).rglob("*.toml") if path.is_file())


def _refuse(book: Book, own: Mapping[str, Book]) -> None:
    if book.name in books():
        raise BookError(f"{book.file}:1: a shipped book is named {book.name!r} already: rename the file")
    if book.name in own:
        raise BookError(f"{book.file}:1: {own[book.name].file} is named {book.name!r} already")
    for result in run_checks(book):
        if not result.passed:
            because = f" ({result.says})" if result.says else ""
            raise BookError(
                f"{book.file}:1: its check {result.number} fails: {result.name} is {result.got}, "
                f"expected {result.expected}{because}"
            )


def _own_routes(workspace: Path, shelf: Mapping[str, Book]) -> RouteTable:
    file = workspace / OWN_ROUTES
    if not file.is_file():
        return routes()
    try:
        text = file.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise RouteError(f"{file.name} cannot be read as text: {error}") from error
    table = overlaid(text, file.name)
    for process in table.processes.values():
        unknown = [method for method in process.methods if method not in shelf]
        if unknown:
            raise RouteError(f"{file.name}: process {process.key!r} names {unknown[0]!r}, which is no method")
    return table
