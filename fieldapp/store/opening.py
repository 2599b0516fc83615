"""The one place that opens a connection to a journal, for its one writer or for readers.

Every setting is read back and every guard compared before the connection is handed out; where one differs
nothing is written.  A writer holds the lock of the folder; a reader can neither write nor checkpoint.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal, TypeAlias

from fieldapp.store.atomic_file import sync_folder
from fieldapp.store.driver import OLDEST, VERSION, sqlite3
from fieldapp.store.guards import altered_guards
from fieldapp.store.migrations import format_of, migrate
from fieldapp.store.problems import (
    AlreadyThere,
    Damaged,
    GuardsChanged,
    LockedElsewhere,
    NewerStore,
    NotAProject,
    OldDriver,
    OlderStore,
    SettingRefused,
    in_plain_words,
)
from fieldapp.store.schema import APPLICATION_ID, SCHEMA_VERSION

Mode: TypeAlias = Literal["writer", "reader"]

JOURNAL: Final = "journal.db"
LOCK: Final = "writer.lock"
FOLDERS: Final = ("pictures", "reports", "keys")

_SETTINGS: Final[dict[str, str | int]] = {
    "synchronous": 2,  # FULL
    "foreign_keys": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
    "recursive_triggers": 1,
    "busy_timeout": 5000,
}
_COPIED: Final = 101  # SQLITE_DONE
_MOST_TRIES: Final = 2  # each after the busy time above
_READER_SETTINGS: Final[dict[str, str | int]] = {"query_only": 1, "wal_autocheckpoint": 0}


@dataclass(slots=True)
class Opened:
    """An open connection; the writer's also holds the lock of the folder until it is closed."""

    connection: sqlite3.Connection
    lock: sqlite3.Connection | None = None

    def close(self) -> None:
        """Close the connection, then let go of the lock."""
        self.connection.close()
        if self.lock is not None:
            self.lock.close()


def create_store(folder: Path) -> None:
    """Make a new, empty project folder.  Raises AlreadyThere when there is a journal in it."""
    with in_plain_words(folder):
        if (folder / JOURNAL).exists():
            raise AlreadyThere(folder=folder / JOURNAL)
        for name in FOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
        lock = _locked(folder)
        try:
            _make_journal(folder)
        finally:
            lock.close()


def opened(folder: Path, mode: Mode, *, guarded: bool = True) -> Opened:
    """Open the journal of a project folder.

    ``guarded=False`` is for the check of a store alone, which reports altered guards instead of stopping.
    Raises StoreProblem: not a project, newer format, damaged, guards altered, a setting that does not hold,
    open for writing elsewhere, no access.
    """
    with in_plain_words(folder):
        if VERSION < OLDEST:
            raise OldDriver(folder=folder, found=_dotted(VERSION), known=_dotted(OLDEST))
        if not (folder / JOURNAL).is_file():
            raise NotAProject(folder=folder, why=_said_no_journal())
        store = Opened(_connect(folder / JOURNAL, "ro"))
        try:
            _check_identity(store.connection, folder)
            if mode == "writer":
                store.connection.close()
                store = _open_writer(folder)
            _prepare(store.connection, folder, mode)
            if guarded and (wrong := altered_guards(store.connection)):
                raise GuardsChanged(folder=folder, why="; ".join(wrong))
        except BaseException:
            store.close()
            raise
        return store


@contextmanager
def reading(folder: Path, *, guarded: bool = True) -> Iterator[sqlite3.Connection]:
    """A read-only connection to the journal for the length of the block; see `opened`."""
    store = opened(folder, "reader", guarded=guarded)
    try:
        with in_plain_words(folder):
            yield store.connection
    finally:
        store.close()


def copy_database(source: sqlite3.Connection, target: Path) -> None:
    """Copy the whole database in one step, which a busy writer cannot hold up, to a new file.

    Raises StoreProblem: LockedElsewhere where a foreign program keeps the lock of either.
    """
    tries = 0

    def count(status: int, _left: int, _pages: int) -> None:
        nonlocal tries
        tries += status != _COPIED
        if tries > _MOST_TRIES:  # the driver itself would try for ever
            raise LockedElsewhere(folder=target)

    with in_plain_words(target):
        target.touch(exist_ok=False)
        copy = sqlite3.connect(target)
        try:
            source.backup(copy, pages=-1, progress=count)
        finally:
            copy.close()


def _locked(folder: Path) -> sqlite3.Connection:
    """The lock of the folder: SQLite's own file lock on an empty file, let go when the process ends."""
    lock = sqlite3.connect(folder / LOCK, timeout=0, isolation_level=None, check_same_thread=False)
    try:
        lock.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError as problem:
        lock.close()
        if "locked" in str(problem):
            raise LockedElsewhere(folder=folder) from problem
        raise
    return lock


def _make_journal(folder: Path) -> None:
    """The journal appears under its name only when it is whole."""
    new = folder / f"{JOURNAL}.new"
    for leftover in folder.glob(f"{JOURNAL}.new*"):
        leftover.unlink()
    connection = _connect(new, "rwc")
    try:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("PRAGMA journal_mode = WAL")
        migrate(connection)
    finally:
        connection.close()
    new.rename(folder / JOURNAL)
    sync_folder(folder)


def _connect(file: Path, access: Literal["ro", "rw", "rwc"]) -> sqlite3.Connection:
    address = f"{file.resolve().as_uri()}?mode={access}"
    connection = sqlite3.connect(address, uri=True, isolation_level=None, check_same_thread=False)
    connection.execute("PRAGMA trusted_schema = OFF")
    return connection


def _open_writer(folder: Path) -> Opened:
    lock = _locked(folder)
    try:
        return Opened(_connect(folder / JOURNAL, "rw"), lock)
    except BaseException:
        lock.close()
        raise


def _check_identity(connection: sqlite3.Connection, folder: Path) -> None:
    """Refuse a foreign or newer file before anything in it is touched."""
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise NotAProject(folder=folder, why=_said_of_another())
    if (found := format_of(connection)) > SCHEMA_VERSION:
        raise NewerStore(folder=folder, found=found, known=SCHEMA_VERSION)


def _prepare(connection: sqlite3.Connection, folder: Path, mode: Mode) -> None:
    settings = {**_SETTINGS, **(_READER_SETTINGS if mode == "reader" else {})}
    if mode == "writer":
        connection.execute("PRAGMA journal_mode = WAL")
    for name, value in settings.items():
        connection.execute(f"PRAGMA {name} = {value}")
    for name, value in {**settings, "journal_mode": "wal"}.items():
        found = connection.execute(f"PRAGMA {name}").fetchone()[0]
        if found != value:
            raise SettingRefused(folder=folder, setting=name, found=found, wanted=value)
    if mode == "writer":
        _check_soundness(connection, folder)
        migrate(connection)
    elif format_of(connection) < SCHEMA_VERSION:
        raise OlderStore(folder=folder)


def _check_soundness(connection: sqlite3.Connection, folder: Path) -> None:
    """About 45 ms for 100 MB on a desktop; a journal holds no pictures and stays far smaller."""
    wrong = [text for (text,) in connection.execute("PRAGMA quick_check(5)") if text != "ok"]
    if wrong:
        raise Damaged(folder=folder, why="; ".join(wrong))


def _dotted(version: tuple[int, ...]) -> str:
    return ".".join(str(each) for each in version)


def close_quietly(store: Opened) -> None:
    """Close a connection that may already be beyond use."""
    with suppress(sqlite3.Error):
        store.close()


def _said_no_journal() -> str:
    from fieldapp.record.said import said  # noqa: PLC0415 - the board is read without the record

    return said("there is no journal.db in it")


def _said_of_another() -> str:
    from fieldapp.record.said import said  # noqa: PLC0415 - the board is read without the record

    return said("its journal.db was made by another program, or is damaged at its beginning")
