"""For every test: the files of this device in a temporary place, and the outside programs."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.outside import needed


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, so that no process is left alone with one at the end."""
    long = ("journeys", "crash", "screens")
    items.sort(
        key=lambda each: next((n for n, name in enumerate(long) if name in each.path.parts), len(long))
    )


@pytest.fixture(scope="session", autouse=True)
def _device_of_the_session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        folder = tmp_path_factory.mktemp("device")
        patch.setenv("XDG_CONFIG_HOME", str(folder))
        yield folder


@pytest.fixture(autouse=True)
def _nothing_seen(_device_of_the_session: Path) -> None:
    """Forget the signed projects of earlier tests: a new one of the same name would be called another one."""
    shutil.rmtree(_device_of_the_session / "basenote" / "seen", ignore_errors=True)


@pytest.fixture
def device_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where a device of this test alone keeps its keys, its settings and what it has seen."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "basenote"


@pytest.fixture
def pdfsig() -> str:
    return needed("pdfsig")


@pytest.fixture
def openssl() -> str:
    return needed("openssl")
