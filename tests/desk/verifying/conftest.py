"""A closed project with a log signed by all three, and a copy of it for every test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.signing import countersign
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.words import Role
from tests.desk.conftest import HOLE, PLAN_ONLY, SETUP, SiteClock
from tests.desk.signed_papers import (
    pin_all,
    release,
)
from tests.desk.travel.tablets import one, tablets, two
from tests.desk.verifying.made_papers import MORNING, Made


@pytest.fixture(scope="module", autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("home")))
        yield


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    logs = tmp_path_factory.mktemp("logs")
    for name, text in (("project", SETUP), ("P1-1", HOLE), ("P9-1", PLAN_ONLY)):
        (logs / f"{name}.log").write_text(text, "utf-8")
    folder = tmp_path_factory.mktemp("made") / "larkwater"
    clock = SiteClock(MORNING)
    begin_project(folder)
    with open_project(folder, clock, device="tablet south") as place:
        add_logs(place, read_logs(list(logs.glob("*.log"))))
        pens = pin_all(place)
        release(place)
        paths = [
            write_shaft_log(
                place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pens[Role.INSPECTOR]
            ).path
        ]
        for role in (Role.RESIDENT_ENGINEER, Role.DESIGNER):
            clock.move(minutes=5)
            paths.append(countersign(place, paths[-1], pens[role]).path)
    first, second, third = (each.read_bytes() for each in paths)
    return Made(folder, pens, (first, second, third), clock.at, clock.made)


@pytest.fixture
def clock(made: Made) -> SiteClock:
    clock = SiteClock(made.at)
    clock.made = made.ids
    return clock


@pytest.fixture
def place(made: Made, tmp_path: Path, clock: SiteClock) -> Iterator[Workplace]:
    """A copy of the project, to be changed at will."""
    folder = tmp_path / "larkwater"
    shutil.copytree(made.folder, folder)
    with open_project(folder, clock, device="tablet south") as opened:
        yield opened


__all__ = ["clock", "home", "made", "one", "place", "tablets", "two"]
