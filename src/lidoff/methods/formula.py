"""Formulas: the small language of method books, read into a tree of our own.

A formula is text from a file that anybody may have written, so it is never handed to Python:
this parser knows names, numbers, + - * / ^, comparisons, a fixed list of functions and
``row.column``, and nothing else exists in it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from .brief import brief
from .functions import FUNCTIONS

LONGEST = 1000  # characters of one formula
LONGEST_WORD = 80  # letters of a name, a number or a unit
DEEPEST = 40  # brackets and operators inside one another


class FormulaError(ValueError):
    """A formula that is refused; the message is the reason in one sentence."""


# Nodes are positional, so that trees can be taken apart by pattern.
@dataclass(frozen=True, slots=True)
class Number:
    value: float
    text: str


@dataclass(frozen=True, slots=True)
class Name:
    name: str


@dataclass(frozen=True, slots=True)
class Column:
    """``press.rate``: a column of the row that a `pick` line chose."""

    row: str
    column: str


@dataclass(frozen=True, slots=True)
class Negative:
    of: Node


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """``op`` is one of ``+ - * / ^``."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Comparison:
    """``op`` is one of ``< <= > >= == !=``."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Logic:
    """``op`` is ``and`` or ``or``."""

    op: str
    left: Node
    right: Node


@dataclass(frozen=True, slots=True)
class Not:
    of: Node


@dataclass(frozen=True, slots=True)
class Call:
    function: str
    arguments: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class NumberIn:
    """``number(x, "mm")``: the plain number of x in that unit."""

    of: Node
    unit: str


@dataclass(frozen=True, slots=True)
class Quantity:
    """``quantity(3, "mm")``: a plain number with that unit."""

    of: Node
    unit: str


@dataclass(frozen=True, slots=True)
class Pick:
    """``pick(table, condition)``: the first row of the table that satisfies the condition."""

    table: str
    condition: Node


Node = (
    Number | Name | Column | Negative | Arithmetic | Comparison | Logic | Not | Call | NumberIn | Quantity
    | Pick
)  # fmt: skip


_TOKEN = re.compile(
    r"""\s*(?:
    (?P<number>(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)
  | (?P<name>[A-Za-z_]\w*)
  | (?P<text>"[^"\\\n]*"|'[^'\\\n]*')
  | (?P<op>\*\*|<=|>=|==|!=|[-+*/^<>(),.])
    )""",
    re.VERBOSE | re.ASCII,
)
_COMPARISONS = ("<", "<=", ">", ">=", "==", "!=")
_WORDS = ("and", "or", "not")


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str


def _tokens(text: str) -> Iterator[_Token]:
    position, end = 0, len(text.rstrip())
    while position < end:
        found = _TOKEN.match(text, position)
        if not found or found.lastgroup is None:
            odd = text[position:].lstrip()[0]
            raise FormulaError(f"{odd!r} has no meaning in a formula")
        kind, word = found.lastgroup, found.group(found.lastgroup)
        if kind == "name" and word in _WORDS:
            kind = "op"
        if len(word) > LONGEST_WORD:
            raise FormulaError(f"{brief(word)} is longer than {LONGEST_WORD} letters")
        position = found.end()
        if kind == "number" and re.match(r"[\w.]", text[position : position + 1]):
            raise FormulaError(f"{brief(word + text[position:].split()[0])} is neither a number nor a name")
        yield _Token(kind, "^" if word == "**" else word)
    yield _Token("end", "")


class _Parser:
    """Recursive descent; each method reads one level of precedence."""

    def __init__(self, text: str) -> None:
        self.tokens = list(_tokens(text))
        self.at = 0
        self.depth = 0

    @property
    def next(self) -> _Token:
        return self.tokens[self.at]

    def take(self, *texts: str) -> str | None:
        """Take the next token if it is one of these operators."""
        token = self.next
        if token.kind == "op" and token.text in texts:
            self.at += 1
            return token.text
        return None

    def need(self, text: str, after: str) -> None:
        if not self.take(text):
            found = brief(self.next.text) if self.next.kind != "end" else "the end"
            raise FormulaError(f"{text!r} is wanted after {after}, not {found}")

    def formula(self) -> Node:
        tree = self.either()
        if self.next.kind != "end":
            raise FormulaError(f"{brief(self.next.text)} is not expected there")
        return tree

    def either(self) -> Node:
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaError(f"it is nested deeper than {DEEPEST} levels")
        tree = self.both()
        while self.take("or"):
            tree = Logic("or", tree, self.both())
        self.depth -= 1
        return tree

    def both(self) -> Node:
        tree = self.negation()
        while self.take("and"):
            tree = Logic("and", tree, self.negation())
        return tree

    def negation(self) -> Node:
        if self.take("not"):
            return Not(self.negation())
        return self.comparison()

    def comparison(self) -> Node:
        left = self.sum()
        tree: Node | None = None
        while op := self.take(*_COMPARISONS):  # a <= x <= b means (a <= x) and (x <= b)
            right = self.sum()
            link = Comparison(op, left, right)
            tree = link if tree is None else Logic("and", tree, link)
            left = right
        return left if tree is None else tree

    def sum(self) -> Node:
        tree = self.product()
        while op := self.take("+", "-"):
            tree = Arithmetic(op, tree, self.product())
        return tree

    def product(self) -> Node:
        tree = self.signed()
        while op := self.take("*", "/"):
            tree = Arithmetic(op, tree, self.signed())
        return tree

    def signed(self) -> Node:
        signs = 0
        while sign := self.take("-", "+"):
            signs += sign == "-"
        tree = self.power()
        return Negative(tree) if signs % 2 else tree

    def power(self) -> Node:
        base = self.atom()
        if not self.take("^"):
            return base
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaError(f"it is nested deeper than {DEEPEST} levels")
        exponent = self.signed()  # right to left: a^b^c is a^(b^c)
        self.depth -= 1
        return Arithmetic("^", base, exponent)

    def atom(self) -> Node:
        token = self.next
        self.at += 1
        if token.kind == "number":
            value = float(token.text)
            if not math.isfinite(value):
                raise FormulaError(f"{token.text} is too large for a number")
            return Number(value, token.text)
        if token.kind == "name":
            return self.named(token.text)
        if token.kind == "op" and token.text == "(":
            tree = self.either()
            self.need(")", "a bracketed part")
            return tree
        if token.kind == "text":
            raise FormulaError(
                f"text {brief(token.text[1:-1])} may only be the unit in number() or quantity()"
            )
        what = "ends too early" if token.kind == "end" else f"has {brief(token.text)} where a value is wanted"
        raise FormulaError(f"the formula {what}")

    def named(self, name: str) -> Node:
        _refuse_dunder(name)
        if self.take("("):
            return self.call(name)
        if name in FUNCTIONS:
            raise FormulaError(f"{name} is a function and needs its brackets")
        if not self.take("."):
            return Name(name)
        token = self.next
        if token.kind != "name":
            raise FormulaError(f"a column name is wanted after {name!r} and its dot")
        self.at += 1
        _refuse_dunder(token.text)
        if self.next.kind == "op" and self.next.text in ("(", "."):
            raise FormulaError(
                f"attribute access {name}.{token.text}{self.next.text} is not allowed, only row.column"
            )
        return Column(name, token.text)

    def call(self, name: str) -> Node:
        function = FUNCTIONS.get(name)
        if function is None:
            raise FormulaError(f"{name}() is not one of the functions: {', '.join(FUNCTIONS)}")
        if name in ("number", "quantity"):
            inner = self.either()
            self.need(",", f"the first argument of {name}()")
            unit = self.next
            if unit.kind != "text":
                raise FormulaError(f'the second argument of {name}() is a unit in quotes, such as "mm"')
            self.at += 1
            self.need(")", f"the unit in {name}()")
            return (NumberIn if name == "number" else Quantity)(inner, unit.text[1:-1])
        arguments: list[Node] = []
        if not self.take(")"):
            arguments.append(self.either())
            while self.take(","):
                arguments.append(self.either())
            self.need(")", f"the arguments of {name}()")
        if not function.fewest <= len(arguments) <= function.most:
            wanted = (
                str(function.fewest) if function.fewest == function.most else f"{function.fewest} or more"
            )
            raise FormulaError(f"{name}() takes {wanted} arguments, not {len(arguments)}")
        if name == "pick":
            table = arguments[0]
            if not isinstance(table, Name):
                raise FormulaError("the first argument of pick() is the name of a table")
            return Pick(table.name, arguments[1])
        return Call(name, tuple(arguments))


def _refuse_dunder(name: str) -> None:
    if name.startswith("_") or "__" in name:
        raise FormulaError(f"the name {name!r} is not allowed (no leading or double underscore)")


def parse(text: str) -> Node:
    """Read a formula. Raises `FormulaError` with the reason in one sentence."""
    if len(text) > LONGEST:
        raise FormulaError(f"it is longer than {LONGEST} characters")
    return _Parser(text).formula()


def children(node: Node) -> tuple[Node, ...]:
    """The parts of a node, left to right."""
    match node:
        case Arithmetic(_, left, right) | Comparison(_, left, right) | Logic(_, left, right):
            return left, right
        case Negative(of) | Not(of) | NumberIn(of, _) | Quantity(of, _):
            return (of,)
        case Call(_, arguments):
            return arguments
        case Pick(_, condition):
            return (condition,)
        case _:
            return ()


def names(node: Node) -> frozenset[str]:
    """All names a formula speaks of: inputs, lines, tables, and inside a pick its columns."""
    match node:
        case Name(name):
            return frozenset((name,))
        case Column(row, _):
            return frozenset((row,))
    own = frozenset((node.table,)) if isinstance(node, Pick) else frozenset()
    return own.union(*(names(child) for child in children(node)))
