"""Rows read from pages without SQLite are those that SQLite reads, and damage costs only its own page."""

from __future__ import annotations

import random  # noqa: TID251 - seeded
from pathlib import Path

import pytest

from fieldapp.store.driver import sqlite3
from fieldapp.store.pages import Row, page_size_of, pages_ahead, pages_of, rows_in

# Every storage class, whole numbers of each width, and texts that need overflow pages.
ROWS: list[Row] = [
    (f"key {number}", 2**power * sign, power / 7 if power else None, b"\x00\xff" * power, "x" * (power * 200))
    for number, (power, sign) in enumerate((power, sign) for power in range(0, 40, 3) for sign in (1, -1))
]


def written(path: Path, size: int, extra: str = "") -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute(f"PRAGMA page_size = {size}")
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute(f"CREATE TABLE t (k TEXT PRIMARY KEY, n INTEGER, r REAL, b BLOB, s TEXT) {extra}")
    connection.executemany("INSERT INTO t VALUES (?, ?, ?, ?, ?)", ROWS)
    return connection


def read(path: Path) -> set[Row]:
    data = path.read_bytes()
    size = page_size_of(data)
    wal = path.with_name(f"{path.name}-wal")
    pages = {**pages_of(data, size), **pages_ahead(wal.read_bytes() if wal.exists() else b"", size)}
    return {row for row in rows_in(pages, size) if len(row) == 5 and row[0] not in {"table", "index"}}


@pytest.mark.parametrize("size", [512, 4096, 65536])
@pytest.mark.parametrize("extra", ["", "WITHOUT ROWID"])
def test_every_row_of_a_sound_file_is_read(tmp_path: Path, size: int, extra: str) -> None:
    written(tmp_path / "a.db", size, extra).close()
    assert read(tmp_path / "a.db") == set(ROWS)


def test_rows_that_stand_in_the_write_ahead_file_alone_are_read(tmp_path: Path) -> None:
    connection = written(tmp_path / "a.db", 4096)
    assert (tmp_path / "a.db-wal").stat().st_size > 4096
    assert read(tmp_path / "a.db") == set(ROWS)
    connection.close()


def test_any_damage_gives_rows_or_none_and_never_an_error(tmp_path: Path) -> None:
    written(tmp_path / "a.db", 512).close()
    whole = (tmp_path / "a.db").read_bytes()
    source = random.Random(20261128)
    for _ in range(300):
        content = bytearray(whole)
        for _ in range(source.choice((1, 5, 200))):
            content[source.randrange(len(content))] = source.randrange(256)
        (tmp_path / "a.db").write_bytes(content[: source.randrange(len(content))])
        read(tmp_path / "a.db")


def test_a_page_that_is_gone_costs_its_own_rows_and_no_others(tmp_path: Path) -> None:
    written(tmp_path / "a.db", 4096).close()
    whole = (tmp_path / "a.db").read_bytes()
    for page in range(1, len(whole) // 4096):
        (tmp_path / "a.db").write_bytes(whole[: page * 4096] + bytes(4096) + whole[(page + 1) * 4096 :])
        assert len(read(tmp_path / "a.db") & set(ROWS)) >= len(ROWS) - 24, page
    (tmp_path / "a.db").write_bytes(bytes(4096) + whole[4096:])
    assert read(tmp_path / "a.db") == set(ROWS), "the file without its first page"
