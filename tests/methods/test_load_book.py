"""Behaviour of loading: a book is read whole, or refused with file, line and reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.methods import BookError, CheckKind, Seen, load_book, read_book

BOOK = """\
title = "Blanking"
about = "Cutting a flat blank from strip"
topic = "cost.shape"
outputs = ["force", "price"]

[inputs.gauge]
unit = "mm"
about = "sheet thickness"
range = [0.1, 8]

[inputs]
length = { unit = "mm", about = "length" }
width = { unit = "mm", about = "width" }

[inputs.perimeter]
unit = "mm"
about = "cut edge"
default = ["2*(length + width)", 100]
basis = "estimated"
spread = 0.3

[inputs.shear]
unit = "MPa"
about = "shear strength"
from = "material.shear_strength"

[tables.classes]
columns = { name = "text", most = "kN", cost = "money" }
rows = [
  ["small", 50, 1000],
  ["large", 500, 4000],
]

[[lines]]
name = "force"
unit = "kN"
formula = "perimeter*gauge*shear"
source = "somebody, p. 3"

[[lines]]
name = "class"
formula = "pick(classes, most >= force)"

[[lines]]
name = "price"
unit = "money"
formula = "class.cost"

[[limits]]
holds = "perimeter >= 4*gauge"
says = "The hole is smaller than its sheet is thick."

[[checks]]
kind = "published"
source = "somebody, p. 4"
seen = "memory"
rel = 0.002
reason = "half a unit of the last printed digit"

[checks.inputs]
gauge = "1.5 mm"
perimeter = "62.83 mm"
shear = "300 N/mm^2"

[checks.expect]
force = "28.3 kN"
"class.cost" = "1000 money"
"""


def read(text: str = BOOK) -> object:
    return read_book(text, name="blanking", file="books/cost.shape/blanking.toml")


def test_reads_a_whole_book(tmp_path: Path) -> None:
    file = tmp_path / "books" / "cost.shape" / "blanking.toml"
    file.parent.mkdir(parents=True)
    file.write_text(BOOK, encoding="utf-8")
    book = load_book(file)
    assert (book.name, book.file, book.topic) == ("blanking", "books/cost.shape/blanking.toml", "cost.shape")
    assert book.outputs == ("force", "price")
    assert book.sources == ("somebody",)
    assert book.inputs["gauge"].low == pytest.approx(1e-4, rel=1e-12)
    assert book.inputs["perimeter"].default is not None
    assert book.inputs["perimeter"].default.number == pytest.approx(0.1, rel=1e-12)
    assert book.tables["classes"].table.words == {"name": ("small", "large")}
    check = book.checks[0]
    assert (check.kind, check.seen) == (CheckKind.PUBLISHED, Seen.MEMORY)
    assert check.inputs["shear"] == 3e8
    assert book.order.index("perimeter") < book.order.index("force") < book.order.index("class")


SLIPS = [
    # what is changed, into what, in which line it must be told, and how
    ('formula = "perimeter*gauge*shear"', 'formula = "perimeter*gauge"', 37, "declared as 'kN'"),
    ('formula = "perimeter*gauge*shear"', 'formula = "perimeter*gage*shear"', 37, "unknown name 'gage'"),
    ('formula = "perimeter*gauge*shear"', 'formula = "gauge.real*shear"', 37, "attribute access"),
    ('formula = "perimeter*gauge*shear"', "formula = \"open('x')\"", 37, "not one of the functions"),
    ('formula = "perimeter*gauge*shear"', "formula = 3", 37, "text in quotes"),
    ('formula = "class.cost"', 'formula = "class.weight"', 47, "no column 'weight'"),
    ('formula = "pick(classes, most >= force)"', 'formula = "pick(class_, most >= force)"', 42, "class_"),
    ('"2*(length + width)", 100', '"2*length*width", 100', 18, "default of perimeter"),
    ('"2*(length + width)", 100', '"force/shear/gauge"', 18, "round in a circle"),
    ('unit = "kN"', 'unit = "kNN"', 36, "unknown unit 'kNN'"),
    ('unit = "money"', 'unit = "EUR"', 46, "names a currency"),
    ("range = [0.1, 8]", "range = [8, 0.1]", 9, "low end above"),
    ('holds = "perimeter >= 4*gauge"', 'holds = "perimeter >= shear"', 50, "disagree"),
    ('holds = "perimeter >= 4*gauge"', 'holds = "perimeter"', 50, "a condition"),
    ("rel = 0.002", "rel = 0.2", 57, "at most 0.05"),
    ("rel = 0.002", "rel = 0", 57, "above 0"),
    ('reason = "half a unit of the last printed digit"', 'reason = ""', 58, "reason for the tolerance"),
    ('gauge = "1.5 mm"', 'gauge = "1.5 kN"', 61, "is wanted"),
    ('gauge = "1.5 mm"', 'gage = "1.5 mm"', 60, "no input"),
    ('force = "28.3 kN"', 'power = "28.3 kN"', 65, "no line"),
    ('["large", 500, 4000]', '["large", 500]', 29, "does not have 3 columns"),
    ('["large", 500, 4000]', '["large", "many", 4000]', 27, "no number"),
    ('about = "cut edge"', 'abuot = "cut edge"', 17, "unknown key 'abuot'"),
    ('name = "price"', 'name = "force"', 45, "used twice"),
    ('name = "price"', 'name = "sqrt"', 45, "not a name"),
    ('outputs = ["force", "price"]', 'outputs = ["class"]', 4, "not a line with a value"),
    ('basis = "estimated"', 'basis = "believed"', 19, "not a basis"),
    ("spread = 0.3", "spread = -1", 20, "relative uncertainty"),
    ('title = "Blanking"', 'title = "Blanking', 1, "not well-formed TOML"),
]


@pytest.mark.parametrize(("right", "wrong", "line", "reason"), SLIPS)
def test_a_slip_is_told_with_its_line(right: str, wrong: str, line: int, reason: str) -> None:
    assert BOOK.count(right) == 1
    with pytest.raises(BookError) as told:
        read(BOOK.replace(right, wrong))
    assert str(told.value).startswith(f"books/cost.shape/blanking.toml:{line}: ")
    assert reason in str(told.value)
    assert "\n" not in str(told.value)


def test_a_refuted_check_must_say_why() -> None:
    with pytest.raises(BookError, match="differs must say why"):
        read(BOOK.replace("rel = 0.002", "rel = 0.002\nrefuted = true"))


def test_a_file_that_is_no_text_is_told(tmp_path: Path) -> None:
    file = tmp_path / "x.toml"
    file.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BookError, match=r"x\.toml:1: it cannot be read as text"):
        load_book(file)
    with pytest.raises(BookError, match=r"gone\.toml:1: it cannot be read as text"):
        load_book(tmp_path / "gone.toml")


def test_a_book_without_lines_is_told() -> None:
    with pytest.raises(BookError, match="at least one line"):
        read('title = "a"\ntopic = "b"\n')


def test_multi_line_text_does_not_move_the_lines() -> None:
    text = BOOK.replace(
        'about = "Cutting a flat blank from strip"', 'about = """Cutting\n[inputs.fake]\nunit = "x" """'
    ).replace('formula = "class.cost"', 'formula = "class.weight"')
    with pytest.raises(BookError, match=r"blanking\.toml:49: "):
        read(text)
