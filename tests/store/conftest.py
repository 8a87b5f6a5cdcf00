"""A new workspace for each test."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from lidoff.store import Store


@pytest.fixture
def workspace(tmp_path: Path) -> Path:
    return tmp_path / "a workspace, 100 % ours"


@pytest.fixture
def store(workspace: Path) -> Iterator[Store]:
    with Store.open(workspace) as opened:
        yield opened
