"""A journal for the length of a question: in a file among the temporary ones, which is gone after it.

What somebody sent is asked in the same way as a project, however much it is, and no project is touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from fieldapp.store import arriving
from fieldapp.store.arriving import Arrival
from fieldapp.store.driver import sqlite3
from fieldapp.store.kept import KeptJournal
from fieldapp.store.migrations import migrate
from fieldapp.store.problems import NoScratch

T = TypeVar("T")


class ScratchJournal(KeptJournal):
    """Entries that are looked at; ``about`` is the file that they are from."""

    def __init__(self, about: Path, connection: sqlite3.Connection) -> None:
        self._about = about
        self._connection = connection

    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T:
        with _room(self._about):
            return ask(self._connection)


@contextmanager
def scratch_journal(sealed: Iterable[bytes], about: Path) -> Iterator[tuple[ScratchJournal, Arrival]]:
    """The journal of these entries, of which each chain comes in its order, and what came.

    Raises as `fieldapp.store.arriving.receive`, NoScratch where there is no room for it, and what ``sealed``
    raises.
    """
    with _folder(about) as folder, closing(_connected(folder / "scratch.db", about)) as connection:
        with _room(about):
            connection.execute("BEGIN")
            arrival = arriving.receive(connection, sealed, about)
        yield ScratchJournal(about, connection), arrival


@contextmanager
def _folder(about: Path) -> Iterator[Path]:
    try:
        made = TemporaryDirectory(prefix="basenote-", ignore_cleanup_errors=True)
    except OSError as problem:
        raise NoScratch(folder=about, why=problem.strerror or problem) from problem
    with made as folder:
        yield Path(folder)


@contextmanager
def _room(about: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as problem:
        raise NoScratch(folder=about, why=problem) from problem


def _connected(file: Path, about: Path) -> sqlite3.Connection:
    with _room(about):
        return _made(file)


def _made(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, isolation_level=None, check_same_thread=False)
    for each in ("journal_mode = OFF", "synchronous = OFF", "foreign_keys = ON"):
        connection.execute(f"PRAGMA {each}")
    with suppress(OSError):  # where an open file may lose its name, nothing is left even after a kill
        file.unlink()
    migrate(connection)
    return connection
