"""Papers are made with settings of the test alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.settings import settings_file


@pytest.fixture(autouse=True)
def settings_of_this_device(device_home: Path) -> Path:
    return settings_file()
