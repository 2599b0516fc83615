"""For every test: the files of this device in a temporary place, and the outside programs."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.support.outside import needed


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files first, so that no process is left alone with one at the end."""
    long = ("journeys", "crash", "screens")
    items.sort(
        key=lambda each: next((n for n, name in enumerate(long) if name in each.path.parts), len(long))
    )


@pytest.fixture(scope="session", autouse=True)
def _own_device(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("device")))
        yield


@pytest.fixture
def pdfsig() -> str:
    return needed("pdfsig")


@pytest.fixture
def openssl() -> str:
    return needed("openssl")
