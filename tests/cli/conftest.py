"""The command line in a workspace of its own, as a script calls it."""

import json
from pathlib import Path
from typing import Any

import pytest

from lidoff import cli

DATA = Path(__file__).parents[1] / "data"


class Lidoff:
    """Runs commands in this process; `Lidoff.json` reads what `--json` prints."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, *arguments: str) -> tuple[int, str, str]:
        self.capsys.readouterr()
        with pytest.raises(SystemExit) as done:
            cli.main([str(a) for a in arguments])
        out, err = self.capsys.readouterr()
        return int(done.value.code or 0), out, err

    def json(self, *arguments: str) -> Any:
        status, out, err = self(*arguments, "--json")
        assert status == 0, err
        return json.loads(out)

    def refused(self, *arguments: str) -> str:
        """The one sentence of a command that must be refused with status 2."""
        status, out, err = self(*arguments)
        lines = [line for line in err.splitlines() if not line.startswith("…")]
        assert status == 2, (status, out, err)
        assert out == "" and len(lines) == 1, (out, err)
        return lines[0]


@pytest.fixture
def lidoff(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Lidoff:
    monkeypatch.setenv("LIDOFF_DATA", str(tmp_path / "records"))
    monkeypatch.delenv("LIDOFF_DATABASE", raising=False)
    return Lidoff(capsys)


@pytest.fixture
def birds(lidoff: Lidoff) -> Lidoff:
    """Both bench files imported as they are, no proposal accepted."""
    for pack, name in (("heron", "heron.xlsx"), ("marlin", "marlin.csv")):
        status, _, err = lidoff("import", str(DATA / name), "--study", "birds", "--pack", pack)
        assert status == 0, err
    return lidoff
