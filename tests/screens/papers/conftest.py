"""The app on a project with the log of its shaft signed by the inspector, copied anew for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.trust.unlocking import unlock_key
from fieldapp.desk.workplace import open_project
from fieldapp.record.words import Role
from tests.screens.decision_journey import CLEAN, INSPECTOR, PASSPHRASE, decision_project, opened
from tests.screens.journey import DEVICE, SteppedClock
from tests.screens.paper_journey import SHAFT
from tests.support.driver import Driver


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with the log of its shaft signed by the inspector."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("home")))
        folder = decision_project(tmp_path_factory.mktemp("signed"), CLEAN)
        with open_project(folder, SteppedClock(CLEAN[2]), DEVICE) as place:
            pen = Pen(unlock_key(place, INSPECTOR, PASSPHRASE), Role.INSPECTOR)
            write_shaft_log(place, SHAFT, place.now(), INSPECTOR, pen)
        return folder


@pytest.fixture
def site(hand: Driver, whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = Path(shutil.copytree(whole, tmp_path / "project"))
    on, _ = opened(hand, folder, CLEAN[2].replace(hour=14))
    on.session.person = INSPECTOR
    yield on, folder
    on.leave()
