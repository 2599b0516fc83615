"""A project with keys, made once and copied for every test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.authority import endorse, make_authority
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.desk.people.people_keys import (
    ENGINEER,
    INSPECTOR,
    OTHER,
    PASSPHRASE,
    START,
    Opens,
)


class RunningClock(SiteClock):
    """A clock whose identifiers follow on from those that a copied project has already."""

    def __init__(self, at: datetime = START, made: int = 500) -> None:
        super().__init__(at)
        self.made = made


@pytest.fixture(autouse=True)
def _own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))


@pytest.fixture(scope="module")
def with_key(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project in which the inspector has a key."""
    base = tmp_path_factory.mktemp("people")
    for name, text in (("project.log", SETUP), ("P1-1.log", HOLE)):
        (base / name).write_text(text, "utf-8")
    folder = base / "larkwater"
    begin_project(folder)
    with open_project(folder, RunningClock(made=0), device="tablet south") as place:
        add_logs(place, read_logs(sorted(base.glob("*.log"))))
        make_key(place, INSPECTOR, PASSPHRASE)
    return folder


@pytest.fixture(scope="module")
def with_authority(with_key: Path) -> Path:
    """The same project with an authority, whose key file lies beside it, that vouches for the inspector."""
    folder = with_key.parent / "endorsed" / "larkwater"
    shutil.copytree(with_key, folder)
    with open_project(folder, RunningClock(made=200), device="tablet south") as place:
        made = make_authority(place, folder.parent / "authority.p12", OTHER, ENGINEER)
        endorse(place, made, OTHER, INSPECTOR, ENGINEER)
    return folder


@pytest.fixture
def opened(with_key: Path, tmp_path: Path) -> Opens:
    """Opens a copy of the project; every time the same copy."""
    return _opening(with_key, tmp_path)


@pytest.fixture
def endorsed(with_authority: Path, tmp_path: Path) -> Opens:
    return _opening(with_authority, tmp_path)


def _opening(template: Path, tmp_path: Path) -> Opens:
    folder = tmp_path / "larkwater"
    shutil.copytree(template, folder)
    clock = RunningClock()

    @contextmanager
    def open_at(at: datetime = START) -> Iterator[Workplace]:
        clock.at = at
        with open_project(folder, clock, device="tablet south") as place:
            yield place

    return open_at
