"""The app on a project at the moment of a decision, copied anew for each test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.screens.decision_journey import (
    Sample,
    decision_project,
    opened,
)
from tests.screens.journey import Journey, SteppedClock
from tests.support.driver import Driver


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Sample], Path]:
    made: dict[str, Path] = {}
    home = tmp_path_factory.mktemp("home")

    def of(sample: Sample) -> Path:
        if sample[0] not in made:
            with pytest.MonkeyPatch.context() as patch:
                patch.setenv("XDG_CONFIG_HOME", str(home))
                made[sample[0]] = decision_project(tmp_path_factory.mktemp(sample[0]), sample)
        return made[sample[0]]

    return of


@pytest.fixture
def site(hand: Driver, whole: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    """Opens the app on a copy of a project: the journey, its folder, its clock."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    begun: list[Journey] = []

    def begin(sample: Sample, person: str) -> tuple[Journey, Path, SteppedClock]:
        folder = Path(shutil.copytree(whole(sample), tmp_path / "project", dirs_exist_ok=True))
        on, clock = opened(hand, folder, sample[2])
        begun.append(on)
        on.session.person = person
        return on, folder, clock

    yield begin
    for each in begun:
        each.leave()
