"""Behaviour: bad input is told in one line with status 2, and nothing is written."""

import subprocess
import sys
from pathlib import Path

import pytest
from conftest import DATA, Lidoff

HERON = str(DATA / "heron.xlsx")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("import", "no-such-file.xlsx", "--study", "s", "--pack", "p"), "no-such-file.xlsx"),
        (("import", HERON, "--study", "a/../../b", "--pack", "p"), "study name"),
        (("import", HERON, "--study", "s", "--pack", 'it\'s "x"'), "pack name"),
        (("import", HERON, "--study", "s", "--pack", "p", "--accept", "q-none"), "q-none"),
        (("import", HERON, "--study", "s"), "--pack"),
        (("figures", "nowhere"), "nowhere"),
        (("frobnicate",), "frobnicate"),
        (("calc", "blanking", "gauge=1.5kg"), "gauge"),
        (("calc", "blanking", "gauge=nan mm"), "gauge"),
        (("calc", "blanking", "gauge"), "NAME=VALUE"),
        (("calc", "blankin", "gauge=1mm"), "blanking"),
        (("calc", "blanking", "gage=1mm"), "gauge"),
    ],
)
def test_one_sentence(lidoff: Lidoff, arguments: tuple[str, ...], says: str) -> None:
    assert says in lidoff.refused(*arguments)
    assert lidoff.json("studies") == []


def test_figures_refuse_nonsense_terms(birds: Lidoff) -> None:
    for option, value in (
        ("--volume", "-5"),
        ("--volume", "nan"),
        ("--years", "0"),
        ("--region", "Atlantis"),
        ("--samples", "1"),
    ):
        assert option.lstrip("-") in birds.refused("figures", "birds", option, value)
    assert "salads" in birds.refused("compare", "birds", "--scope", "cells,salads")
    assert "docx" in birds.refused("report", "birds", "--out", "x", "--format", "docx")
    assert "q-0" in birds.refused("accept", "birds", "q-0", "--pack", "heron")


def test_nothing_to_do_is_status_1(lidoff: Lidoff) -> None:
    status, out, err = lidoff("studies")
    assert (status, out) == (1, "") and len(err.splitlines()) == 1


def test_help_names_every_command_of_the_readme(lidoff: Lidoff) -> None:
    status, out, _ = lidoff("--help")
    assert status == 0
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    for command in ("import", "accept", "check", "figures", "cost", "compare", "report", "methods", "calc"):
        assert f"lidoff {command}" in readme and command in out


def test_help_loads_no_heavy_room() -> None:
    """Help answers at once because nothing heavy is imported for it."""
    code = (
        "import sys; sys.argv=['lidoff','--help']\n"
        "from lidoff.cli import main\n"
        "try: main()\nexcept SystemExit: pass\n"
        "heavy = ('numpy', 'sqlalchemy', 'pint', 'scipy', 'typst', 'jinja2', 'alembic')\n"
        "print([m for m in heavy if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")
