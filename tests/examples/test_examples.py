"""Behaviour: the example in the README runs as it stands."""

import runpy
from pathlib import Path

import pytest

EXAMPLE = Path(__file__).parents[2] / "examples" / "first_hour.py"


def test_first_hour(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written = runpy.run_path(str(EXAMPLE))["main"](tmp_path)
    assert [path.suffix for path in written] == [".html"] and written[0].stat().st_size > 10_000
    said = capsys.readouterr().out
    assert "questions" in said and " kg (" in said
