"""Counts against the electrical layout, and the label against what is computed."""

from __future__ import annotations

import re

from ...quantities import parse_unit
from ...records import Function, Pack
from ..findings import Doubt, Figure
from ..layout import label_step, read_layout
from ..limits import limit
from ..tree import Node, Tree
from .ids import cell, doubt_id, place

_LAYOUT = re.compile(r"\b(\d{1,3})\s*s\s*(?:(\d{1,3})\s*p)?\b", re.IGNORECASE)
_COLLECTOR = re.compile(
    r"collector|cell connector|cell link|zellverbinder|sammelschiene|connexion de cellule|collettore",
    re.IGNORECASE,
)


def layout_doubts(pack: Pack, tree: Tree, figures: dict[str, Figure]) -> tuple[Doubt, ...]:
    """Doubts on cells, module layouts, collectors, voltage at arrival and label."""
    return (
        *_cells(pack, tree),
        *_modules(pack, tree),
        *_collectors(pack, tree),
        *_arrival(pack, figures),
        *_label(pack, figures, "label_voltage", "voltage_nominal"),
        *_label(pack, figures, "label_energy", "energy_nominal"),
    )


def _doubt(
    pack: Pack,
    kind: str,
    says: str,
    proposed: str,
    *salient: object,
    node: Node | None = None,
    where: str = "",
) -> Doubt:
    item = None if node is None else node.item
    return Doubt(
        id=doubt_id(kind, pack, *salient),
        pack=pack.id,
        item=None if item is None else item.id,
        kind=kind,
        where=where or ("" if item is None else place(item, item.quantity)),
        says=says,
        proposed=proposed,
    )


def _cells(pack: Pack, tree: Tree) -> list[Doubt]:
    layout = read_layout(pack, tree)
    counted, connected = layout.counted, layout.connected
    if counted is None or connected is None or counted == connected:
        return []
    says = (
        f"the list holds {counted:g} cells, the layout {layout.series:g}s{layout.parallel:g}p {connected:g}"
    )
    proposed = "count the cells of one module and the modules again, or correct the layout noted"
    return [_doubt(pack, "cell count", says, proposed, counted, connected, node=layout.cell)]


def module_layout(node: Node) -> tuple[int, int | None] | None:
    """Groups in series and cells in parallel that an assembly's name states ("Module, 9s40p").

    ``None`` where it states none.
    """
    found = _LAYOUT.search(node.item.name)
    if found is None or int(found.group(1)) == 0:
        return None
    return int(found.group(1)), int(found.group(2)) if found.group(2) else None


def _modules(pack: Pack, tree: Tree) -> list[Doubt]:
    layout = read_layout(pack, tree)
    named = _named(tree)
    doubts = []
    strings = 0.0
    for node, (series, parallel) in named:
        cells = sum(
            tree.count_below(leaf, node.item.id)
            for leaf in tree.leaves_of(node.item.id)
            if layout.cell is not None and leaf.item.id == layout.cell.item.id
        )
        wide = parallel or layout.parallel
        strings += series * node.count * (parallel or 1.0) / (layout.parallel or parallel or 1.0)
        if cells and wide and cells != series * wide:
            says = f"{node.label} lists {cells:g} cells, its layout {series}s{wide:g}p has {series * wide:g}"
            doubts.append(
                _doubt(
                    pack,
                    "module cells",
                    says,
                    "count the cells of one module again",
                    node.item.id,
                    cells,
                    node=node,
                )
            )
    if named and layout.series is not None and abs(strings - layout.series) > 0.5:
        node = named[0][0]
        says = (
            f"{' and '.join(f'{n.count:g} × {s[0]}s' for n, s in named)} make {strings:g} groups in series, "
            f"the layout noted has {layout.series:g}"
        )
        doubts.append(
            _doubt(
                pack,
                "module count",
                says,
                "count the modules again, or correct the layout noted",
                strings,
                layout.series,
                node=node,
            )
        )
    return doubts


def _named(tree: Tree) -> list[tuple[Node, tuple[int, int | None]]]:
    """The smallest assemblies whose names state a layout: a stack of modules says it over again."""
    named = [(node, said) for node in tree.assemblies if node.path[:-1] and (said := module_layout(node))]
    above = {identity for node, _ in named for identity in node.path[:-1]}
    return [(node, said) for node, said in named if node.item.id not in above]


def _collectors(pack: Pack, tree: Tree) -> list[Doubt]:
    """Fewer collectors than a module of n groups in series needs (n − 1 joints between groups).

    Only a count just short is doubted: a line may well be a carrier that holds many.
    """
    doubts = []
    for node, said in _named(tree):
        needed = said[0] - 1
        for leaf in tree.leaves_of(node.item.id):
            if leaf.function is not Function.INTERCONNECT or not _COLLECTOR.search(leaf.item.name):
                continue
            count = tree.count_below(leaf, node.item.id)
            if needed / 2.0 < count < needed:
                says = (
                    f"{leaf.label}: {count:g} in a module of {said[0]} groups in series, which takes {needed}"
                )
                doubts.append(
                    _doubt(pack, "collector count", says, "count them again", leaf.item.id, count, node=leaf)
                )
    return doubts


def _arrival(pack: Pack, figures: dict[str, Figure]) -> list[Doubt]:
    reading = pack.fact("voltage_arrival")
    low, high = figures.get("voltage_min"), figures.get("voltage_max")
    if reading is None or low is None or high is None or low.value is None or high.value is None:
        return []
    if low.value <= reading.value <= high.value:
        return []
    says = f"{reading.value:g} V at arrival is outside the {low.value:g} to {high.value:g} V of the layout"
    proposed = (
        "check the layout noted and the reading; a string below its lowest voltage needs care before any work"
    )
    return [_doubt(pack, "voltage at arrival", says, proposed, reading.value, where=cell(reading.origin))]


def _label(pack: Pack, figures: dict[str, Figure], key: str, name: str) -> list[Doubt]:
    label, figure = pack.fact(key), figures.get(name)
    if label is None or figure is None or figure.value is None or figure.low is None or figure.high is None:
        return []
    shown, step = parse_unit(label.unit).from_si(label.value), label_step(label)
    inside = figure.low - step <= shown <= figure.high + step
    near = abs(shown - figure.value) <= step + limit(key) * abs(shown)
    if inside or near:
        return []
    what = "voltage" if key == "label_voltage" else "energy"
    says = f"the label says {shown:g} {label.unit}, cell and layout make {figure.value:.4g} {figure.unit}"
    proposed = (
        "check cells in series and the cell's nominal voltage"
        if what == "voltage"
        else "check layout, capacity and nominal voltage; a label may count usable energy"
    )
    return [_doubt(pack, f"label {what}", says, proposed, shown, figure.value, where=cell(label.origin))]
