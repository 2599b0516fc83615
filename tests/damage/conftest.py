"""A small project on disk, with a folder of this device that is the test's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.damage.small_project import Made, make


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Made:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return make(tmp_path / "site")
