"""A formula tree written out again, every part in brackets, so that a changed tree reads as meant."""

from __future__ import annotations

from lidoff.methods.formula import (
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
)


def written(node: Node) -> str:
    """The formula as text that parses to the same tree."""
    match node:
        case Number(_, text):
            return text
        case Name(name):
            return name
        case Column(row, column):
            return f"{row}.{column}"
        case Negative(of):
            return f"(-({written(of)}))"
        case Arithmetic(op, left, right) | Comparison(op, left, right):
            return f"({written(left)} {op} {written(right)})"
        case Logic(op, left, right):
            return f"({written(left)} {op} {written(right)})"
        case Not(of):
            return f"(not ({written(of)}))"
        case NumberIn(of, unit):
            return f'number({written(of)}, "{unit}")'
        case Quantity(of, unit):
            return f'quantity({written(of)}, "{unit}")'
        case Pick(table, condition):
            return f"pick({table}, {written(condition)})"
        case Call(function, arguments):
            return f"{function}({', '.join(written(argument) for argument in arguments)})"
