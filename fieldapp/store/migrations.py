"""The steps from an older format of the journal to the present one, each in one transaction.

A step that was released is never edited.  Its number goes into ``user_version`` in the same transaction,
so that a crash leaves the format before or after the step and nothing between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fieldapp.store.driver import sqlite3
from fieldapp.store.schema import INDEXES, TABLES, TRIGGERS


@dataclass(frozen=True, slots=True)
class Migration:
    """One step: the format it leads to, what it does in words, and its statements."""

    to_version: int
    what: str
    statements: tuple[str, ...]


MIGRATIONS: Final = (
    Migration(
        1,
        "devices, entries and half-typed forms",
        (*TABLES.values(), *INDEXES.values(), *TRIGGERS.values()),
    ),
)


def format_of(connection: sqlite3.Connection) -> int:
    """Format number of the journal; 0 for an empty file."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection, steps: Sequence[Migration] = MIGRATIONS) -> tuple[str, ...]:
    """Take every step that is still to be taken, and say what each did.

    The connection must be in autocommit mode and without an open transaction.
    """
    done = []
    for step in steps:
        if step.to_version <= format_of(connection):
            continue
        connection.execute("BEGIN IMMEDIATE")
        try:
            for statement in step.statements:
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {step.to_version:d}")
            connection.execute("COMMIT")
        except BaseException:
            connection.execute("ROLLBACK")
            raise
        done.append(step.what)
    return tuple(done)
