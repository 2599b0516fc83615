"""Extending the chains of this tablet, and the rows of entries and devices.  Call inside a transaction."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.record.attesting import StretchSigned
from fieldapp.record.chain import names
from fieldapp.record.entry import LARGEST_NUMBER, NO_ENTRY_BEFORE, ChainHead, Draft, Entry, seal
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import entry_of_id, highest_stamp
from fieldapp.store.problems import (
    AnotherProject,
    NothingFollows,
    NotOurDevice,
    RepeatedId,
    WrongStretch,
)
from fieldapp.store.rows import COLUMNS, row_of

HERE: Final = "here"
RECEIVED: Final = "received"
_PAGE: Final = 500


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did: entries added, and entries that were in the journal already."""

    added: tuple[Entry, ...]
    known: tuple[Entry, ...] = ()


def extend(
    connection: sqlite3.Connection, drafts: Sequence[Draft], device: str, *, skip_known: bool, folder: Path
) -> Written:
    """Seal drafts into a chain of this tablet.

    Raises RepeatedId, NotOurDevice, WrongStretch, NothingFollows or AnotherProject.
    """
    head = _own_head(connection, device)
    stamp = highest_stamp(connection)
    added: list[Entry] = []
    known: list[Entry] = []
    for draft in drafts:
        twin = entry_of_id(connection, draft.id)
        if twin is not None and skip_known and _says_the_same(draft, twin):
            known.append(twin)
            continue
        if twin is not None:
            raise RepeatedId(id=draft.id)
        if isinstance(draft.values, StretchSigned) and not names(draft.values, head):
            raise WrongStretch(device=device, last=head.seq)
        stamp += 1
        if stamp > LARGEST_NUMBER:
            raise NothingFollows()
        entry = seal(draft, head, stamp)
        _insert(connection, entry, folder)
        head = ChainHead(device, entry.seq, entry.hash)
        added.append(entry)
    return Written(tuple(added), tuple(known))


def _own_head(connection: sqlite3.Connection, device: str) -> ChainHead:
    row = _device_row(connection, device)
    if row is None:
        insert_device(connection, device, HERE)
        return ChainHead(device)
    origin, seq, digest = row
    if origin != HERE:
        raise NotOurDevice(device=device)
    return ChainHead(device, seq, digest)


def _says_the_same(draft: Draft, twin: Entry) -> bool:
    return seal(draft, ChainHead(twin.device, twin.seq - 1, twin.prev), twin.stamp).sealed == twin.sealed


def _device_row(connection: sqlite3.Connection, device: str) -> tuple[str, int, str] | None:
    sql = "SELECT origin, head_seq, head_hash FROM devices WHERE device = ?"
    row: tuple[str, int, str] | None = connection.execute(sql, (device,)).fetchone()
    return row


def insert_device(connection: sqlite3.Connection, device: str, origin: str) -> None:
    """Insert a device whose chain is empty; ``origin`` is HERE or RECEIVED."""
    sql = "INSERT INTO devices (device, origin, head_hash) VALUES (?, ?, ?)"
    connection.execute(sql, (device, origin, NO_ENTRY_BEFORE))


def _insert(connection: sqlite3.Connection, entry: Entry, folder: Path) -> None:
    sql = "SELECT arrival, project FROM entries ORDER BY arrival DESC LIMIT 1"
    arrivals, project = connection.execute(sql).fetchone() or (0, entry.draft.project)
    if project != entry.draft.project:
        raise AnotherProject(folder=folder, found=entry.draft.project, known=project)
    insert_rows(connection, (entry,), arrivals)


def insert_rows(connection: sqlite3.Connection, added: Iterable[Entry], arrivals: int) -> None:
    """Insert entries after those that arrived before."""
    connection.executemany(
        f"INSERT INTO entries (arrival, {', '.join(COLUMNS)}) VALUES (?{', ?' * len(COLUMNS)})",
        ((number, *row_of(each).values()) for number, each in enumerate(added, arrivals + 1)),
    )
