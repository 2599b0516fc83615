"""A journal for looking only: it takes no lock, and sees what was committed when it is asked."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from fieldapp.record.entry import DamagedEntry, Entry
from fieldapp.store import entries, forms
from fieldapp.store.driver import sqlite3
from fieldapp.store.forms import Form
from fieldapp.store.opening import reading
from fieldapp.store.problems import Damaged, in_plain_words


@dataclass(frozen=True, slots=True)
class JournalReader:
    """The journal of a folder through a read-only connection."""

    folder: Path
    connection: sqlite3.Connection

    def entries(self) -> tuple[Entry, ...]:
        """Every entry in the order of folding.  Raises Damaged."""
        with in_plain_words(self.folder):
            try:
                return entries.all_entries(self.connection)
            except DamagedEntry as problem:
                raise Damaged(folder=self.folder, why=problem) from problem

    def forms(self) -> tuple[Form, ...]:
        """All half-typed forms."""
        with in_plain_words(self.folder):
            return forms.kept_forms(self.connection)


@contextmanager
def read_journal(folder: Path) -> Iterator[JournalReader]:
    """Open the journal of a project folder for looking only.  Raises StoreProblem."""
    with reading(folder) as connection:
        yield JournalReader(folder, connection)
