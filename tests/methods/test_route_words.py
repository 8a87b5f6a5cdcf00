"""Behaviour of routes: what benches write for "how made", in their own words."""

from __future__ import annotations

import pytest

from lidoff.evaluate.cost.joints import kinds
from lidoff.materials import MATERIALS, recognise
from lidoff.methods import books
from lidoff.methods.routes import RouteChoice, RouteError, read_routes, routes
from lidoff.quantities import Evidence, Word, parse_unit
from lidoff.records import Function

BOOKS = (
    "blanking", "progressive_stamping", "transfer_stamping", "bending", "extrusion", "saw", "machining",
    "injection_moulding", "high_pressure_die_casting", "bought_part", "screwing",
)  # fmt: skip


def chosen(process: str | None, material: str, function: Function | None = None) -> RouteChoice:
    known = recognise(material)
    key = known.key if known else None
    return routes().choose(
        Word(text=process) if process is not None else None,
        material=key,
        family=MATERIALS[key].family if key else None,
        function=function,
        books=BOOKS,
    )


@pytest.mark.parametrize(
    ("process", "material", "methods"),
    [
        ("extruded, CNC", "Al extr., 6005A? (XRF)", "extrusion saw machining"),
        ("stranggepresst, gesägt, CNC-gefräst", "Al", "extrusion saw machining"),
        ("Extr. + CNC", "Al extr.", "extrusion saw machining"),
        ("extruded, bent", "Al, insulated", "extrusion saw bending"),
        ("deep drawn, trimmed", "steel, e-coated", "transfer_stamping"),
        ("tiefgezogen", "Stahl, verzinkt", "transfer_stamping"),
        ("HPDC", "AlSi10MnMg", "high_pressure_die_casting"),
        ("HPDC, trimmed, CNC", "AlSi10MnMg", "high_pressure_die_casting machining"),
        ("Druckguss", "Al-Druckguss", "high_pressure_die_casting"),
        ("die-cast", "Al die cast", "high_pressure_die_casting"),
        ("injection moulded", "PC/ABS FR (marked)", "injection_moulding"),
        ("Spritzguss", "PA66-GF", "injection_moulding"),
        ("inj. molded", "PBT-GF30", "injection_moulding"),
        ("progressive stamped", "Al, soft", "progressive_stamping"),
        ("stamped, bent", "Cu, Sn plated, sleeve", "progressive_stamping"),
        ("gestanzt, gebogen", "Cu", "progressive_stamping"),
        ("Stanzbiegeteil", "Stahl", "progressive_stamping"),
        ("bought", "bought-in", "bought_part"),
        ("Zukauf", "Stahl 8.8", "bought_part"),
        ("Kaufteil", "Zukauf", "bought_part"),
        ("bought in", "PPA", "bought_part"),
    ],
)
def test_words_become_a_route(process: str, material: str, methods: str) -> None:
    choice = chosen(process, material)
    assert choice.route is not None, choice.why
    assert [step.method for step in choice.route.steps] == methods.split()
    assert (choice.assumed, choice.left_out, choice.route.evidence) == (False, (), Evidence.STATED)


@pytest.mark.parametrize(
    ("process", "material", "methods"),
    [
        ("extruded, FSW", "Al extr.", "extrusion saw friction_stir_welding"),
        ("rollgeformt", "Stahl hochfest", "roll_forming"),
        ("dosiert", "PU 2K", "dispensing"),
        ("die cut", "butyl on Al foil", "die_cutting"),
        ("gestanzt", "EPDM", "die_cutting"),
        ("micro extruded, bent", "Al, 3xxx?", "extrusion saw bending"),
        ("extruded", "PA12", "polymer_extrusion"),
        ("stamped, brazed", "Al", "progressive_stamping furnace_brazing"),
        ("turned", "steel", "bar_turning"),
        ("Pressen", "SMC", "compression_moulding"),
        ("tiefgezogen", "Stahl, verzinkt", "transfer_stamping"),
    ],
)
def test_what_the_shipped_books_make_of_a_bench_s_words(process: str, material: str, methods: str) -> None:
    found = recognise(material)
    assert found is not None
    choice = routes().choose(
        Word(text=process),
        material=found.key,
        family=MATERIALS[found.key].family,
        function=None,
        books=books().keys(),
    )
    assert choice.route is not None, choice.why
    assert [step.method for step in choice.route.steps] == methods.split()


@pytest.mark.parametrize(
    ("process", "material", "why"),
    [
        ("extruded, FSW", "Al extr.", "friction stir welding has no method book yet"),
        ("press hardened, trimmed", "steel", "hot forming has no method book yet"),
        ("rollgeformt", "Stahl hochfest", "roll forming has no method book yet"),
        ("dosiert", "PU 2K", "dispensing of beads and fillers has no method book yet"),
        ("die cut", "butyl on Al foil", "die cutting of soft sheet has no method book yet"),
        ("gestanzt", "Glimmer + Schaum", "die cutting of soft sheet has no method book yet"),
        ("gestanzt", "EPDM", "die cutting of soft sheet has no method book yet"),
        ("extruded, formed", "PA12", "extrusion of polymers has no method book yet"),
        ("stamped, brazed", "Al", "brazing has no method book yet"),
        ("roll bonded, gelötet", "Al", "roll bonding has no method book yet"),
        ("bonded", "Al 0.4 mm", "wire bonding has no method book yet"),
        ("turned", "steel", "turning has no method book yet"),
        ("Pressen", "SMC", "compression moulding has no method book yet"),
        ("extruded", "steel", "extrusion of steel has no method book"),
        ("bent", "steel", "bending alone does not say how the part is made"),
        ("CNC", "steel", "machining alone does not say how the part is made"),
        ("powder coated", "steel", "coating has no method book yet"),
        ("conjured, stamped", "steel", "the process 'conjured' in 'conjured, stamped' is not understood"),
        ("stamped, conjured", "steel", "the process 'conjured' in 'stamped, conjured' is not understood"),
    ],
)
def test_a_main_step_without_a_book_leaves_the_line_not_costed(process: str, material: str, why: str) -> None:
    choice = chosen(process, material)
    assert choice.route is None
    assert choice.why == why


def test_a_minor_step_without_a_book_is_left_out_and_said() -> None:
    choice = chosen("extruded, aged, plated", "Al, insulated")
    assert choice.route is not None
    assert [step.method for step in choice.route.steps] == ["extrusion", "saw"]
    assert choice.left_out == ("heat treatment", "plating")


def test_before_finishing_steps_alone_stands_what_the_material_suggests() -> None:
    choice = chosen("CNC", "Al extr.")
    assert choice.route is not None
    assert [step.method for step in choice.route.steps] == ["extrusion", "saw", "machining"]
    assert choice.assumed
    assert not chosen("extruded, CNC", "Al extr.").assumed


@pytest.mark.parametrize("nothing", [None, "", " ", "-", "?"])
def test_where_nothing_is_written_a_route_is_assumed_and_marked(nothing: str | None) -> None:
    for material, function, methods in (
        ("Al extr.", Function.TRAY, ["extrusion", "saw"]),
        ("PA66 FR", Function.INSULATION, ["injection_moulding"]),
        ("steel 8.8", Function.FASTENERS, ["bought_part"]),
        ("Cu", Function.BUSBARS, ["progressive_stamping"]),
        ("PCBA", Function.MONITORING, ["bought_part"]),
    ):
        choice = chosen(nothing, material, function)
        assert choice.route is not None
        assert [step.method for step in choice.route.steps] == methods
        assert choice.assumed
        assert choice.route.evidence is Evidence.ASSUMED


def test_where_nothing_suggests_a_route_it_is_said() -> None:
    assert chosen(None, "unheard-of stuff").why.startswith(
        "no process was written, and material and function"
    )
    sheet = chosen(None, "EPDM", Function.SEAL).why
    assert sheet.startswith("no process was written, taken to be die cutting of soft sheet: ")


def test_an_engineer_may_name_the_books_outright() -> None:
    choice = routes().choose(
        Word(text="as agreed", means="extrusion + machining"),
        material=None,
        family=None,
        function=None,
        books=BOOKS,
    )
    assert choice.route is not None
    assert [step.method for step in choice.route.steps] == ["extrusion", "machining"]


def test_a_route_table_with_a_slip_is_refused() -> None:
    good = '[processes.a]\ntitle="a"\nwords=["a"]\ncovers=["{}"]\n[[defaults]]\nprocesses=["{}"]\n'
    assert read_routes(good.format("a", "a")).processes["a"].title == "a"
    with pytest.raises(RouteError, match="covers unknown b"):
        read_routes(good.format("b", "a"))
    with pytest.raises(RouteError, match="default names unknown b"):
        read_routes(good.format("a", "b"))
    with pytest.raises(RouteError, match="no title or words"):
        read_routes('[processes.a]\ntitle="a"\n[[defaults]]\nprocesses=["a"]\n')


def test_routes_and_shipped_books_know_each_other() -> None:
    """Every method a route names is shipped, and every process book is reached by some words."""
    named = {method for process in routes().processes.values() for method in process.methods}
    processes = {name for name, book in books().items() if "good_share" in book.lines}
    of_joints = {kind.method for kind in kinds()[0] if kind.method}
    assert named | of_joints == processes


def test_process_books_give_what_a_route_adds_up() -> None:
    """Money per part handled, tooling whole, and a share of good parts that needs no volume."""
    wanted = {
        "labour": "money/part", "burden": "money/part", "material": "money/part", "tooling": "money",
        "good_share": "",
    }  # fmt: skip
    for book in books().values():
        if not book.topic.startswith(("cost.shape", "cost.buy", "cost.join")):
            continue
        for name, unit in wanted.items():
            if name in book.lines:
                assert book.lines[name].unit.dimension == parse_unit(unit).dimension, (book.name, name)
        assert {"labour", "burden", "tooling", "good_share"} <= book.lines.keys(), book.name
        volumes = {n for n, entry in book.inputs.items() if (entry.comes_from or "").startswith("route.")}
        assert not volumes & set(book.needs["good_share"]), book.name
