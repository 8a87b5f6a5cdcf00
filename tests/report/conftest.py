"""The report of the hand-built study, written once."""

from __future__ import annotations

from pathlib import Path

import pytest

from lidoff.report import write_report

from .study_by_hand import ISSUED, comparison, findings, study


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    out = tmp_path_factory.mktemp("report")
    paths = write_report(study(), findings(), comparison(), out, issued=ISSUED)
    return {path.suffix.lstrip("."): path for path in paths}


@pytest.fixture(scope="session")
def page(written: dict[str, Path]) -> str:
    return written["html"].read_text("utf-8")
