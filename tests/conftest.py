"""For every test: the files of this device in a temporary place, and the outside programs."""

from __future__ import annotations

import gc
import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from fieldapp.identity import keyfile
from tests.support.outside import needed

SHIPPED_ROUNDS = {"KDF_ROUNDS": keyfile.KDF_ROUNDS, "MAC_ROUNDS": keyfile.MAC_ROUNDS}
OBJECTS_A_SEARCH = 10_000


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, so that no process is left alone with one at the end."""
    long = ("journeys", "crash", "screens")
    items.sort(
        key=lambda each: next((n for n, name in enumerate(long) if name in each.path.parts), len(long))
    )


def pytest_collection_finish() -> None:
    """Take what is loaded out of the search for lost objects, which was a quarter of the run: it stays.

    Screens lose tens of thousands of objects at a time, for which the 700 of Python are too few.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS_A_SEARCH)


@contextmanager
def _sealed_with(share: int) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for name, rounds in SHIPPED_ROUNDS.items():
            patch.setattr(keyfile, name, rounds // share)
        yield


@pytest.fixture(scope="session", autouse=True)
def _sealed_with_little_work() -> Iterator[None]:
    """Seal keys with a thousandth of the work: hundreds of them are made and opened, a second or more each.

    A file states its own rounds, so opening follows.  What is about the work itself asks for
    ``shipped_rounds``; programs of a process of their own do the whole work anyway.
    """
    with _sealed_with(1000):
        yield


@pytest.fixture(scope="session")
def shipped_rounds() -> Callable[[], AbstractContextManager[None]]:
    """Keys are sealed with the work of the program that ships, as long as the context lasts."""
    return lambda: _sealed_with(1)


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
