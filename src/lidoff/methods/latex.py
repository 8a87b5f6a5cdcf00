"""Typeset formulas in LaTeX's maths, for Markdown pages."""

from __future__ import annotations

from .amounts import plain_unit
from .formula import Node, parse
from .typeset import Setter

_SIGNS = {"·": r"\cdot", "−": "-", "≤": r"\le", "≥": r"\ge", "≠": r"\ne", "/": "/", "<": "<", ">": ">"}
_GREEK = {
    "α": r"\alpha", "β": r"\beta", "δ": r"\delta", "ε": r"\varepsilon", "η": r"\eta", "θ": r"\theta",
    "µ": r"\mu", "ρ": r"\rho", "σ": r"\sigma", "τ": r"\tau", "φ": r"\varphi", "ω": r"\omega",
}  # fmt: skip
_FENCES = {
    "(": (r"\left(", r"\right)"), "|": (r"\left|", r"\right|"), "⌈": (r"\left\lceil", r"\right\rceil"),
    "⌊": (r"\left\lfloor", r"\right\rfloor"),
}  # fmt: skip
_SPECIAL = str.maketrans({"%": r"\%", "_": r"\_", "#": r"\#", "&": r"\&", "$": r"\$", "{": r"\{", "}": r"\}"})


def to_latex(formula: str | Node) -> str:
    """A formula in LaTeX's maths, without the dollar signs."""
    return _Latex().write(parse(formula) if isinstance(formula, str) else formula)


class _Latex(Setter):
    def number(self, text: str) -> str:
        mantissa, _, exponent = text.lower().partition("e")
        return rf"{mantissa}\cdot 10^{{{int(exponent)}}}" if exponent else mantissa

    def word(self, text: str) -> str:
        return rf"\text{{{text.translate(_SPECIAL)}}}"

    def letter(self, text: str) -> str:
        return _GREEK.get(text, text)

    def operator(self, text: str) -> str:
        return rf"\operatorname{{{text.replace(' ', '~')}}}"

    def spaced(self, text: str) -> str:
        return rf"\;\text{{{text}}}\;"

    def symbol(self, name: str) -> str:
        return r"\pi" if name == "pi" else rf"\mathrm{{{name}}}"

    def sign(self, sign: str) -> str:
        return _SIGNS.get(sign, sign)

    def unit(self, text: str) -> str:
        return rf"\,\text{{{plain_unit(text).translate(_SPECIAL)}}}"

    def row(self, *parts: str) -> str:
        return " ".join(parts)

    def listed(self, parts: list[str]) -> str:
        return r",\; ".join(parts)

    def fenced(self, left: str, said: str, right: str) -> str:
        opening, closing = _FENCES[left]
        return f"{opening} {said} {closing}"

    def fraction(self, above: str, below: str) -> str:
        return rf"\frac{{{above}}}{{{below}}}"

    def power(self, base: str, exponent: str) -> str:
        return f"{{{base}}}^{{{exponent}}}"

    def subscript(self, main: str, below: str) -> str:
        return f"{main}_{{{below}}}"

    def root(self, said: str) -> str:
        return rf"\sqrt{{{said}}}"

    def cases(self, condition: str, yes: str, no: str) -> str:
        first = rf"{yes} & \text{{if }} {condition} \\"
        return rf"\begin{{cases}} {first} {no} & \text{{otherwise}} \end{{cases}}"
