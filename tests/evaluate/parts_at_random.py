"""Plausible parts at random, with a true mass from their own geometry.

The geometry here is worked out anew (walls, webs, flanges, windows), not taken from the bounds that
it puts to the test.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from by_hand import part

from lidoff.materials import MATERIALS, recognise
from lidoff.records import Item

Rng = np.random.Generator
METALS = (
    "steel, zinc coated",
    "steel",
    "Stahl, verzinkt",
    "Al 5754",
    "AlMg3",
    "stainless 1.4301",
    "Cu, Sn plated",
)
LIGHT = ("Al extr., 6005A? (XRF)", "AlMgSi", "EN AW-6082 T6")
CAST = ("AlSi10MnMg", "Al die cast", "Al-Druckguss")
PLASTICS = ("PA66-GF30", "PC/ABS FR (marked)", "PBT-GF30", "PP", "PA6", "PA66 FR (marked)")
BEADS = ("PU 2K", "silicone", "Silikon, gefüllt")


def between(rng: Rng, low: float, high: float) -> float:
    """Log-uniform."""
    return float(math.exp(rng.uniform(math.log(low), math.log(high))))


def density(rng: Rng, text: str) -> float:
    found = recognise(text)
    assert found is not None, text
    material = MATERIALS[found.key]
    return material.density.value * math.exp(float(rng.normal(0.0, material.density.u)))


def flat(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    """A blank with windows, sizes of the flat."""
    length, width, gauge = between(rng, 60, 2200), between(rng, 20, 1300), between(rng, 0.3, 5)
    material = str(rng.choice(METALS))
    left = float(rng.beta(6.0, 1.5)) * 0.8 + 0.2
    process = str(rng.choice(["stamped", "gestanzt", "deep drawn, trimmed", "rollgeformt", "die cut"]))
    remark = str(rng.choice(["flat size", "abgewickelt, vor Beschnitt", "abgewickelt, Fenster"]))
    volume = length * width * gauge * left
    return volume * density(rng, material), (length, width, gauge), material, process, remark


def formed(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    """A tray or bracket by plan size; the third size is gauge or height as benches go."""
    length = between(rng, 60, 2200)
    width = length * float(rng.uniform(0.2, 1.0))
    gauge = between(rng, 0.6, 4.0)
    height = min(between(rng, 5.0, 140.0), 0.8 * width)
    material = str(rng.choice(METALS))
    area = (length * width + 2.0 * height * (length + width)) * (float(rng.beta(8.0, 1.5)) * 0.7 + 0.3)
    third = height if rng.random() < 0.3 and height > 3.0 * gauge and height > 8.0 else gauge
    process = str(rng.choice(["stamped, bent", "tiefgezogen", "deep drawn", "gestanzt", "roll formed"]))
    return area * gauge * density(rng, material), (length, width, third), material, process, ""


def section(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    """A hollow section with webs, cut-outs and a third size that is its height."""
    length, width = between(rng, 150, 2600), between(rng, 12, 220)
    height = min(between(rng, 8, 140), width * 3.0)
    wall = min(between(rng, 1.2, 4.0), 0.3 * min(width, height))
    webs = int(rng.integers(0, 5))
    area = 2.0 * (width + height) * wall - 4.0 * wall**2 + webs * (height - 2.0 * wall) * wall
    area = min(area, width * height)
    material = str(rng.choice(LIGHT))
    process = str(rng.choice(["extruded, CNC", "stranggepresst", "extruded, saw cut"]))
    mass = area * length * density(rng, material) * float(rng.uniform(0.75, 1.0))
    return mass, (length, width, height), material, process, f"wall {wall:.1f}"


def tube(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    outer = between(rng, 6, 40)
    wall = outer * float(rng.uniform(0.06, 0.25))
    length = between(rng, 100, 3000)
    material = str(rng.choice(["PA12", "EPDM", "Al", "PP"]))
    area = math.pi * wall * (outer - wall)
    return area * length * density(rng, material), (length, outer, outer), material, "extruded, formed", ""


def shell(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    """A moulding: open box with ribs and windows; the third size is its height or, flat, its wall."""
    length = between(rng, 25, 1200)
    width = length * float(rng.uniform(0.2, 1.0))
    wall = between(rng, 1.0, 3.5)
    height = min(between(rng, 4.0, 90.0), width)
    area = length * width + 2.0 * height * (length + width) * float(rng.uniform(0.2, 1.0))
    area *= float(rng.uniform(0.4, 1.5))
    material = str(rng.choice(PLASTICS))
    third = height
    if rng.random() < 0.25:
        third, area = wall, length * width * float(rng.uniform(0.4, 1.6))
    mass = min(area * wall, length * width * third * 1.0 if third == height else math.inf)
    return mass * density(rng, material), (length, width, third), material, "injection moulded", ""


def casting(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    length = between(rng, 60, 900)
    width = length * float(rng.uniform(0.2, 1.0))
    wall = between(rng, 2.0, 5.0)
    height = min(between(rng, 8.0, 140.0), width)
    area = (length * width + 2.0 * height * (length + width)) * float(rng.uniform(0.5, 2.0))
    volume = min(area * wall, 0.95 * length * width * height)
    material = str(rng.choice(CAST))
    process = str(rng.choice(["HPDC", "Druckguss", "die cast, machined"]))
    return volume * density(rng, material), (length, width, height), material, process, "ribbed"


def turned(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    outer, length = between(rng, 8, 60), between(rng, 8, 120)
    bore = outer * float(rng.uniform(0.0, 0.85))
    volume = math.pi / 4.0 * (outer**2 - bore**2) * length
    return volume * density(rng, "steel"), (outer, outer, length), "steel", "turned", ""


def bead(rng: Rng) -> tuple[float, tuple[float, float, float], str, str, str]:
    length, width, height = between(rng, 100, 7500), between(rng, 4, 400), between(rng, 0.3, 6)
    material = str(rng.choice(BEADS))
    volume = length * width * height * float(rng.uniform(0.2, 1.3))
    return volume * density(rng, material), (length, width, height), material, "dispensed", ""


KINDS: dict[str, Callable[[Rng], tuple[float, tuple[float, float, float], str, str, str]]] = {
    "flat": flat, "formed": formed, "section": section, "tube": tube,
    "shell": shell, "casting": casting, "turned": turned, "bead": bead,
}  # fmt: skip


def random_part(rng: Rng, kind: str, number: str) -> Item:
    """A part of a kind with sizes rounded as a bench does, and its mass to 1 %."""
    grams, size, material, process, remark = KINDS[kind](rng)
    written = tuple(round(s) if s >= 20.0 else round(s, 1) for s in size)
    mass = grams * 1e-9 * float(rng.normal(1.0, 0.01))  # mm³ · kg/m³
    return part(
        number,
        f"part {number}",
        mass,
        quantity=float(rng.choice([1, 1, 2, 4, 6, 12])),
        function="tray",
        material=material,
        process=process,
        size=written,  # type: ignore[arg-type]
        remarks=remark,
    )
