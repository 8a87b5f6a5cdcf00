"""Typeset formulas: from the same tree, for documents (typst maths) and pages (MathML)."""

from __future__ import annotations

from abc import ABC, abstractmethod
from html import escape

from .amounts import plain_unit
from .formula import (
    Arithmetic,
    Call,
    Column,
    Comparison,
    Logic,
    Name,
    Negative,
    Node,
    Not,
    Number,
    NumberIn,
    Pick,
    Quantity,
    parse,
)
from .worked import ATOM, OR, POWER, PRODUCT, SUM, strength

#: How a function's name reads in print where it stays a name.
_SPOKEN = {"whole_up": "round up", "whole_down": "round down", "atan": "arctan", "log10": "log"}
#: Names that are printed as the Greek letter they spell.
_GREEK = {
    "alpha": "α", "beta": "β", "delta": "δ", "epsilon": "ε", "eta": "η", "theta": "θ", "mu": "µ",
    "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "omega": "ω",
}  # fmt: skip
_SIGNS = {"<=": "≤", ">=": "≥", "==": "=", "!=": "≠", "<": "<", ">": ">"}


def to_typst(formula: str | Node) -> str:
    """A formula in typst's maths language, without the dollar signs."""
    return _Typst().write(parse(formula) if isinstance(formula, str) else formula)


def to_mathml(formula: str | Node) -> str:
    """A formula as a MathML element."""
    tree = parse(formula) if isinstance(formula, str) else formula
    return f"<math>{_MathML().write(tree)}</math>"


class Setter(ABC):
    """Walks a tree; the two languages say how the pieces look."""

    def write(self, node: Node, place: int = OR) -> str:
        said = self.bare(node)
        # A fraction, a root and a bracketed function hold together by their look alone.
        weak = strength(node) < place and not self.is_fraction(node)
        return self.brackets(said) if weak else said

    @staticmethod
    def is_fraction(node: Node) -> bool:
        return isinstance(node, Arithmetic) and node.op == "/"

    def bare(self, node: Node) -> str:
        match node:
            case Number(_, text):
                return self.number(text)
            case Name("pi"):
                return self.symbol("pi")
            case Name(name):
                return self.name(name)
            case Column(row, column):
                return self.subscript(self.word(column), self.word(row.replace("_", " ")))
            case Negative(of):
                return self.row(self.sign("−"), self.write(of, POWER))
            case Arithmetic("/", left, right):
                return self.fraction(self.write(left), self.write(right))
            case Arithmetic("^", base, exponent):
                # A fraction under a power needs its brackets after all.
                under = self.write(base, ATOM)
                under = self.brackets(under) if self.is_fraction(base) else under
                return self.power(under, self.write(exponent))
            case Arithmetic(op, left, right):
                return self.infix(op, left, right)
            case Comparison(op, left, right):
                return self.row(self.write(left, SUM), self.sign(_SIGNS[op]), self.write(right, SUM))
            case Logic(op, left, right):
                level = strength(node)
                return self.row(self.write(left, level), self.spaced(op), self.write(right, level))
            case Not(of):
                return self.row(self.spaced("not"), self.write(of, strength(node)))
            case NumberIn(of, unit):
                return self.in_unit(of, unit)
            case Quantity(of, unit):
                return self.row(self.write(of, ATOM), self.unit(unit))
            case Pick(table, condition):
                where = self.row(self.spaced("first of"), self.word(table.replace("_", " ")))
                return self.row(where, self.spaced("with"), self.write(condition))
            case Call(function, arguments):
                return self.call(function, arguments)

    def infix(self, op: str, left: Node, right: Node) -> str:
        level = SUM if op in "+-" else PRODUCT
        sign = {"*": "·", "-": "−"}.get(op, op)
        closer = POWER if isinstance(right, Negative) else level + (op == "-")
        return self.row(self.write(left, level), self.sign(sign), self.write(right, closer))

    def in_unit(self, of: Node, unit: str) -> str:
        """``number(x, "mm")``: x divided by its unit, as ISO 80000-1 writes a numerical value."""
        if not unit.strip():
            return self.write(of)
        return self.row(self.write(of, ATOM), self.sign("/"), self.unit(unit))

    def call(self, function: str, arguments: tuple[Node, ...]) -> str:
        written = [self.write(argument) for argument in arguments]
        if function == "where":
            return self.cases(*written)
        if function == "sqrt":
            return self.root(written[0])
        if function == "exp":
            return self.power(self.symbol("e"), written[0])
        fences = {"abs": "||", "whole_up": "⌈⌉", "whole_down": "⌊⌋"}.get(function)
        if fences:
            return self.fenced(fences[0], written[0], fences[1])
        name = self.operator(_SPOKEN.get(function, function))
        if function == "log10":
            name = self.subscript(name, self.number("10"))
        return self.row(name, self.brackets(self.listed(written)))

    def name(self, name: str) -> str:
        """The first word of a name, the rest as its subscript."""
        first, _, rest = name.partition("_")
        short = _GREEK.get(first, first)
        main = self.letter(short) if len(short) == 1 else self.word(first)
        return self.subscript(main, self.word(rest.replace("_", " "))) if rest else main

    def brackets(self, said: str) -> str:
        return self.fenced("(", said, ")")

    @abstractmethod
    def number(self, text: str) -> str: ...
    @abstractmethod
    def word(self, text: str) -> str: ...
    @abstractmethod
    def letter(self, text: str) -> str: ...
    @abstractmethod
    def operator(self, text: str) -> str: ...
    @abstractmethod
    def spaced(self, text: str) -> str: ...
    @abstractmethod
    def symbol(self, name: str) -> str: ...
    @abstractmethod
    def sign(self, sign: str) -> str: ...
    @abstractmethod
    def unit(self, text: str) -> str: ...
    @abstractmethod
    def row(self, *parts: str) -> str: ...
    @abstractmethod
    def listed(self, parts: list[str]) -> str: ...
    @abstractmethod
    def fenced(self, left: str, said: str, right: str) -> str: ...
    @abstractmethod
    def fraction(self, above: str, below: str) -> str: ...
    @abstractmethod
    def power(self, base: str, exponent: str) -> str: ...
    @abstractmethod
    def subscript(self, main: str, below: str) -> str: ...
    @abstractmethod
    def root(self, said: str) -> str: ...
    @abstractmethod
    def cases(self, condition: str, yes: str, no: str) -> str: ...


class _Typst(Setter):
    def number(self, text: str) -> str:
        mantissa, _, exponent = text.lower().partition("e")
        return f"{mantissa} dot 10^({int(exponent)})" if exponent else mantissa

    def word(self, text: str) -> str:
        return f'upright("{text}")'

    def letter(self, text: str) -> str:
        return text

    def operator(self, text: str) -> str:
        return f'op("{text}")'

    def spaced(self, text: str) -> str:
        return f'" {text} "'

    def symbol(self, name: str) -> str:
        return "pi" if name == "pi" else f"upright({name})"

    def sign(self, sign: str) -> str:
        named = {"·": "dot", "−": "-", "≤": "<=", "≥": ">=", "≠": "!=", "/": 'upright("/")'}
        return named.get(sign, sign)

    def unit(self, text: str) -> str:
        return f'thin upright("{plain_unit(text)}")'

    def row(self, *parts: str) -> str:
        return " ".join(parts)

    def listed(self, parts: list[str]) -> str:
        return '"," thick '.join(parts)

    def fenced(self, left: str, said: str, right: str) -> str:
        sides = {"(": ("paren.l", "paren.r"), "|": ("bar.v", "bar.v"), "⌈": ("ceil.l", "ceil.r")}
        low, high = sides.get(left, ("floor.l", "floor.r"))
        return f"lr({low} {said} {high})"

    def fraction(self, above: str, below: str) -> str:
        return f"frac({above}, {below})"

    def power(self, base: str, exponent: str) -> str:
        return f"attach({base}, t: {exponent})"

    def subscript(self, main: str, below: str) -> str:
        return f"attach({main}, b: {below})"

    def root(self, said: str) -> str:
        return f"sqrt({said})"

    def cases(self, condition: str, yes: str, no: str) -> str:
        return f'cases({yes} &" if " {condition}, {no} &" otherwise")'


class _MathML(Setter):
    def number(self, text: str) -> str:
        mantissa, _, exponent = text.lower().partition("e")
        if not exponent:
            return f"<mn>{mantissa}</mn>"
        ten = self.power("<mn>10</mn>", f"<mn>{int(exponent)}</mn>")
        return self.row(f"<mn>{mantissa}</mn>", self.sign("·"), ten)

    def word(self, text: str) -> str:
        return f'<mi mathvariant="normal">{escape(text)}</mi>'

    def letter(self, text: str) -> str:
        return f"<mi>{escape(text)}</mi>"

    def operator(self, text: str) -> str:
        return f'<mi mathvariant="normal">{escape(text)}</mi>'

    def spaced(self, text: str) -> str:
        return f"<mtext>\u00a0{escape(text)}\u00a0</mtext>"

    def symbol(self, name: str) -> str:
        return "<mi>π</mi>" if name == "pi" else f'<mi mathvariant="normal">{name}</mi>'

    def sign(self, sign: str) -> str:
        return f"<mo>{escape(sign)}</mo>"

    def unit(self, text: str) -> str:
        return f"<mtext>\u202f{escape(plain_unit(text))}</mtext>"

    def row(self, *parts: str) -> str:
        return f"<mrow>{''.join(parts)}</mrow>"

    def listed(self, parts: list[str]) -> str:
        return "<mo>,</mo>".join(parts)

    def fenced(self, left: str, said: str, right: str) -> str:
        return f"<mrow><mo>{left}</mo>{said}<mo>{right}</mo></mrow>"

    def fraction(self, above: str, below: str) -> str:
        return f"<mfrac>{self.row(above)}{self.row(below)}</mfrac>"

    def power(self, base: str, exponent: str) -> str:
        return f"<msup>{self.row(base)}{self.row(exponent)}</msup>"

    def subscript(self, main: str, below: str) -> str:
        return f"<msub>{self.row(main)}{self.row(below)}</msub>"

    def root(self, said: str) -> str:
        return f"<msqrt>{said}</msqrt>"

    def cases(self, condition: str, yes: str, no: str) -> str:
        first = f"<mtr><mtd>{yes}</mtd><mtd>{self.spaced('if')}{condition}</mtd></mtr>"
        second = f"<mtr><mtd>{no}</mtd><mtd>{self.spaced('otherwise')}</mtd></mtr>"
        return f"<mrow><mo>{{</mo><mtable>{first}{second}</mtable></mrow>"
