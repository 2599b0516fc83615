"""Another device, from which something arrives."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.workplace import Workplace
from tests.desk.receiving.second_device import Second


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))


@pytest.fixture
def east(place: Workplace) -> Second:
    return Second(place)
