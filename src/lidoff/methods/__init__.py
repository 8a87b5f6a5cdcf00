"""Method books: closed-form calculations as data, and the one engine that reads them."""

from .book import Book, BookError, Check, CheckKind, Input, Line, Seen
from .calculate import Row, Table, Value
from .formula import FormulaError, parse
from .load import load_book, read_book
from .run import Draw, Run, run
from .shelf import books, read_shelf

__all__ = [
    "Book",
    "BookError",
    "Check",
    "CheckKind",
    "Draw",
    "FormulaError",
    "Input",
    "Line",
    "Row",
    "Run",
    "Seen",
    "Table",
    "Value",
    "books",
    "load_book",
    "parse",
    "read_book",
    "read_shelf",
    "run",
]
