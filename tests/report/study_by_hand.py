"""A small study built by hand, every number invented: two packs, awkward names, all sorts of gaps."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np

from lidoff.compare import Comparison, compare
from lidoff.evaluate.findings import (
    CostLine,
    CostStatus,
    Covers,
    Doubt,
    Figure,
    Findings,
    MassLine,
    Money,
    PackFindings,
    RouteStepCost,
    Term,
    WorkedLine,
)
from lidoff.quantities import Basis, Evidence, Reading, Word
from lidoff.records import (
    Fact,
    Function,
    Item,
    Joint,
    Pack,
    Question,
    Rejection,
    Removal,
    Scenario,
    Step,
    Study,
)

ISSUED = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)
COUNT = 200
NASTY = '#panic "x" $ <b>_*`@~\\ [y] {z} & =a'
HOUR = 3600.0


def grams(value: float, basis: Basis = Basis.WEIGHED) -> Reading:
    return Reading(
        value=value / 1000.0, unit="g", basis=basis, origin="tern.xlsx!Parts!E5", text=f"{value:g}"
    )


def mm(value: float) -> Reading:
    return Reading(value=value / 1000.0, unit="mm", basis=Basis.MEASURED)


def count(value: float) -> Reading:
    return Reading(value=value, unit="", basis=Basis.COUNTED)


def drawn(value: float, u: float, seed: int) -> np.ndarray:
    samples = value + u * np.random.default_rng(seed).standard_normal(COUNT)
    return samples


def money(value: float, seed: int = 1) -> Money:
    samples = drawn(value, 0.1 * abs(value), seed)
    low, high = np.quantile(samples, (0.025, 0.975))
    return Money(value=value, low=float(low), high=float(high), samples=samples)


def figure(name: str, title: str, unit: str, value: float | None, u: float, **more: object) -> Figure:
    if value is None:
        return Figure(
            name=name, title=title, unit=unit, value=None, warnings=("cells in series not recorded",)
        )
    samples = drawn(value, u, len(name) + int(value))
    low, high = np.quantile(samples, (0.025, 0.975))
    return Figure(
        name=name,
        title=title,
        unit=unit,
        value=value,
        low=float(low),
        high=float(high),
        samples=samples,
        basis={Basis.WEIGHED: 0.8, Basis.MARKED: 0.1, Basis.ESTIMATED: 0.1},
        **more,  # type: ignore[arg-type]
    )


def items(name: str, modules: int) -> tuple[Item, ...]:
    def item(number: str, title: str, parent: str | None, **more: object) -> Item:
        return Item(
            id=f"{name}/{number}",
            number=number,
            name=title,
            parent=parent and f"{name}/{parent}",
            origin=f"{name.lower()}.xlsx!Parts!B{len(number)}",
            **more,
        )  # type: ignore[arg-type]

    return (
        item("1", "Pack", None),
        item(
            "1.1",
            NASTY,
            "1",
            mass=grams(9900),
            quantity=count(1),
            function=Word(text="lid", means="cover"),
            material=Word(text=">PA66<", means="pa66", evidence=Evidence.MARKED),
            length=mm(1900),
            width=mm(1200),
            remarks='dented "left" <rear> & $5 #1',
        ),
        item(
            "1.2",
            "Module",
            "1",
            quantity=count(modules),
            length=mm(480),
            width=mm(380),
            thickness=mm(90),
            weighings=(grams(30100), grams(30150)),
        ),
        item(
            "1.2.1",
            "Cell",
            "1.2",
            quantity=count(12),
            mass=grams(2400),
            function=Word(text="cell", means="cells"),
        ),
        item(
            "1.3",
            "Side rail",
            "1",
            quantity=count(2),
            mass=grams(8200),
            function=Word(text="frame", means="tray"),
            process=Word(text="extruded"),
            length=mm(2000),
            width=mm(70),
        ),
        item(
            "1.4",
            "Switch box",
            "1",
            mass=grams(3100),
            length=mm(300),
            width=mm(240),
            function=Word(text="hv", means="switching"),
        ),
        item("1.5", "Bead", "1", mass=grams(250, Basis.ESTIMATED), function=Word(text="seal", means="seal")),
        item("1.6", "Glue", "1", function=Word(text="seal", means="seal")),
        item("1.7", "Bead again", "1", mass=grams(250), held=True),
        *(
            (
                item(
                    "1.8",
                    "Charger",
                    "1",
                    mass=grams(11000),
                    function=Word(text="charger", means="conversion"),
                ),
            )
            if name == "Tern"
            else ()
        ),
    )


def pack(name: str, modules: int) -> Pack:
    facts = (
        ("envelope_length", 2.0 if name == "Tern" else 1.8),
        ("envelope_width", 1.3),
        ("envelope_height", 0.13),
        ("label_voltage", 360.0),
        ("cells_series", 96.0),
        ("cells_parallel", 1.0),
        ("coolant_in_weighing", 1.0),
    )
    steps = (
        Step(
            id="s1",
            number="1",
            does="lid off " + NASTY,
            start=8 * HOUR,
            finish=8.5 * HOUR,
            people=count(2),
            items=(f"{name}/1.1",),
            items_text="1.1",
        ),
        Step(id="b", number="", does="", start=8.5 * HOUR, finish=9 * HOUR, is_break=True),
        Step(
            id="s2",
            number="2",
            does="switch box out",
            day=2,
            start=9 * HOUR,
            finish=9.75 * HOUR,
            people=count(1),
            items=(f"{name}/1.4",),
            items_text="1.4",
            tool="TX30 insulated",
        ),
        Step(id="s3", number="3", does="time not noted"),
    )
    joints = (
        Joint(
            id="j1",
            first_text="1.1",
            second_text="frame",
            first=f"{name}/1.1",
            kind="M6x16 screw",
            count=count(40),
            torques=(Reading(value=9.0, unit="Nm", basis=Basis.MEASURED),),
            live=False,
            reusable=True,
        ),
        Joint(
            id="j2",
            first_text="1.4",
            second_text="1.3",
            first=f"{name}/1.4",
            second=f"{name}/1.3",
            kind="M6x20",
            count=count(4),
            live=True,
        ),
        Joint(id="j3", first_text="?", second_text="", kind=""),
    )
    return Pack(
        id=f"p-{name}",
        name=name,
        items=items(name, modules),
        joints=joints,
        steps=steps,
        removals=tuple(
            Removal(id=f"r{n}", ordinal=n, duration=Reading(value=m * 60.0, unit="min", basis=Basis.MEASURED))
            for n, m in ((1, 40.0), (2, 28.0), (3, 22.0))
        )
        if name == "Tern"
        else (),
        facts=(
            *(
                Fact(
                    id=k,
                    label=k,
                    text=str(v),
                    key=k,
                    reading=Reading(
                        value=v, unit="m" if "env" in k else "V" if "vol" in k else "", basis=Basis.MARKED
                    ),
                )
                for k, v in facts
            ),
            Fact(id="fmt", label="Cells", text="prismatic", key="cell_format", word=Word(text="prismatic")),
        ),
        questions=(
            Question(id="q1", where="Parts!E9", what="grams or <kilograms>?", taken="25 g", proposed="25 kg"),
        ),
        rejections=(Rejection(where="Parts!F7", why="not a number", text="n/a $"),),
    )


def mass_lines(name: str, modules: int) -> tuple[MassLine, ...]:
    def line(
        number: str, title: str, function: Function, n: float, mass: float | None, basis: Basis | None
    ) -> MassLine:
        samples = None if mass is None else drawn(mass, 0.01 * mass, len(number) + int(mass))
        return MassLine(
            item=f"{name}/{number}",
            number=number,
            name=title,
            function=function,
            count=n,
            mass=mass,
            basis=basis,
            samples=samples,
        )

    lines = [
        line("1.1", NASTY, Function.COVER, 1, 9.9, Basis.WEIGHED),
        line("1.2.1", "Cell", Function.CELLS, 12 * modules, 2.4 * 12 * modules, Basis.WEIGHED),
        line("1.3", "Side rail", Function.TRAY, 2, 16.4, Basis.WEIGHED),
        line("1.4", "Switch box", Function.SWITCHING, 1, 3.1, Basis.WEIGHED),
        line("1.5", "Bead", Function.SEAL, 1, 0.25, Basis.ESTIMATED),
        line("1.6", "Glue", Function.SEAL, 1, None, None),
    ]
    if name == "Tern":
        lines.append(line("1.8", "Charger", Function.CONVERSION, 1, 11.0, Basis.WEIGHED))
    return tuple(lines)


def cost_lines(name: str) -> tuple[CostLine, ...]:
    working = (
        WorkedLine(
            name="force",
            formula="pi*gauge*shear/4",
            put_in="3.1416 · 1 mm · 300 MPa / 4",
            value=235.6,
            unit="N/mm",
            about="cut force",
            source="common_practice",
        ),
        WorkedLine(name="note", formula="sum of the lines", put_in="2 lines", value=1.0, unit=""),
    )
    step = RouteStepCost(
        method="no_such_method",
        title="Stamping",
        material=12.0,
        labour=1.0,
        burden=3.0,
        tooling_investment=400000.0,
        good_share=0.99,
        working=working,
        assumed=("scrap_share",),
    )
    done = CostLine(
        item=f"{name}/1.1",
        number="1.1",
        name=NASTY,
        function=Function.COVER,
        count=1,
        mass=9.9,
        status=CostStatus.COSTED,
        assumed_route=True,
        route=(step,),
        material=money(12),
        labour=money(1),
        burden=money(3),
        markup=money(2.4),
        piece=money(18.4),
        tooling_per_piece=money(0.67),
        tooling_investment=money(400000.0),
        sources=("common_practice",),
    )
    rail = CostLine(
        item=f"{name}/1.3",
        number="1.3",
        name="Side rail",
        function=Function.TRAY,
        count=2,
        mass=16.4,
        status=CostStatus.COSTED,
        route=(step,),
        material=money(60),
        labour=money(2),
        burden=money(9),
        markup=money(9),
        piece=money(80, seed=3 if name == "Tern" else 4),
        tooling_per_piece=money(0.2),
        tooling_investment=money(120000.0),
    )
    cells = CostLine(
        item=f"{name}/1.2.1",
        number="1.2.1",
        name="Cell",
        function=Function.CELLS,
        count=96,
        mass=230.0,
        status=CostStatus.NOT_COSTED,
        why="cells have no method yet",
    )
    return done, rail, cells


def findings_of(name: str, modules: int) -> PackFindings:
    lines = mass_lines(name, modules)
    total = sum(m.mass or 0.0 for m in lines)
    covers = Covers(lines=0.667, mass=0.1)
    made = [
        figure(
            "mass_rolled",
            "Dry mass, rolled up",
            "kg",
            total,
            0.6,
            terms=tuple(
                Term(
                    label=f"{m.number} {m.name}",
                    value=m.mass or 0.0,
                    basis=m.basis or Basis.WEIGHED,
                    item=m.item,
                )
                for m in lines
                if m.mass is not None
            ),
            working=(
                WorkedLine(
                    name="mass_rolled", formula="sum of the leaves", put_in="7 lines", value=total, unit="kg"
                ),
            ),
        ),
        figure("mass_weighed", "Mass as weighed", "kg", total + 3.0, 0.3),
        figure("mass_closure", "Closure", "%", 98.9, 0.2),
        figure("mass_coolant", "Mass: coolant", "kg", 1.2, 0.05),
        figure("mass_estimated", "Mass resting on estimates", "kg", 0.25, 0.04),
        *(
            figure(
                f"mass_{m.function}",
                f"Mass: {m.function}",
                "kg",
                m.mass,
                0.01 * m.mass,
                terms=(Term(label=m.name, value=m.mass, basis=Basis.WEIGHED, item=m.item),),
            )
            for m in lines
            if m.mass is not None
        ),
        figure(
            "energy_nominal",
            "Nominal energy",
            "kWh",
            6.0 * modules,
            0.2,
            warnings=("nominal voltage taken as usual",),
        ),
        figure(
            "voltage_nominal",
            "Nominal voltage",
            "V",
            345.6 if name == "Tern" else None,
            0.1,
            working=(
                WorkedLine(
                    name="label less computed",
                    formula="label − computed",
                    put_in="360 − 345.6",
                    value=14.4,
                    unit="V",
                    about="the label differs",
                ),
            ),
        )
        if name == "Tern"
        else figure("voltage_nominal", "Nominal voltage", "V", None, 0.0),
        figure(
            "cost_piece",
            "Piece cost",
            "EUR2024",
            98.4,
            6.0 if name == "Tern" else 7.0,
            covers=covers,
            sources=("common_practice",),
        ),
        figure(
            "tooling_investment",
            "Tooling investment",
            "EUR2024",
            2_100_000.0 * modules / 8,
            200_000.0,
            covers=covers,
        ),
    ]
    doubts = (
        Doubt(
            id="d1",
            pack=f"p-{name}",
            item=f"{name}/1.6",
            kind="missing",
            where="Parts!E12",
            says="Glue has no mass.",
            proposed="Weigh it; geometry allows 0.2 kg at most.",
        ),
        Doubt(
            id="d2",
            pack=f"p-{name}",
            item=None,
            kind="closure",
            where="",
            says="3.0 kg are not accounted for.",
            proposed="Look for unlisted lines.",
        ),
    )
    return PackFindings(
        pack=f"p-{name}",
        name=name,
        figures={f.name: f for f in made},
        mass_lines=lines,
        cost_lines=cost_lines(name),
        doubts=doubts,
    )


def study() -> Study:
    return Study(
        id="s", name="Coastal vans <tray> & $cooling", packs=(pack("Tern", 8), pack("Plover", 7)), revision=14
    )


def findings() -> Findings:
    packs = {p.pack: p for p in (findings_of("Tern", 8), findings_of("Plover", 7))}
    return Findings(
        study="s",
        scenario=Scenario(),
        currency="EUR2024",
        samples=COUNT,
        packs=packs,
        sources=("common_practice", "project_choice"),
    )


def comparison() -> Comparison:
    return compare(findings(), study(), like_for_like=True)
