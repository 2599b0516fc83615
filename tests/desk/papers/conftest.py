"""Papers are made with settings of the test alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.settings import settings_file


@pytest.fixture(autouse=True)
def settings_of_this_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return settings_file()
