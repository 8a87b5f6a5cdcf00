"""Shape: what kind of body an item is, and what such a body can weigh for its sizes.

The third size a bench writes may be a sheet's gauge or a part's outer height; both readings are
allowed where both are possible, so the bounds are those of the wider of the two.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from ..quantities import Evidence
from ..records import Function, Item

MILLIMETRE = 1e-3


class Form(StrEnum):
    SHEET = "sheet"
    PROFILE = "profile"
    SOLID = "solid"
    BEAD = "bead"
    CELL = "cell"
    BOUGHT = "bought"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """An item's geometry: sizes [m], wall or gauge [m] where the bench said so, density [kg/m³].

    ``density_u`` is its relative standard uncertainty. ``developed`` says the sizes are the flat
    blank's (only sheet is flat before it is bent), ``cellular`` that it is foam, mesh or the like.
    """

    form: Form
    length: float
    width: float
    thickness: float
    wall: float | None
    density: float | None
    density_u: float
    material: str
    developed: bool = False
    cellular: bool = False

    @property
    def box(self) -> float:
        """Volume of the outer box, or of the sheet where the third size is its gauge [m³]."""
        return self.length * self.width * self.thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class MassBounds:
    """Least, usual and most mass [kg] of a body; ``scatter`` of the usual one as natural logarithm."""

    low: float
    typical: float
    high: float
    scatter: float


@cache
def shape_table() -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads((files(__package__) / "data" / "shapes.toml").read_text("utf-8"))


def _says(group: str, text: str) -> bool:
    return any(word in text for word in shape_table()[group]["words"])


def body_of(item: Item, function: Function | None) -> Body | None:
    """The body of an item, or ``None`` where its sizes are not all known and above zero."""
    sizes = [None if r is None else r.value for r in (item.length, item.width, item.thickness)]
    wall = None if item.wall is None else item.wall.value
    if sizes[2] is None:
        sizes[2] = wall
    if any(s is None or not s > 0.0 for s in sizes):
        return None
    length, width, thickness = (s for s in sizes if s is not None)
    density, density_u, family, title, cellular = _density(item)
    text = " ".join(w.text.lower() for w in (item.material, item.process) if w is not None)
    text = f"{text} {item.name.lower()} {item.remarks.lower()}"
    form = _form(item, function, family)
    return Body(
        form=form,
        length=length,
        width=width,
        thickness=thickness,
        wall=wall,
        density=density,
        density_u=density_u,
        material=title,
        developed=form in (Form.SHEET, Form.UNKNOWN)
        and (_says("developed", text) or (form is Form.SHEET and family in _SOFT)),
        cellular=not cellular and _says("cellular", text),
    )


#: Families that are cut from flat stock and keep to it.
_SOFT = frozenset({"elastomer", "adhesive"})


def _density(item: Item) -> tuple[float | None, float, str, str, bool]:
    """Density, relative uncertainty, family and title of the item's material.

    The last says whether the density is a cellular material's already.
    """
    from ..materials import MATERIALS, recognise

    word = item.material
    if word is None or not word.text.strip():
        return None, 0.0, "", "material not known", False
    key, guessed = word.means, word.evidence in (Evidence.GUESSED, Evidence.ASSUMED)
    found = recognise(word.text)
    if key is None and found is not None:
        key = found.key
    if key is None or key not in MATERIALS:
        return None, 0.0, "", word.text.strip(), False
    material = MATERIALS[key]
    # A guessed word, or one beside others nobody understood, says less of the density.
    doubt = 0.2 if guessed else 0.1 if found is not None and found.rest else 0.0
    u = material.density.u + doubt
    return material.density.value, u, material.family, material.title, "foam" in key


def _form(item: Item, function: Function | None, family: str) -> Form:
    if family == "cell" or (function is Function.CELLS and not family):
        return Form.CELL
    if family in ("bought", "electronics"):
        return Form.BOUGHT
    process = "" if item.process is None else f"{item.process.text} {item.process.means or ''}".lower()
    order = (Form.PROFILE, Form.BEAD, Form.SHEET, Form.SOLID)
    for form in order:
        if _says(form, process):
            # "Extruded, welded plank" is a profile before it is anything else; "compression moulded" a sheet.
            return form
    material = "" if item.material is None else item.material.text.lower()
    for form in order:
        if not process.strip() and _says(form, f"{material} {item.name.lower()}"):
            return form
    if not family and (_says("bought", process) or not process.strip()):
        return Form.BOUGHT
    return Form.UNKNOWN


def mass_bounds(body: Body) -> MassBounds | None:
    """What the body can weigh, or ``None`` where nothing useful can be said.

    Bounds are those of `shapes.toml`; the density is taken two standard uncertainties either way.
    """
    if body.form is Form.BOUGHT or body.density is None:
        row = shape_table()["bought"]
        return MassBounds(
            low=row["density_least"] * body.box,
            typical=row["density_typical"] * body.box,
            high=row["density_most"] * body.box,
            scatter=row["scatter"],
        )
    light, dense = (
        body.density * math.exp(-2.0 * body.density_u),
        body.density * math.exp(2.0 * body.density_u),
    )
    volumes = _volumes(body)
    factor = shape_table()["cellular"]["factor"] if body.cellular else 1.0
    return MassBounds(
        low=light * volumes.low * factor,
        typical=body.density * volumes.typical * (factor**0.5),
        high=dense * volumes.high,
        scatter=math.hypot(volumes.scatter, body.density_u),
    )


def _volumes(body: Body) -> MassBounds:
    """Least, usual and most volume [m³] over the readings of the third size that are possible."""
    if body.form is Form.CELL:
        row = shape_table()["cell"]
        return MassBounds(
            low=row["open"] * body.box,
            typical=row["typical_box"] * body.box,
            high=row["over"] * body.box,
            scatter=row["scatter"],
        )
    if body.form is Form.UNKNOWN:
        forms = [Form.SHEET, Form.SOLID]
        # A section is several times longer than wide, and its third size no gauge.
        row = shape_table()["profile"]
        _, middle, large = sorted((body.length, body.width, body.thickness))
        if large >= row["slender"] * middle and body.thickness >= row["height_min"] * MILLIMETRE:
            forms.append(Form.PROFILE)
        return _widest([_of_form(body, form) for form in forms])
    return _of_form(body, body.form)


def _of_form(body: Body, form: Form) -> MassBounds:
    row = {k: v * MILLIMETRE if k in ("least", "flange", "gauge_max", "height_min") else v
           for k, v in shape_table()[form].items()}  # fmt: skip
    known_wall = body.wall if body.wall is not None and form is not Form.BEAD else None
    gauge = known_wall or body.thickness
    readings = []
    if gauge <= row["gauge_max"] or body.developed or known_wall is not None:
        readings.append(_as_gauge(body, row, gauge))
    apart = known_wall is None or body.thickness > known_wall * 1.01
    if body.thickness >= row["height_min"] and apart and not body.developed:
        readings.append(_as_height(body, row))
    return _widest(readings or [_as_gauge(body, row, gauge)])


def _as_gauge(body: Body, row: Mapping[str, Any], gauge: float) -> MassBounds:
    plan = body.length * body.width * gauge
    flange = 0.0 if body.developed else min(row["flange"], body.width, body.length)
    if body.wall is not None and body.thickness > body.wall:
        flange = max(flange, body.thickness)
    walls = 1.0 + 2.0 * flange / body.length + 2.0 * flange / body.width
    most = max(row["over"] * walls, row.get("wall_most", 0.0) if gauge < body.width / 3.0 else 0.0)
    return MassBounds(
        low=row["open"] * plan, typical=row["typical"] * plan, high=most * plan, scatter=row["scatter"]
    )


def _as_height(body: Body, row: Mapping[str, Any]) -> MassBounds:
    small, middle, large = sorted((body.length, body.width, body.thickness))
    # At the least a skin over the largest face; of a hollow section, one around it.
    around, face = 1.0, large * middle
    if "wall_most" in row:
        if large < row["plate"] * middle and middle > row["plate"] * small:
            middle, face = small, large * small  # the envelope of a bent length: only the length is sure
        around = 2.0 * (middle + small) / middle
    skin = face * min(row["least"] * around, small)
    return MassBounds(
        low=row["open"] * skin,
        typical=row["typical_box"] * body.box,
        high=row["over"] * body.box,
        scatter=row["scatter"],
    )


def _widest(readings: list[MassBounds]) -> MassBounds:
    low, high = min(r.low for r in readings), max(r.high for r in readings)
    if len(readings) == 1:
        return readings[0]
    logs = [math.log(r.typical) for r in readings]
    middle = sum(logs) / len(logs)
    spread = math.hypot(max(logs) - middle, max(r.scatter for r in readings))
    return MassBounds(low=low, typical=math.exp(middle), high=high, scatter=spread)


def full_mass(body: Body) -> float | None:
    """Mass [kg] of the body if its sizes were filled at the nominal density, ``None`` if unknown.

    An upper bound of a bead, a solid or a profile at the sizes recorded; of a sheet with the walls
    that a part of its plan may have.
    """
    if body.density is None or body.form is Form.BOUGHT:
        return None
    if (
        body.form is Form.SHEET
        and not body.developed
        and body.thickness <= MILLIMETRE * shape_table()["sheet"]["gauge_max"]
    ):
        bounds = mass_bounds(body)
        return None if bounds is None else bounds.high
    return body.density * body.box
