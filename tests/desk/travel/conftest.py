"""Two tablets that know the same project."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.desk.travel.tablets import Tablet, pair


@pytest.fixture
def tablets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Tablet, Tablet]:
    return pair(tmp_path, monkeypatch)


@pytest.fixture
def one(tablets: tuple[Tablet, Tablet]) -> Tablet:
    return tablets[0]


@pytest.fixture
def two(tablets: tuple[Tablet, Tablet]) -> Tablet:
    return tablets[1]
