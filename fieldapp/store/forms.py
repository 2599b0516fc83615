"""Half-typed forms: kept on disk while somebody types, so that a lock or a crash loses no word.

A form is not evidence.  It is kept under a key, overwritten as it grows and dropped when it is recorded.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.store.driver import sqlite3


@dataclass(frozen=True, slots=True)
class Form:
    """A half-typed form: its key, its shaft or None, its content as JSON text, and when it was saved."""

    key: str
    shaft: str | None
    body: str
    saved_at: str


def keep_form(connection: sqlite3.Connection, form: Form) -> None:
    """Keep a form, in the place of an earlier one of the same key."""
    connection.execute(
        "INSERT INTO forms (key, shaft, body, saved_at) VALUES (?, ?, ?, ?) "
        "ON CONFLICT (key) DO UPDATE SET shaft = excluded.shaft, body = excluded.body, "
        "saved_at = excluded.saved_at",
        (form.key, form.shaft, form.body, form.saved_at),
    )


def drop_form(connection: sqlite3.Connection, key: str) -> None:
    """Forget a form; nothing happens when there is none of this key."""
    connection.execute("DELETE FROM forms WHERE key = ?", (key,))


def kept_forms(connection: sqlite3.Connection) -> tuple[Form, ...]:
    """All half-typed forms, by key."""
    return tuple(
        Form(*row) for row in connection.execute("SELECT key, shaft, body, saved_at FROM forms ORDER BY key")
    )
