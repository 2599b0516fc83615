"""A device of its own for each test of the office, a sample project on it, and the app that opens either."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldapp.ui.screens.people_lock import BarLock
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import tongue
from tests.screens.journey import Journey, begin, set_out
from tests.screens.office_journey import (
    empty,
)
from tests.support.driver import Driver


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    (tmp_path / "home").mkdir()
    yield
    tongue.choose(tongue.ENGLISH)
    theme.decimal_mark = "."


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("office") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def opens(hand: Driver) -> Iterator[Callable[..., Journey]]:
    """Opens the app, on a folder or on an empty device, as the app itself does."""
    begun: list[tuple[Journey, BarLock]] = []

    def opened(folder: Path | None = None) -> Journey:
        on = set_out(hand, folder) if folder else empty(hand)
        begun.append((on, BarLock(on.session, on.walk)))
        return on

    yield opened
    for on, lock in begun:
        lock.end()
        on.leave()
