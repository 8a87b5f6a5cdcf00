"""A user's own books beside the shipped ones: taken, marked unchecked, or left out with a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from by_hand import part

from lidoff.evaluate import evaluate
from lidoff.methods import Shelf, books, own_shelf, routes_of
from lidoff.methods.calc import calc
from lidoff.methods.routes import routes
from lidoff.records import Pack, Study

CLINCH = """\
title = "Clinching"
topic = "cost.join"
[inputs]
points = {{ unit = "", default = 4, about = "points" }}
[[lines]]
name = "labour"
unit = "money/part"
formula = "points*quantity(0.05, \\"money/part\\")"
source = "Our own log 2023, p. 4"
{check}
"""
CHECK = """\
[[checks]]
kind = "independent"
source = "Our own log 2023"
where = "10 points at 5 cents"
inputs = {{ points = 10 }}
expect = {{ labour = "{expected} money/part" }}
rel = 1e-9
reason = "exact"
"""


def write(workspace: Path, name: str, text: str) -> None:
    file = workspace / "books" / "mine" / f"{name}.toml"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")


def clinch(expected: str | None = None) -> str:
    return CLINCH.format(check="" if expected is None else CHECK.format(expected=expected))


def test_own_books_stand_beside_the_shipped_ones(tmp_path: Path) -> None:
    write(tmp_path, "clinching", clinch("0.5"))
    shelf = own_shelf(tmp_path)
    assert shelf.keys() == {*books(), "clinching"}
    assert shelf.own == {"clinching"} and shelf.faults == ()
    assert shelf["clinching"].checked


def test_a_workspace_without_own_books_has_the_shipped_ones(tmp_path: Path) -> None:
    shelf = own_shelf(tmp_path)
    assert dict(shelf) == dict(books()) and shelf.own == frozenset() and shelf.routes is routes()


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("saw", clinch(), "books/mine/saw.toml:1: a shipped book is named 'saw' already: rename the file"),
        ("bad", "title = ", "books/mine/bad.toml:1: it is not well-formed TOML"),
        ("bad", clinch().replace("points*", "pionts*"), "books/mine/bad.toml:8: line labour"),
        ("bad", clinch().replace("0.05", "0.05*points + x"), "books/mine/bad.toml:8:"),
        ("bad", clinch("0.6"), "its check 1 fails: labour is 0.5 money/part, expected 0.6 money/part"),
    ],
)
def test_a_faulty_book_is_left_out_and_the_rest_stands(
    tmp_path: Path, name: str, text: str, says: str
) -> None:
    write(tmp_path, name, text)
    write(tmp_path, "clinching", clinch())
    shelf = own_shelf(tmp_path)
    assert shelf.own == {"clinching"}
    (fault,) = shelf.faults
    assert says in fault and "\n" not in fault
    assert shelf["saw"] is books()["saw"]


def test_the_same_name_twice_is_told(tmp_path: Path) -> None:
    write(tmp_path, "clinching", clinch())
    (tmp_path / "books" / "clinching.toml").write_text(clinch(), encoding="utf-8")
    (fault,) = own_shelf(tmp_path).faults
    assert "is named 'clinching' already" in fault


def test_a_book_without_a_check_is_marked_wherever_it_is_used(tmp_path: Path) -> None:
    write(tmp_path, "clinching", clinch())
    shelf = own_shelf(tmp_path)
    assert not shelf["clinching"].checked
    assert calc(shelf["clinching"], {}, shelf=shelf).warnings == (
        "unchecked: no check stands behind this method",
    )
    line = cost_line(shelf, process="clinched together")
    assert line.piece is not None
    assert "Clinching: unchecked: no check stands behind this method" in line.warnings
    write(tmp_path, "clinching", clinch("0.5"))
    assert not any(
        "unchecked" in text for text in cost_line(own_shelf(tmp_path), "clinched together").warnings
    )


def cost_line(shelf: Shelf, process: str):  # type: ignore[no-untyped-def]
    """The cost line of one part made as written, with routes that know the word clinched."""
    own = Shelf(books=shelf.books, own=shelf.own, routes=ROUTES)
    made = part("1", "Bracket", 0.2, material="steel", process=process, size=(100, 50, 2))
    study = Study(id="s", name="s", packs=(Pack(id="p", name="p", items=(made,)),))
    return evaluate(study, samples=100, topics=["cost"], books=own).packs["p"].cost_lines[0]


def overlay(text: str):  # type: ignore[no-untyped-def]
    from lidoff.methods.routes import overlaid

    return overlaid(text, "routes.toml")


ROUTES = overlay(
    '[processes.clinching]\ntitle = "clinching"\nwords = ["clinched together"]\nmethods = ["clinching"]\n'
)


def test_own_routes_lie_over_the_shipped_ones(tmp_path: Path) -> None:
    write(tmp_path, "clinching", clinch())
    (tmp_path / "routes.toml").write_text(
        '[processes.sawing]\nmethods = ["clinching"]\n[processes.riveting]\ntitle = "riveting"\n'
        'words = ["sawn"]\nmethods = ["clinching", "saw"]\n[[defaults]]\nfamilies = ["steel"]\n'
        'processes = ["riveting"]\n',
        encoding="utf-8",
    )
    shelf = own_shelf(tmp_path)
    table = routes_of(shelf)
    assert shelf.faults == ()
    assert table.processes["sawing"].methods == ("clinching",)
    assert set(routes().processes["sawing"].words) <= set(table.processes["sawing"].words)
    # Of processes with the same word the user's first one is taken, as is their default.
    assert table.read("sawn", None)[0][0].key == "sawing"
    assert table.defaults[0].processes == ("riveting",)
    assert routes().processes["sawing"].methods == ("saw",)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[processes", "is not well-formed TOML"),
        ("[process.x]\n", "unknown part 'process'"),
        ('[processes.saw2]\ntitle = "x"\nwords = "sawn"\nmethods = ["saw"]\n', "words of process 'saw2'"),
        (
            '[processes.saw2]\ntitle = "x"\nwords = ["q"]\nmethods = ["swa"]\n',
            "names 'swa', which is no method",
        ),
        ("[processes]\nx = 3\n", "process 'x' is not a table"),
        ('[[defaults]]\nprocesses = ["nothing"]\n', "a default names unknown nothing"),
        ("defaults = 3\n", "defaults a list"),
    ],
)
def test_faulty_routes_are_left_out(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "routes.toml").write_text(text, encoding="utf-8")
    shelf = own_shelf(tmp_path)
    (fault,) = shelf.faults
    assert says in fault and "\n" not in fault
    assert shelf.routes is routes()
