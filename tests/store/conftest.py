"""A project folder with an open journal, closed again whatever happens."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.opening import JOURNAL, create_store
from tests.store.builders import SimpleProjector


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "larkwater"
    create_store(place)
    return place


@pytest.fixture
def journal(folder: Path) -> Iterator[Journal]:
    with open_journal(folder, SimpleProjector()) as opened:
        yield opened


@pytest.fixture
def raw(folder: Path) -> Iterator[sqlite3.Connection]:
    """A connection as any other program would open it, with none of our settings."""
    connection = sqlite3.connect(folder / JOURNAL, isolation_level=None)
    yield connection
    connection.close()
