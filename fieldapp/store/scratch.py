"""A journal for the length of a question: in a file among the temporary ones, which is gone after it.

What somebody sent is asked in the same way as a project, however much it is, and no project is touched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from fieldapp.store import chains
from fieldapp.store.chains import Arrival
from fieldapp.store.driver import sqlite3
from fieldapp.store.kept import KeptJournal
from fieldapp.store.migrations import migrate
from fieldapp.store.problems import in_plain_words

T = TypeVar("T")


class ScratchJournal(KeptJournal):
    """Entries that are looked at; ``about`` is the file that they are from."""

    def __init__(self, about: Path, connection: sqlite3.Connection) -> None:
        self._about = about
        self._connection = connection

    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T:
        with in_plain_words(self._about):
            return ask(self._connection)


@contextmanager
def scratch_journal(sealed: Iterable[bytes], about: Path) -> Iterator[tuple[ScratchJournal, Arrival]]:
    """The journal of these entries, of which each chain comes in its order, and what came.

    Raises as `fieldapp.store.chains.receive`, and StoreProblem where there is no room for it.
    """
    with in_plain_words(about):
        made = TemporaryDirectory(prefix="basenote-", ignore_cleanup_errors=True)
    with made as folder, closing(_connected(Path(folder) / "scratch.db")) as connection:
        with in_plain_words(about):
            migrate(connection)
            connection.execute("BEGIN")
            arrival = chains.receive(connection, sealed, about)
        yield ScratchJournal(about, connection), arrival


def _connected(file: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(file, isolation_level=None, check_same_thread=False)
    for each in ("journal_mode = OFF", "synchronous = OFF", "foreign_keys = ON"):
        connection.execute(f"PRAGMA {each}")
    with suppress(OSError):  # where an open file may lose its name, nothing is left even after a kill
        file.unlink()
    return connection
