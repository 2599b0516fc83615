"""The app on a project copied anew for each test, beside a folder of pictures of this device."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screens.journey import Journey, begin, set_out
from tests.screens.picture_journey import photo
from tests.support.driver import Driver


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P2-1", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A folder of this device: one good picture, one that is none, and something else."""
    shelf = tmp_path / "home" / "Pictures"
    shelf.mkdir(parents=True)
    (shelf / "base.jpg").write_bytes(photo())
    (shelf / "broken.jpg").write_bytes(photo()[:900])
    (shelf / "letter.png").write_text("Dear all,", "utf-8")
    (shelf / "list.txt").write_text("bread", "utf-8")
    return shelf


@pytest.fixture
def on(hand: Driver, folder: Path, shelf: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Journey]:
    monkeypatch.setenv("HOME", str(shelf.parent))
    monkeypatch.setenv("USERPROFILE", str(shelf.parent))
    made = set_out(hand, folder)
    made.session.person = "Inspector A"
    yield made
    made.leave()
