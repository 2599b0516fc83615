"""No path changes, deletes or replaces an entry: not ours, not sqlite-utils', not a foreign program's."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from sqlite_utils import Database

from fieldapp.record.entry import ChainHead, Entry, seal
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal
from fieldapp.store.rows import row_of
from tests.store.builders import NORTH, SOUTH, draft

COLUMNS = ("arrival", *row_of(seal(draft(), ChainHead(NORTH), 1)))
PLACES = ", ".join("?" * len(COLUMNS))
NAMES = ", ".join(COLUMNS)


def arriving(entry: Entry, arrival: int | None) -> dict:
    return {"arrival": arrival, **row_of(entry)}


def forged(journal: Journal, arrival: int | None = 4, **changes) -> dict:
    """The row of the first entry with another text, sealed afresh and self-consistent."""
    first = next(iter(journal.entries()))
    lie = draft("nothing ever happened", id=changes.pop("id", None) or first.id)
    return {
        **arriving(seal(lie, ChainHead(NORTH, first.seq - 1, first.prev), first.stamp), arrival),
        **changes,
    }


@pytest.fixture
def filled(journal: Journal) -> Journal:
    journal.append([draft("one"), draft("two"), draft("three", shaft="P1-2")], NORTH)
    return journal


STATEMENTS = [
    "UPDATE entries SET author = 'Nobody'",
    "UPDATE entries SET sealed = replace(sealed, 'one', 'six') WHERE seq = 1",
    "UPDATE OR REPLACE entries SET seq = 2 WHERE seq = 1",
    "UPDATE OR IGNORE entries SET hash = prev",
    "DELETE FROM entries",
    "DELETE FROM entries WHERE seq = 3",
    "REPLACE INTO entries SELECT * FROM entries WHERE seq = 1",
    "INSERT OR REPLACE INTO entries SELECT * FROM entries WHERE seq = 3",
    "INSERT OR IGNORE INTO entries SELECT * FROM entries WHERE seq = 3",
    "INSERT INTO entries SELECT * FROM entries WHERE seq = 3 ON CONFLICT DO UPDATE SET author = 'Nobody'",
    "DELETE FROM devices",
    "UPDATE devices SET head_seq = 1",
    "UPDATE devices SET head_seq = 9",
    "UPDATE devices SET head_hash = printf('%064d', 7)",
    "UPDATE devices SET device = 'other'",
    "REPLACE INTO devices (device, origin, head_hash) VALUES ('tablet north', 'here', printf('%064d', 0))",
    "INSERT INTO devices VALUES ('other', 'here', 5, printf('%064d', 5))",
]


@pytest.mark.parametrize("pragma", ["OFF", "ON"])
@pytest.mark.parametrize("statement", STATEMENTS)
def test_plain_sql_is_refused_whatever_the_connection(
    filled: Journal, raw: sqlite3.Connection, statement: str, pragma: str
) -> None:
    raw.execute(f"PRAGMA recursive_triggers = {pragma}")
    before = [each.sealed for each in filled.entries()]
    with pytest.raises(sqlite3.IntegrityError):
        raw.execute(statement)
    assert [each.sealed for each in filled.entries()] == before
    assert raw.execute("SELECT head_seq FROM devices").fetchall() == [(3,)]


@pytest.mark.parametrize("verb", ["INSERT OR REPLACE", "REPLACE", "INSERT OR IGNORE", "INSERT OR FAIL"])
@pytest.mark.parametrize("pragma", ["OFF", "ON"])
def test_a_forged_twin_of_an_entry_is_refused(
    filled: Journal, raw: sqlite3.Connection, verb: str, pragma: str
) -> None:
    raw.execute(f"PRAGMA recursive_triggers = {pragma}")
    other = draft().id
    in_place_of_the_first = row_of(seal(draft("nothing ever happened"), filled.heads()[NORTH], 9))
    lies = [forged(filled, arrival, id=name) for arrival in (None, 1, 4) for name in (None, other)]
    for lie in [*lies, {"arrival": 1, **in_place_of_the_first}, {"arrival": None, **in_place_of_the_first}]:
        with pytest.raises(sqlite3.IntegrityError):
            raw.execute(f"{verb} INTO entries ({NAMES}) VALUES ({PLACES})", tuple(lie.values()))
    assert "nothing ever happened" not in str(filled.entries())


PATHS: dict[str, Callable[[Database, dict], object]] = {
    "insert": lambda db, row: db["entries"].insert(row),
    "replace": lambda db, row: db["entries"].insert(row, pk="id", replace=True),
    "replace in place": lambda db, row: db["entries"].insert({**row, "arrival": 1}, replace=True),
    "ignore": lambda db, row: db["entries"].insert(row, pk="id", ignore=True),
    "upsert": lambda db, row: db["entries"].upsert(row, pk="id"),
    "upsert in place": lambda db, row: db["entries"].upsert({**row, "arrival": 1}, pk="arrival"),
    "update": lambda db, row: db["entries"].update(1, {"author": "Nobody"}),
    "delete": lambda db, row: db["entries"].delete(1),
    "delete_where": lambda db, row: db["entries"].delete_where("seq = 3"),
}


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("recursive", [True, False])
def test_every_path_of_sqlite_utils_is_refused(
    filled: Journal, raw: sqlite3.Connection, path: str, *, recursive: bool
) -> None:
    before = [each.sealed for each in filled.entries()]
    with pytest.raises(sqlite3.IntegrityError):
        PATHS[path](Database(raw, recursive_triggers=recursive), forged(filled))
    assert [each.sealed for each in filled.entries()] == before


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"seq": 6}, "follow|CHECK"),
        ({"prev": "ab" * 32}, "follow|CHECK"),
        ({"device": "stranger"}, "follow|CHECK"),
        ({"shaft": "P9"}, "CHECK"),
        ({"author": "Nobody"}, "CHECK"),
        ({"sealed": "{}"}, "CHECK"),
        ({"stamp": 1}, "rise|CHECK"),
        ({"arrival": 9}, "next to arrive"),
    ],
)
def test_the_database_itself_holds_columns_equal_to_the_sealed_content(
    filled: Journal, raw: sqlite3.Connection, change: dict, why: str
) -> None:
    head = filled.heads()[NORTH]
    row = arriving(seal(draft("four"), head, 4), 4)
    values = tuple({**row, **change}.values())
    with pytest.raises(sqlite3.IntegrityError, match=why):
        raw.execute(f"INSERT INTO entries ({NAMES}) VALUES ({PLACES})", values)
    raw.execute(f"INSERT INTO entries ({NAMES}) VALUES ({PLACES})", tuple(row.values()))
    assert filled.heads()[NORTH].seq == 4


def test_a_received_chain_can_never_be_called_ours(filled: Journal, raw: sqlite3.Connection) -> None:
    filled.retire_devices()
    with pytest.raises(sqlite3.IntegrityError, match="not continued here"):
        raw.execute("UPDATE devices SET origin = 'here'")


def test_entries_of_another_project_are_refused(filled: Journal, raw: sqlite3.Connection) -> None:
    raw.execute("INSERT INTO devices VALUES (?, 'received', 0, printf('%064d', 0))", (SOUTH,))
    stray = arriving(seal(draft(project="vesker"), ChainHead(SOUTH), 9), 4)
    with pytest.raises(sqlite3.IntegrityError, match="another project"):
        raw.execute(f"INSERT INTO entries ({NAMES}) VALUES ({PLACES})", tuple(stray.values()))
