"""Method books: closed-form calculations as data, and the one engine that reads them."""

from .book import Book, BookError, Check, CheckKind, Input, Line, Seen
from .calc import Answer, CalcError, calc
from .calculate import Row, Table, Value
from .checks import CheckResult, run_checks
from .formula import FormulaError, parse
from .load import load_book, read_book
from .run import Draw, Run, run
from .shelf import Shelf, books, own_shelf, read_shelf, routes_of
from .worked import WorkedLine, worked

__all__ = [
    "Answer",
    "Book",
    "BookError",
    "CalcError",
    "Check",
    "CheckKind",
    "CheckResult",
    "Draw",
    "FormulaError",
    "Input",
    "Line",
    "Row",
    "Run",
    "Seen",
    "Shelf",
    "Table",
    "Value",
    "WorkedLine",
    "books",
    "calc",
    "load_book",
    "own_shelf",
    "parse",
    "read_book",
    "read_shelf",
    "routes_of",
    "run",
    "run_checks",
    "worked",
]
