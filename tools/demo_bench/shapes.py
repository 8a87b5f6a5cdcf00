"""Volumes of the demo's parts from their sizes [mm, mm³]: each mass follows from one of these.

The formulas are plain geometry; the shares (how much of a blank is left, how much of a moulding's
skin its ribs add) are the demo's own invention and stand beside each part.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi, sqrt


@dataclass(frozen=True, slots=True)
class Shape:
    """A volume, and the sizes a bench would write of it: length, width, third size, wall."""

    volume: float
    length: float | None = None
    width: float | None = None
    third: float | None = None
    wall: float | None = None


def box(length: float, width: float, high: float) -> Shape:
    """The outer size of an assembly, which weighs nothing of its own."""
    return Shape(0.0, length, width, high)


def sheet(length: float, width: float, gauge: float, net: float = 0.96, high: float | None = None) -> Shape:
    """Flat or formed sheet by its developed size; ``net`` is what trimming and holes leave."""
    wall = None if high is None else gauge
    return Shape(length * width * gauge * net, length, width, gauge if high is None else high, wall)


def outer(shape: Shape, length: float, width: float, high: float) -> Shape:
    """The same piece of material, but written by its outer size and its wall."""
    return replace(shape, length=length, width=width, third=high)


def film(length: float, width: float, gauge: float, net: float = 0.97) -> Shape:
    """Film, mica, foam or pad: as sheet, without a wall column."""
    return Shape(length * width * gauge * net, length, width, gauge)


def hollow(
    length: float,
    width: float,
    high: float,
    wall: float,
    ribs: float = 0.0,
    rib: float = 0.0,
    net: float = 0.98,
) -> Shape:
    """Extruded hollow section; ``ribs`` is the summed length of inner webs, ``rib`` their wall."""
    section = 2.0 * (width + high - 2.0 * wall) * wall + ribs * rib
    return Shape(section * length * net, length, width, high, wall)


def double_skin(length: float, width: float, high: float, skin: float, webs: int, web: float) -> Shape:
    """Extruded floor plank: two skins joined by webs."""
    section = 2.0 * width * skin + webs * (high - 2.0 * skin) * web
    return Shape(section * length, length, width, high, skin)


def multiport(
    length: float, ports: int, port_wide: float, port_high: float, wall: float, web: float
) -> Shape:
    """Flat multi-port ribbon: outer skin and the webs between the ports, by developed length."""
    across = ports * port_wide + (ports - 1) * web + 2.0 * wall
    high = port_high + 2.0 * wall
    metal = across * high - ports * port_wide * port_high
    return Shape(metal * length, length, round(across), round(high, 1), wall)


def shell(
    length: float, width: float, high: float, wall: float, ribs: float = 0.25, open_share: float = 0.0
) -> Shape:
    """Open box, moulded or cast: one face and four sides at one wall.

    ``ribs`` adds bosses and ribs as a share of the skin, ``open_share`` takes windows off the face.
    """
    skin = length * width * (1.0 - open_share) + 2.0 * (length + width) * high
    return Shape(skin * wall * (1.0 + ribs), length, width, high, wall)


def carrier(
    length: float, width: float, high: float, plate: float, cells: int, bore: float, collar: float
) -> Shape:
    """Cell carrier: plate bored over the cell caps, rim, and a shared collar round each cell."""
    bores = cells * pi / 4.0 * (0.72 * bore) ** 2
    body = (length * width - bores) * plate
    rim = 2.0 * (length + width) * high * 1.8
    collars = cells * 0.55 * pi * bore * (high - plate) * collar
    return Shape(body + rim + collars, length, width, high)


def block(length: float, width: float, high: float, fill: float) -> Shape:
    """A bought or solid part as a share of its outer box."""
    return Shape(length * width * high * fill, length, width, high)


def bead(length: float, width: float, high: float, fill: float = 0.8) -> Shape:
    """Dispensed bead or pad of a rounded section."""
    return Shape(length * width * high * fill, length, width, high)


def tube(length: float, outer: float, wall: float) -> Shape:
    """Tube or hose, written as outer diameter twice."""
    return Shape(pi * (outer - wall) * wall * length, length, outer, outer, wall)


def ring(outer: float, inner: float, thick: float) -> Shape:
    """Washer, sleeve or bush."""
    return Shape(pi / 4.0 * (outer**2 - inner**2) * thick, outer, outer, thick)


def cylinder(diameter: float, high: float, fill: float = 1.0) -> Shape:
    """Round cell or plug."""
    return Shape(pi / 4.0 * diameter**2 * high * fill, diameter, diameter, high)


def wire(count: int, length: float, diameter: float) -> Shape:
    """Many short wires; no outer size to write."""
    return Shape(count * length * pi / 4.0 * diameter**2)


#: Nominal diameter → coarse pitch [mm] (ISO 261).
PITCH = {4: 0.7, 5: 0.8, 6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75}


def screw(size: int, length: float, shank: float | None = None) -> Shape:
    """Flange screw: threaded length at the pitch diameter, plain shank at the nominal one, hex head.

    Width over flats and head height are those of ISO 4017 (s ≈ 1.65 d, k ≈ 0.66 d), the flange that
    of EN 1665 (about 2.2 d across and a fifth of d thick); all from memory.
    """
    pitch_diameter = size - 0.6495 * PITCH[size]
    plain = shank if shank is not None else 0.0
    stem = pi / 4.0 * (pitch_diameter**2 * (length - plain) + size**2 * plain)
    flats = 1.65 * size
    head = sqrt(3.0) / 2.0 * flats**2 * 0.66 * size
    flange = pi / 4.0 * ((2.2 * size) ** 2 - (1.05 * flats) ** 2) * 0.2 * size
    return Shape(stem + head + flange)


def nut(size: int, flanged: bool = True) -> Shape:
    """Flange nut: height ≈ d, less the bore at the pitch diameter (EN 1661 sizes, from memory)."""
    flats = 1.63 * size
    bore = size - 0.6495 * PITCH[size]
    body = (sqrt(3.0) / 2.0 * flats**2 - pi / 4.0 * bore**2) * 0.95 * size
    flange = pi / 4.0 * ((2.2 * size) ** 2 - (1.05 * flats) ** 2) * 0.2 * size if flanged else 0.0
    return Shape(body + flange)


def loose(volume: float) -> Shape:
    """A part of no clear outer size, by the volume of what it is made of."""
    return Shape(volume)
