"""The app at the fluid test of a shaft, on a project copied anew for each test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from tests.screens.fluid_journey import SHAFT, to_fluid
from tests.screens.journey import DEVICE, SAMPLES, Journey, SteppedClock, begin, one_at_a_time

# Of the interval of us-classic the contract leaves two depths in a hole of 34 ft.
TWO_DEPTHS = "  limit           sample_interval_max     at most 20 ft  contract: provision 12.3\n"


@pytest.fixture(scope="module")
def larkwater(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Larkwater under a contract that asks for two depths, with shaft P1-4."""
    made = tmp_path_factory.mktemp("two")
    logs = made / "logs"
    logs.mkdir()
    text = (SAMPLES / "larkwater" / "project.log").read_text()
    before = "  person          Inspector A"
    (logs / "project.log").write_text(text.replace(before, TWO_DEPTHS + before, 1))
    shutil.copy(SAMPLES / "larkwater" / f"{SHAFT}.log", logs)
    folder = made / "larkwater"
    begin_project(folder)
    with open_project(folder, SteppedClock(), DEVICE) as place:
        add_logs(place, read_logs(sorted(logs.glob("*.log"))))
    return folder


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand, folder: Path) -> Iterator[Callable[..., Journey]]:
    clock = SteppedClock()
    with one_at_a_time(hand) as opens:

        def opened(later_s: float = 0.0, where: Path = folder, shaft: str = SHAFT) -> Journey:
            clock.moment += timedelta(seconds=later_s)
            on = opens(where, clock=clock)
            to_fluid(on, shaft)
            return on

        yield opened
