"""The app at the round of a shaft, on a project copied anew for each test, and the taps it takes."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.screens.journey import Journey, begin, one_at_a_time
from tests.screens.round_journey import to_round
from tests.screens.views.round_views import SHAFT


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", (SHAFT, "P2-1"))


@pytest.fixture(scope="session")
def quay(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("quay") / "vesker", "vesker")


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand, folder: Path) -> Iterator[Callable[..., Journey]]:
    with one_at_a_time(hand) as opens:

        def opened(shaft: str = SHAFT, where: Path = folder, **given: str) -> Journey:
            on = opens(where)
            if shaft:
                to_round(on, shaft, **given)
            return on

        yield opened


@pytest.fixture
def taps(hand, monkeypatch) -> list[tuple[float, float]]:
    """Every tap of the hand, counted where it meets the glass."""
    made: list[tuple[float, float]] = []
    plain = hand.tap_at

    def counted(x: float, y: float) -> None:
        made.append((x, y))
        plain(x, y)

    monkeypatch.setattr(hand, "tap_at", counted)
    return made
