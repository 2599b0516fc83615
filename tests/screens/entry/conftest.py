"""The app at an entry of a shaft, on a project copied anew for each test."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.screens.entry_journey import to
from tests.screens.journey import Journey, begin, one_at_a_time
from tests.support.driver import Driver


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P2-1", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand: Driver, folder: Path) -> Iterator[Callable[..., Journey]]:
    with one_at_a_time(hand) as opens:

        def opened(shaft: str = "", **given: str) -> Journey:
            on = opens(folder)
            if given:
                to(on, shaft, **given)
            return on

        yield opened
