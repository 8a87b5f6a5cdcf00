"""Missing mass: lines without one, what the weighed pack has beyond the list, and what may fill it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ...quantities import Basis
from ...records import Pack
from ..findings import Doubt, Figure
from ..limits import limit
from ..shape import Body, body_of, full_mass
from ..tree import Node, Tree
from ..unlisted import likely_unlisted
from .ids import cell, doubt_id, kilograms, millimetres, place


@dataclass(frozen=True, slots=True, kw_only=True)
class Unweighed:
    """A leaf without a mass; ``most`` is what its sizes hold, one piece [kg], ``None`` if unknown."""

    node: Node
    body: Body | None
    most: float | None

    @property
    def most_in_pack(self) -> float | None:
        return None if self.most is None else self.most * self.node.count


def unweighed(tree: Tree) -> tuple[Unweighed, ...]:
    """Leaves without a mass, those that may weigh most first."""
    found = []
    for node in tree.leaves:
        if node.item.mass is None:
            body = body_of(node.item, node.function)
            found.append(Unweighed(node=node, body=body, most=None if body is None else full_mass(body)))
    return tuple(sorted(found, key=lambda u: -(u.most_in_pack or 0.0)))


def missing_doubts(pack: Pack, tree: Tree, figures: Mapping[str, Figure]) -> tuple[Doubt, ...]:
    """Lines without a mass, masses by difference that their sizes refuse, and the open rest."""
    lines = unweighed(tree)
    return (
        *(_without_mass(pack, line) for line in lines),
        *_by_difference(pack, tree),
        *_closure(pack, tree, figures, lines),
    )


def _most(line: Unweighed) -> str:
    if line.most is None or line.body is None:
        return "its sizes or material do not bound it"
    sizes = millimetres(line.body.length, line.body.width, line.body.thickness)
    text = f"{sizes} of {line.body.material} hold at most {_two(line.most)}"
    if line.node.count != 1.0:
        text += f" each, {_two(line.most * line.node.count)} in the pack"
    return text


def _two(mass: float) -> str:
    """Two figures: bounds are no better known than that."""
    return f"{mass:.2g} kg" if 0.01 <= mass < 10.0 else kilograms(mass, figures=2)


def _without_mass(pack: Pack, line: Unweighed) -> Doubt:
    item = line.node.item
    return Doubt(
        id=doubt_id("mass missing", pack, item.id),
        pack=pack.id,
        item=item.id,
        kind="mass missing",
        where=place(item),
        says=f"{line.node.label} ({line.node.count:g} in the pack) has no mass; {_most(line)}",
        proposed="weigh one, or weigh what can be scraped off one and count",
    )


def _by_difference(pack: Pack, tree: Tree) -> list[Doubt]:
    """Masses entered by difference that exceed what their sizes can hold."""
    doubts = []
    for node in tree.leaves:
        mass = node.item.mass
        if mass is None or mass.basis is not Basis.BY_DIFFERENCE:
            continue
        body = body_of(node.item, node.function)
        most = None if body is None else full_mass(body)
        if most is not None and 0.0 < mass.value <= most:
            continue
        if mass.value <= 0.0:
            says = f"{node.label} comes out at {kilograms(mass.value)} by difference, which is no mass"
        elif most is not None and body is not None:
            sizes = millimetres(body.length, body.width, body.thickness)
            says = (
                f"{node.label} comes out at {kilograms(mass.value)} by difference, but {sizes} of "
                f"{body.material} hold at most {_two(most)}: refused"
            )
        else:
            continue
        doubts.append(
            Doubt(
                id=doubt_id("by difference", pack, node.item.id, mass.value),
                pack=pack.id,
                item=node.item.id,
                kind="by difference",
                where=place(node.item, mass),
                says=says,
                proposed="weigh it; the rest of the difference belongs to lines not listed",
            )
        )
    return doubts


def _closure(
    pack: Pack, tree: Tree, figures: Mapping[str, Figure], lines: tuple[Unweighed, ...]
) -> list[Doubt]:
    gap, weighed, share = (figures.get(n) for n in ("mass_unaccounted", "mass_weighed", "mass_closure"))
    if gap is None or weighed is None or share is None or gap.value is None or weighed.value is None:
        return []
    if abs(gap.value) <= limit("closure_off") * weighed.value:
        return []
    says = _gap_text(gap, weighed, share, figures.get("mass_estimated"))
    if gap.value < 0.0:
        proposed = "look for a line listed twice or a quantity or mass too high, and weigh the pack again"
    else:
        says += _candidates(gap, lines)
        proposed = f"look for lines likely not listed: {'; '.join(likely_unlisted(pack, tree))}"
    return [
        Doubt(
            id=doubt_id("closure", pack, gap.value),
            pack=pack.id,
            item=None,
            kind="closure",
            where=_weighed_at(pack),
            says=says,
            proposed=proposed,
        )
    ]


def _weighed_at(pack: Pack) -> str:
    reading = pack.fact("mass_weighed")
    return "" if reading is None else cell(reading.origin)


def _gap_text(gap: Figure, weighed: Figure, share: Figure, estimated: Figure | None) -> str:
    value, low, high = gap.value or 0.0, gap.low or 0.0, gap.high or 0.0
    closure = f"{share.value:.1f} % ({share.low:.1f} to {share.high:.1f})"
    if value > 0.0:
        text = (
            f"the list accounts for {closure} of the {weighed.value:g} kg weighed; {value:.1f} kg "
            f"({low:.1f} to {high:.1f}) are not in it"
        )
    else:
        text = (
            f"the list comes to {closure} of the {weighed.value:g} kg weighed: {-value:.1f} kg "
            f"({-high:.1f} to {-low:.1f}) more than the pack"
        )
    if low <= 0.0 <= high:
        text += " (not settled: the interval includes none)"
    if estimated is not None and estimated.value:
        text += f"; {estimated.value:.1f} kg of it rests on estimates"
    return text


def _candidates(figure: Figure, lines: tuple[Unweighed, ...]) -> str:
    """What the lines without a mass can explain of the gap, and what they cannot."""
    if not lines or figure.value is None or figure.low is None:
        return ""
    gap = figure.value
    bounded = [line for line in lines if line.most_in_pack is not None]
    if len(bounded) < len(lines) or not bounded:
        names = ", ".join(line.node.label for line in lines)
        return f"; lines without a mass may hold some of it: {names}"
    first = bounded[0]
    most = sum(line.most_in_pack or 0.0 for line in bounded)
    text = f"; first candidate is {first.node.label}, not weighed"
    if len(bounded) > 1:
        text += f" (with {len(bounded) - 1} more)"
    if most >= gap:
        return f"{text}: its sizes would hold {_two(most)}, so it may be all of it"
    alone = gap / first.node.count
    refused = (
        f" (the {_two(alone)} each that the difference would give it are refused)"
        if len(bounded) == 1
        else ""
    )
    at = " (by the nominal masses; not settled)" if figure.low < most else ""
    rest = f"at least {gap - most:.1f} kg stay unexplained{at}"
    return f"{text}: {_two(most)} in the pack at most{refused}; {rest}"
