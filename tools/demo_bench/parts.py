"""Reads a demo pack's list of parts (the CSV beside this file) into `Line`s."""

from __future__ import annotations

import ast
import csv
from collections.abc import Callable
from pathlib import Path

from . import shapes
from .line import Line
from .shapes import Shape

HERE = Path(__file__).parent

MAKERS: dict[str, Callable[..., Shape]] = {
    name: getattr(shapes, name)
    for name in (
        "box", "sheet", "outer", "film", "hollow", "double_skin", "multiport", "shell", "carrier", "block",
        "bead", "tube", "ring", "cylinder", "wire", "screw", "nut", "loose",
    )
}  # fmt: skip


def read_parts(pack: str) -> tuple[Line, ...]:
    """The lines of ``quarry`` or ``orchard``, in the order they came off."""
    with (HERE / f"{pack}.csv").open(encoding="utf-8", newline="") as stream:
        return tuple(_line(row) for row in csv.DictReader(stream, delimiter=";"))


def _line(row: dict[str, str]) -> Line:
    slip = row["slip"]
    return Line(
        level=int(row["level"]),
        number=row["number"],
        name=row["name"],
        off=int(row["off"]),
        shape=read_shape(row["shape"]) if row["shape"] else None,
        stuff=row["stuff"],
        material=row["material"],
        how=row["how"],
        function=row["function"],
        basis=row["basis"],
        photos=int(row["photos"] or 0),
        note=row["note"],
        no_mass=slip == "no mass",
        slip=float(slip.removeprefix("x ")) if slip.startswith("x ") else 1.0,
    )


def read_shape(text: str) -> Shape:
    """A shape written as a call of one of `MAKERS` with plain numbers, e.g. ``sheet(88, 30, 3, 0.9)``."""
    call = ast.parse(text, mode="eval").body
    if not isinstance(call, ast.Call) or not isinstance(call.func, ast.Name) or call.func.id not in MAKERS:
        raise ValueError(f"{text!r} is not a shape")
    keywords = {k.arg: _value(k.value) for k in call.keywords if k.arg}
    return MAKERS[call.func.id](*(_value(argument) for argument in call.args), **keywords)


def _value(node: ast.expr) -> float | bool | Shape:
    if isinstance(node, ast.Call):
        return read_shape(ast.unparse(node))
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Mult):
        left, right = _value(node.left), _value(node.right)
        return left + right if isinstance(node.op, ast.Add) else left * right  # type: ignore[operator]
    value: float | bool = ast.literal_eval(node)
    return value
