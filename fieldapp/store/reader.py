"""A journal for looking only: it takes no lock, and sees what was committed when it is first asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeVar

from fieldapp.record.entry import DamagedEntry, Entry
from fieldapp.record.shaft import ProjectRecord
from fieldapp.store.driver import sqlite3
from fieldapp.store.kept import KeptJournal, Reading
from fieldapp.store.opening import reading
from fieldapp.store.problems import Damaged, StoreProblem, in_plain_words
from fieldapp.store.rows import UNREADABLE, entry_from

T = TypeVar("T")


def _if_it_opens(sealed: object) -> Entry | None:
    try:
        return entry_from(sealed)
    except UNREADABLE:
        return None


class JournalReader(KeptJournal):
    """The journal of a folder through a read-only connection."""

    def __init__(self, folder: Path, connection: sqlite3.Connection) -> None:
        self.folder = folder
        self.connection = connection
        self._record: ProjectRecord | None = None

    def record(self) -> ProjectRecord:
        """What the journal says, as of the first time that it was asked anything."""
        if self._record is None:
            self._record = super().record()
        return self._record

    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T:
        with in_plain_words(self.folder):
            try:
                return ask(self.connection)
            except DamagedEntry as problem:
                raise Damaged(folder=self.folder, why=problem) from problem


class WhatOpens(JournalReader):
    """A journal that may be damaged: what does not open is gone past, and a page that is none ends it."""

    _how = Reading(_if_it_opens, (StoreProblem,))

    def entry(self, entry_id: str) -> Entry | None:
        """The entry of this id, or None where there is none that opens."""
        try:
            return super().entry(entry_id)
        except (StoreProblem, *UNREADABLE):
            return None


@contextmanager
def read_journal(folder: Path) -> Iterator[JournalReader]:
    """Open the journal of a project folder for looking only.  Raises StoreProblem."""
    with reading(folder) as connection:
        connection.execute("BEGIN")  # one state of the journal, whatever is written meanwhile
        yield JournalReader(folder, connection)
