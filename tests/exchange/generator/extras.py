"""What else a bench file holds: front page, joints, strip log, removals, notes of other kinds."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from random import Random

from .page import Cell, Page, Row, shown
from .style import Style
from .tree import Layout
from .truth import MASS, SIZE, JointTruth, Line, RemovalTruth, Slip, StepTruth, Truth
from .words import words


def front(
    rng: Random, style: Style, page: Page, truth: Truth, root: Line, layout: Layout, title: str
) -> None:
    """Key and value, one a row."""
    labels = {key: rng.choice(found) for key, found in words(style.language, "labels").items()}
    rows = [_weighed(rng, style, truth, root, labels), _envelope(style, truth, root, labels)]
    rows += _electrical(rng, style, truth, layout, labels)
    tail = rows[1:]
    rng.shuffle(tail)
    colon = ":" if rng.random() < 0.3 else ""
    page.add([title])
    for label, text in [rows[0], *tail]:
        page.add([label + colon, text])


def _weighed(rng: Random, style: Style, truth: Truth, root: Line, labels: dict[str, str]) -> tuple[str, str]:
    unit = "lb" if style.mass_unit in ("lb", "oz") else "kg"
    rolled = Decimal(repr(root.known() * rng.uniform(1.001, 1.015)))
    weighed = (rolled / MASS[unit]).quantize(Decimal("0.1"))
    truth.facts["mass_weighed"] = float(weighed * MASS[unit])
    return labels["mass"], f"{style.number(weighed)} {unit}"


def _envelope(style: Style, truth: Truth, root: Line, labels: dict[str, str]) -> tuple[str, str]:
    assert root.wanted_sizes is not None
    factor = SIZE[style.size_unit]
    written = [
        (Decimal(repr(v)) * Decimal("0.001") / factor).quantize(Decimal("0.1")) for v in root.wanted_sizes
    ]
    for key, value in zip(("envelope_length", "envelope_width", "envelope_height"), written, strict=True):
        truth.facts[key] = float(value * factor)
    text = " x ".join(style.number(v).replace(" ", "") for v in written)
    return labels["envelope"], f"{text} {style.size_unit}"


def _electrical(
    rng: Random, style: Style, truth: Truth, layout: Layout, labels: dict[str, str]
) -> list[tuple[str, str]]:
    cell = Decimal(layout.cell_voltage)
    volts = Decimal(layout.series) * cell
    density = rng.uniform(150, 190) if cell < Decimal("3.5") else rng.uniform(190, 260)  # Wh/kg
    capacity = Decimal(repr(layout.cell_mass * density / float(cell))).quantize(Decimal("0.01"))
    energy = (volts * capacity * layout.parallel / 1000).quantize(Decimal("0.1"))
    volts = volts.quantize(Decimal(1))
    volt_text, energy_text = f"{style.number(volts)} V", f"{style.number(energy)} kWh"
    if rng.random() < 0.5:
        rows = [(labels["label"], f"{volt_text}   {energy_text}")]
    else:
        rows = [(labels["voltage"], volt_text), (labels["energy"], energy_text)]
    rows.append((labels["layout"], f"{layout.series}s{layout.parallel}p"))
    truth.facts |= {"label_voltage": float(volts), "label_energy": float(energy * 3_600_000)}
    truth.facts |= {"cells_series": float(layout.series), "cells_parallel": float(layout.parallel)}
    more: list[tuple[str, str, str, float]] = [
        ("voltage_arrival", labels["arrival"], f"{style.number(volts - 4)} V", float(volts - 4)),
        ("coolant_flow", labels["flow"], "12 l/min", 12 / 60_000),
        ("coolant_inlet", labels["inlet"], "25 °C", 298.15),
        ("cell_capacity", labels["capacity"], f"{style.number(capacity)} Ah", float(capacity * 3600)),
        ("pack_resistance", labels["resistance"], "82 mOhm", 0.082),
        ("fuse_current", labels["fuse"], "400 A, 500 V", 400.0),
    ]
    for key, label, text, value in more:
        if rng.random() < 0.5:
            rows.append((label, text))
            truth.facts[key] = value
    return rows


def joints(rng: Random, style: Style, page: Page, truth: Truth) -> None:
    """What holds what: named by find number, or by a name that only one line has."""
    said = words(style.language, "joints")
    imperial = style.mass_unit in ("lb", "oz")
    # 1 ft·lbf = 0.3048 m × 0.45359237 kg × 9.80665 m/s², each exact
    factor = 1.3558179483314004 if imperial else 1.0
    page.add([text.format(t="ft-lb" if imperial else "Nm") for text in rng.choice(said["heads"])])
    names = [line.name for line in truth.lines]
    usable = [line for line in truth.lines if "number" not in line.skip and names.count(line.name) == 1]
    for _ in range(rng.randint(4, 14)):
        first, second = rng.sample(usable, 2)
        texts = [line.number or line.name for line in (first, second)]
        other: Line | None = second
        if rng.random() < 0.15:
            other, texts[1] = None, said["vehicle"][0]
        count: int | None = rng.randint(1, 60)
        kind, length, torque, torques = rng.choice(said["kinds"]), None, None, []
        off: Cell = shown(style, count or 1)
        if rng.random() < 0.12:
            metres = Decimal(rng.randint(10, 80)) / 10
            count, kind, length, off = None, said["bead"][0], float(metres), f"{style.number(metres)} m"
        elif rng.random() < 0.5:
            torque, torques = _torques(rng, style)
        live = rng.choice([True, False, None])
        live_word = None if live is None else said["live"][0 if live else 1]
        row = page.add(
            [*texts, kind, off, rng.choice(said["tools"]), rng.choice(said["ways"]), torque, live_word, None]
        )
        truth.joints.append(
            JointTruth(
                first=first, second=other, first_text=texts[0], second_text=texts[1], count=count,
                length=length, torques=tuple(v * factor for v in torques), row=row, sheet=page.name,
                live=live,
            )
        )  # fmt: skip


def _torques(rng: Random, style: Style) -> tuple[Cell, list[float]]:
    base = rng.choice([4, 9, 18, 24, 60])
    many = rng.choice([1, 1, 3, 5])
    values = [Decimal(round(base * rng.uniform(0.9, 1.1) * 10)) / 10 for _ in range(many)]
    cell: Cell = rng.choice([" ", " / "]).join(style.number(v) for v in values)
    return shown(style, values[0]) if many == 1 else cell, [float(v) for v in values]


class _Log:
    """One strip log being written."""

    def __init__(self, rng: Random, style: Style, page: Page, truth: Truth, slip: bool) -> None:
        self.rng, self.style, self.page, self.truth, self.slip = rng, style, page, truth, slip
        self.days = rng.choice([1, 1, 2, 3])
        self.told = rng.choice(["column", "date", "row", "remark"]) if self.days > 1 else "none"
        self.words = words(style.language, "log")
        self.parts = [line for line in truth.lines[1:] if line.number and "number" not in line.skip]
        rng.shuffle(self.parts)
        self.number = 0

    def write(self) -> None:
        heads = list(self.rng.choice(self.words["heads"]))
        if self.told == "column":
            heads.insert(0, self.words["day"][1])
        elif self.told == "date":
            heads.insert(0, {"en": "Date", "de": "Datum", "fr": "Date"}[self.style.language])
        self.page.add([*heads])
        slip_at = self.rng.randint(2, 5) if self.slip else -1
        for day in range(1, self.days + 1):
            if self.told == "row":
                self.page.add([f"{self.words['day'][1]} {day}"])
            minute = self.rng.randint(7 * 60, 8 * 60 + 30)
            for position in range(self.rng.randint(7, 11)):
                end = minute + self.rng.randint(5, 70 if position != 4 else 40)
                self._row(day, minute, end, position, dotted=day == 1 and position == slip_at)
                minute = end

    def _time(self, minute: int, dotted: bool) -> Cell:
        hour, left = divmod(minute, 60)
        if dotted or self.style.log_times == "dot":
            return f"{hour:02d}.{left:02d}"
        if self.style.log_times == "cell":
            return dt.time(hour, left)
        return f"{hour:02d}:{left:02d}"

    def _row(self, day: int, start: int, end: int, position: int, *, dotted: bool) -> None:
        rng, style = self.rng, self.style
        rest = position == 4
        self.number += not rest
        does = rng.choice(self.words["rest" if rest else "does"])
        people = None if rest else rng.randint(1, 3)
        off = () if rest or rng.random() < 0.5 else tuple(self.parts[: rng.randint(1, 3)])
        del self.parts[: len(off)]  # a part comes off once
        remark = (
            f"{self.words['day'][0]} {day}" if self.told == "remark" and position == 0 and day > 1 else None
        )
        row: Row = [
            None if rest else shown(style, self.number), self._time(start, dotted), self._time(end, dotted),
            None if people is None else shown(style, people), does, rng.choice(self.words["tools"]) or None,
            rng.choice(["; ", ";", ", "]).join(line.number for line in off) or None, remark,
        ]  # fmt: skip
        if self.told == "column":
            row.insert(0, shown(style, day))
        elif self.told == "date":
            date = dt.date(2026, 3, 11) + dt.timedelta(days=day - 1)
            as_text = {"en": f"2026-03-{date.day}", "de": f"{date.day}.03.2026", "fr": f"{date.day}/03/2026"}
            row.insert(0, date if style.is_book and not style.text_numbers else as_text[style.language])
        at = self.page.add(row)
        self.truth.steps.append(StepTruth(
            does=does, day=day, start=start * 60.0, finish=end * 60.0, people=people, is_break=rest, row=at,
            sheet=self.page.name, off=off))  # fmt: skip
        if dotted:
            self.truth.slips.append(
                Slip(kind="dotted time", reaction="asked", sheet=self.page.name, rows=(at,))
            )


def log(rng: Random, style: Style, page: Page, truth: Truth, *, slip: bool) -> None:
    _Log(rng, style, page, truth, slip).write()


def removals(rng: Random, style: Style, page: Page, truth: Truth) -> None:
    """How long each removal of this type took."""
    title, heads = {
        "en": ("same type, same lift table, 2 people, car up to pack down",
               rng.choice([["pack", "minutes", "note"], ["Removal no.", "Time [min]", "Remarks"]])),
        "de": ("gleicher Typ, gleiche Hebebühne, 2 Personen",
               rng.choice([["Ausbau Nr.", "Zeit [min]", "Bemerkung"], ["Ausbau", "Minuten", "Bemerkung"]])),
        "fr": ("même type, même table, 2 personnes", ["Dépose n°", "Durée [min]", "Remarques"]),
    }[style.language]  # fmt: skip
    page.add([title])
    page.add(list(heads))
    minutes = rng.randint(38, 70)
    for ordinal in range(1, rng.randint(3, 6)):
        row = page.add([shown(style, ordinal), shown(style, minutes), None])
        truth.removals.append(
            RemovalTruth(ordinal=ordinal, duration=minutes * 60.0, row=row, sheet=page.name)
        )
        minutes = round(minutes * rng.uniform(0.7, 0.95))


def other(rng: Random, style: Style, page: Page) -> None:
    """A sheet that has nothing to do with the tables: who took which picture."""
    heads = {"en": ["Photo no.", "Shows", "Taken by"], "de": ["Foto-Nr.", "zeigt", "von"],
             "fr": ["Photo n°", "Sujet", "Par"]}[style.language]  # fmt: skip
    shows = {"en": ["whole pack", "rear edge", "label"], "de": ["ganzer Pack", "Heck", "Aufkleber"],
             "fr": ["pack entier", "bord arrière", "plaque"]}[style.language]  # fmt: skip
    page.add(list(heads))
    for text in shows:
        page.add([f"IMG_{rng.randint(1000, 1999)}", text, rng.choice(["ab", "kw", "mt"])])
