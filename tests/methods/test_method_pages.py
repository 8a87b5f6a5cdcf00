"""The pages of the method books are up to date, and formulas read in LaTeX as they are meant."""

from __future__ import annotations

from pathlib import Path

import pytest
from make_docs import HOME, pages

from lidoff.methods import books
from lidoff.methods.latex import to_latex


def test_the_pages_are_those_the_books_give() -> None:
    """``make docs`` writes them anew."""
    wanted = pages()
    assert {path.name for path in HOME.glob("*.md")} == wanted.keys()
    stale = [name for name, text in wanted.items() if Path(HOME / name).read_text("utf-8") != text]
    assert stale == []


def test_every_line_and_source_of_a_book_is_on_its_page() -> None:
    for book in books().values():
        page = pages()[f"{book.name}.md"]
        assert all(f"**{name}**" in page for name in book.lines), book.name
        assert all(f"- {source}: " in page for source in book.sources), book.name
        # The word alone is said of a check that fails; such a page is never written down unnoticed.
        assert "; differs" not in page, book.name


@pytest.mark.parametrize(
    ("formula", "latex"),
    [
        ("a/(b + c)", r"\frac{a}{b + c}"),
        ("sqrt(x^2)", r"\sqrt{{x}^{2}}"),
        ("pi/4*d^2", r"\frac{\pi}{4} \cdot {d}^{2}"),
        ("1e-3*x", r"1\cdot 10^{-3} \cdot x"),
        ("whole_up(n)", r"\left\lceil n \right\rceil"),
        ('number(t, "mm")', r"t / \,\text{mm}"),
        ("where(a < b, 1, 2)", r"\begin{cases} 1 & \text{if } a < b \\ 2 & \text{otherwise} \end{cases}"),
        ("press.rate", r"\text{rate}_{\text{press}}"),
    ],
)
def test_formulas_in_latex(formula: str, latex: str) -> None:
    assert to_latex(formula) == latex


def test_every_shipped_formula_is_typeset_with_closed_brackets() -> None:
    for book in books().values():
        for line in book.lines.values():
            text = to_latex(line.formula.tree)
            assert text.count("{") == text.count("}"), text
            assert text.count(r"\left") == text.count(r"\right"), text
