"""Opening: settings that hold, formats that are known, guards in place, one writer."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from fieldapp.store import opening
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.light import read_board
from fieldapp.store.migrations import MIGRATIONS, Migration, format_of, migrate
from fieldapp.store.opening import JOURNAL, create_store, opened, reading
from fieldapp.store.problems import (
    AlreadyThere,
    Damaged,
    GuardsChanged,
    LockedElsewhere,
    NewerStore,
    NotAProject,
    ReadOnly,
    SettingRefused,
    StoreProblem,
)
from tests.store.builders import NORTH, SimpleProjector, draft

# reliability of SQLite: synchronous 2 = FULL
WANTED = {
    "journal_mode": "wal",
    "synchronous": 2,
    "foreign_keys": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
    "recursive_triggers": 1,
    "busy_timeout": 5000,
}


@pytest.mark.parametrize("mode", ["writer", "reader"])
def test_every_setting_holds_on_every_connection(folder: Path, mode) -> None:
    store = opened(folder, mode)
    found = {name: store.connection.execute(f"PRAGMA {name}").fetchone()[0] for name in WANTED}
    store.close()
    assert found == WANTED


def test_a_setting_that_does_not_hold_stops_the_opening(folder: Path, monkeypatch) -> None:
    monkeypatch.setitem(opening._SETTINGS, "auto_vacuum", 1)
    with pytest.raises(SettingRefused, match="auto_vacuum"), reading(folder):
        pass


def test_a_reader_can_neither_write_nor_checkpoint(journal: Journal) -> None:
    journal.append([draft()], NORTH)
    waiting = (journal.folder / f"{JOURNAL}-wal").read_bytes()
    with reading(journal.folder) as connection:
        assert connection.execute("PRAGMA query_only").fetchone()[0] == 1
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            connection.execute("DELETE FROM forms")
        connection.execute("PRAGMA query_only = OFF")
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            connection.execute("DELETE FROM forms")
        with pytest.raises(sqlite3.OperationalError):
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    assert (journal.folder / f"{JOURNAL}-wal").read_bytes() == waiting


def test_a_second_writer_is_refused_in_the_same_process(journal: Journal) -> None:
    with pytest.raises(LockedElsewhere, match="Close the other one"):
        opened(journal.folder, "writer")


def test_a_second_writer_is_refused_in_another_process_until_the_first_has_gone(journal: Journal) -> None:
    program = (
        "import sys; from pathlib import Path; from fieldapp.store.opening import opened\n"
        "opened(Path(sys.argv[1]), 'writer').close()"
    )
    command = [sys.executable, "-c", program, str(journal.folder)]
    refused = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "LockedElsewhere" in refused.stderr
    journal.close()
    assert subprocess.run(command, capture_output=True, text=True, check=False).returncode == 0


def test_a_new_project_never_lands_on_an_old_one(folder: Path) -> None:
    with pytest.raises(AlreadyThere):
        create_store(folder)


def test_a_half_made_project_folder_is_made_again(tmp_path: Path) -> None:
    place = tmp_path / "new"
    place.mkdir()
    (place / f"{JOURNAL}.new").write_bytes(b"cut off")
    create_store(place)
    opened(place, "writer").close()
    assert not list(place.glob("*.new*"))


def test_a_folder_without_a_journal_is_named(tmp_path: Path) -> None:
    with pytest.raises(NotAProject, match=r"no journal\.db"):
        opened(tmp_path, "reader")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("mode", ["writer", "reader"])
def test_a_file_of_another_program_is_left_alone(tmp_path: Path, mode) -> None:
    other = sqlite3.connect(tmp_path / JOURNAL)
    other.execute("CREATE TABLE theirs (a)")
    other.close()
    before = (tmp_path / JOURNAL).read_bytes()
    with pytest.raises(NotAProject, match="another program"):
        opened(tmp_path, mode)
    assert (tmp_path / JOURNAL).read_bytes() == before


@pytest.mark.parametrize("mode", ["writer", "reader"])
def test_a_file_that_is_no_database_is_named(tmp_path: Path, mode) -> None:
    (tmp_path / JOURNAL).write_bytes(b"no database at all" * 300)
    with pytest.raises(Damaged, match="'basenote recover' make a new project"):
        opened(tmp_path, mode)


@pytest.mark.parametrize("mode", ["writer", "reader"])
def test_a_newer_format_is_refused_with_what_to_do(folder: Path, raw: sqlite3.Connection, mode) -> None:
    raw.execute("PRAGMA user_version = 99")
    with pytest.raises(NewerStore, match=r"newer Basenote.*99.*Install"):
        opened(folder, mode)
    assert raw.execute("PRAGMA user_version").fetchone()[0] == 99


ALTERED = {
    "DROP TRIGGER entries_are_never_changed": "entries_are_never_changed is missing",
    "DROP TRIGGER entries_are_never_deleted": "entries_are_never_deleted is missing",
    "DROP TRIGGER devices_only_grow": "devices_only_grow is missing",
    "DROP INDEX entries_in_order": "index entries_in_order is missing",
    "DROP TABLE forms": "table forms is missing",
    "ALTER TABLE forms ADD COLUMN more TEXT": "table forms was changed",
    "CREATE TRIGGER swallow BEFORE INSERT ON entries BEGIN SELECT RAISE(IGNORE); END": "swallow is not one",
}


@pytest.mark.parametrize("statement", ALTERED)
@pytest.mark.parametrize("mode", ["writer", "reader"])
def test_altered_guards_stop_the_opening(folder: Path, raw: sqlite3.Connection, statement: str, mode) -> None:
    raw.execute(statement)
    with pytest.raises(GuardsChanged, match=ALTERED[statement]):
        opened(folder, mode)


def test_a_trigger_of_the_same_name_that_does_nothing_is_seen(folder: Path, raw: sqlite3.Connection) -> None:
    raw.execute("DROP TRIGGER entries_are_never_changed")
    raw.execute("CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries BEGIN SELECT 1; END")
    with pytest.raises(GuardsChanged, match="was changed"):
        opened(folder, "reader")


def test_the_transform_of_sqlite_utils_which_drops_triggers_is_seen(
    folder: Path, raw: sqlite3.Connection
) -> None:
    from sqlite_utils import Database

    Database(raw)["entries"].transform(rename={"author": "writer"})
    with pytest.raises(GuardsChanged, match="missing"):
        opened(folder, "reader")


def test_a_damaged_page_stops_the_writer_and_nothing_is_written(journal: Journal) -> None:
    journal.append([draft(f"entry {number}") for number in range(200)], NORTH)
    journal.close()
    file = journal.folder / JOURNAL
    content = bytearray(file.read_bytes())
    content[4096 * 8 : 4096 * 20] = b"\xa5" * (4096 * 12)
    file.write_bytes(content)
    with pytest.raises(Damaged, match="last backup"):
        opened(journal.folder, "writer")
    assert file.read_bytes() == content


@pytest.mark.skipif(not hasattr(Path, "chmod") or sys.platform == "win32", reason="rights of POSIX")
def test_a_folder_without_rights_gives_a_sentence(folder: Path) -> None:
    import os

    if os.geteuid() == 0:
        pytest.skip("rights do not bind the superuser")
    folder.chmod(0o500)
    with pytest.raises(StoreProblem, match=r"rights|read-only"):
        opened(folder, "writer")
    folder.chmod(0o700)


def test_a_migration_that_fails_half_way_leaves_the_old_format(folder: Path) -> None:
    store = opened(folder, "writer")
    steps = (
        *MIGRATIONS,
        Migration(2, "one step more", ("CREATE TABLE more (a TEXT) STRICT",)),
        Migration(
            3,
            "a step that fails",
            ("CREATE TABLE even_more (a TEXT) STRICT", "INSERT INTO nowhere VALUES (1)"),
        ),
    )
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        migrate(store.connection, steps)
    names = {name for (name,) in store.connection.execute("SELECT name FROM sqlite_master")}
    assert format_of(store.connection) == 2
    assert "more" in names
    assert "even_more" not in names
    assert migrate(store.connection, steps[:2]) == ()
    store.close()


def test_migrations_rise_and_end_at_the_known_format() -> None:
    from fieldapp.store.schema import SCHEMA_VERSION

    numbers = [step.to_version for step in MIGRATIONS]
    assert numbers == list(range(1, SCHEMA_VERSION + 1))


def test_a_journal_that_turned_read_only_is_opened_again_once(journal: Journal) -> None:
    journal.append([draft("one")], NORTH)
    poisoned = journal._store.connection
    poisoned.execute("PRAGMA query_only = ON")  # SQLITE_READONLY, as after a mount that was read-only
    (entry,) = journal.append([draft("two")], NORTH)
    assert entry.seq == 2
    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        poisoned.execute("SELECT 1")


def test_a_journal_that_stays_read_only_says_so_and_goes_on_afterwards(journal: Journal, monkeypatch) -> None:
    with monkeypatch.context() as patch:
        patch.setitem(opening._SETTINGS, "query_only", 1)
        journal._store.connection.execute("PRAGMA query_only = ON")
        with pytest.raises(ReadOnly, match=r"not saved.*earlier entries are safe"):
            journal.append([draft("one")], NORTH)
        journal._let_go()
    journal.append([draft("one")], NORTH)
    assert len(journal.entries()) == 1


def test_the_board_can_be_read_while_the_writer_works(journal: Journal) -> None:
    journal.append([draft()], NORTH)
    assert [row.id for row in read_board(journal.folder).shafts] == ["P1-1"]
    with open_journal_again(journal) as again:
        assert len(again.entries()) == 1


def open_journal_again(journal: Journal) -> Journal:
    journal.close()
    return open_journal(journal.folder, SimpleProjector())
