"""Odd texts: formulas grown from the grammar, and any text with its characters shuffled, cut and doubled."""

from __future__ import annotations

from random import Random

from lidoff.methods import books
from lidoff.methods.functions import FUNCTIONS

NAMES = (
    "x",
    "y",
    "force",
    "row",
    "table",
    "pi",
    "a1",
    "_a",
    "__class__",
    "size",
    "e",
    "inf",
    "nan",
    "lambda",
    "None",
)
UNITS = (
    "mm",
    "kN",
    "degC",
    "money/h",
    "part",
    "m^2",
    "",
    "furlong",
    "1/0",
    "kg*m^-2",
    "K",
    "EUR",
    "10mm",
    "m m",
    "((",
)
NUMBERS = (
    "0",
    "1",
    "2.5",
    ".5",
    "1e3",
    "1e400",
    "1e-400",
    "007",
    "1.2.3",
    "0x10",
    "1_000",
    "9" * 40,
    "1e",
    "3j",
)
OPERATORS = (
    "+",
    "-",
    "*",
    "/",
    "^",
    "**",
    "//",
    "%",
    "<",
    "<=",
    ">",
    ">=",
    "==",
    "!=",
    "=",
    " and ",
    " or ",
    ":=",
    "@",
)
BITS = (
    "(", ")", ",", ".", '"', "'", "[", "]", "{", "}", "not ", "if ", " else ", "import os",
    "__import__('os')", ";", "x.__class__", "().__subclasses__()", "\\", "\n", "\x00", "\u00a0", "é", "µ",
    "²", "√", "😀", "#", "$", "~", "!", "eval(", "open(", "table.size", "row.rate", "f''", "lambda:0", "\t",
    "\u202e", "١",
)  # fmt: skip


def formula(chance: Random, depth: int = 0) -> str:
    """A formula, mostly well-formed, of the books' own language."""
    kind = chance.random()
    if depth > 6 or kind < 0.22:
        return chance.choice(NAMES) if chance.random() < 0.7 else chance.choice(NUMBERS)

    def inner() -> str:
        return formula(chance, depth + 1)

    if kind < 0.55:
        return f"{inner()}{chance.choice(OPERATORS)}{inner()}"
    if kind < 0.65:
        return f"({inner()})"
    if kind < 0.72:
        return f"{chance.choice(('-', '+', 'not ', '--'))}{inner()}"
    if kind < 0.80:
        unit = chance.choice(UNITS)
        return f'{chance.choice(("number", "quantity"))}({inner()}, "{unit}")'
    if kind < 0.85:
        return f"pick({chance.choice(NAMES)}, {inner()}{chance.choice(OPERATORS)}{inner()})"
    if kind < 0.96:
        function = chance.choice((*FUNCTIONS, "eval", "open", "getattr"))
        count = chance.choice((0, 1, 1, 2, 2, 3, 25))
        return f"{function}({', '.join(inner() for _ in range(count))})"
    return f"{chance.choice(NAMES)}.{chance.choice(NAMES)}"


def long_formula(chance: Random) -> str:
    """Formulas that try depth, length and repetition."""
    count = chance.choice((30, 45, 200, 600))
    shape = chance.randrange(6)
    return (
        "(" * count + "x" + ")" * count,
        "-" * count + "x",
        "^".join(["2"] * count),
        "not " * count + "x < 1",
        "+".join(["x"] * count),
        "abs(" * count + "x" + ")" * count,
    )[shape]


def mangled(chance: Random, text: str) -> str:
    """A text with a few of its pieces dropped, doubled, swapped, or replaced by odd ones."""
    letters = list(text)
    for _ in range(chance.choice((1, 1, 2, 3, 8))):
        place = chance.randrange(len(letters) + 1)
        act = chance.randrange(5)
        end = min(len(letters), place + chance.choice((1, 1, 2, 5, 30)))
        if act == 0:
            del letters[place:end]
        elif act == 1:
            letters[place:place] = letters[place:end]
        elif act == 2:
            letters.insert(place, chance.choice(BITS))
        elif act == 3:
            letters.insert(place, chr(chance.choice((0, 7, 34, 39, 92, 127, 160, 8232, 65279, 128512))))
        elif place < end:
            letters[place] = chance.choice("0123456789.eE+-*/^()<>=,\"'_ ")
    return "".join(letters)


def any_formula(chance: Random) -> str:
    kind = chance.random()
    if kind < 0.5:
        return formula(chance)
    if kind < 0.6:
        return long_formula(chance)
    if kind < 0.9:
        return mangled(chance, chance.choice(_shipped()))
    return "".join(
        chance.choice((*BITS, *OPERATORS, *NAMES, *NUMBERS)) for _ in range(chance.randrange(1, 25))
    )


_FORMULAS: list[str] = []


def _shipped() -> list[str]:
    if not _FORMULAS:
        _FORMULAS.extend(line.formula.text for book in books().values() for line in book.lines.values())
    return _FORMULAS


def any_pairs(chance: Random) -> list[str]:
    """Words as they may follow ``lidoff calc METHOD``."""
    book = chance.choice(list(books().values()))
    pairs = []
    for _ in range(chance.choice((0, 1, 1, 2, 4))):
        name = chance.choice([*book.inputs, "material", *NAMES])
        value = chance.choice(
            (*NUMBERS, "1.5", "-3", "nan", "inf", "∞", "1,5", "~4", "steel", "PA66-GF30", "…")
        )
        unit = chance.choice((*UNITS, *(entry.unit.text for entry in book.inputs.values())))
        pair = f"{name}{chance.choice(('=', '=', '=', '==', ':', ''))}{value}{chance.choice(('', ' '))}{unit}"
        pairs.append(mangled(chance, pair) if chance.random() < 0.3 else pair)
    return [book.name if chance.random() < 0.95 else mangled(chance, book.name), *pairs]


def any_book(chance: Random) -> str:
    """A shipped book's text with slips in it, or with odd formulas put in."""
    book = chance.choice(list(books().values()))
    text = _text_of(book.name)
    if chance.random() < 0.5:
        lines = text.split("\n")
        places = [n for n, line in enumerate(lines) if "formula =" in line or "default =" in line]
        place = chance.choice(places)
        lines[place] = f"formula = {_quoted(any_formula(chance))}"
        text = "\n".join(lines)
    if chance.random() < 0.3:
        lines = text.split("\n")
        chance.shuffle(lines)
        text = "\n".join(lines)
    return mangled(chance, text) if chance.random() < 0.8 else text


def _quoted(text: str) -> str:
    kept = "".join(c for c in text if c.isprintable())
    return '"' + kept.replace("\\", "\\\\").replace('"', '\\"') + '"'


_TEXTS: dict[str, str] = {}


def _text_of(name: str) -> str:
    if not _TEXTS:
        from lidoff.methods.shelf import BOOKS

        _TEXTS.update({path.stem: path.read_text("utf-8") for path in BOOKS.rglob("*.toml")})
    return _TEXTS[name]
