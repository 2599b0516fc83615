"""Entries as rows of their table, and back through their sealed bytes alone."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from fieldapp.record.entry import ChainHead, DamagedEntry, Entry, open_sealed
from fieldapp.record.reading import Impossible
from fieldapp.store.driver import sqlite3

# Opening is strict and slow beside reading; an entry never changes, so the same bytes are the same entry.
_opened = lru_cache(maxsize=65_536)(open_sealed)

_IN_ORDER: Final = "ORDER BY stamp, device, seq"


def row_of(entry: Entry) -> dict[str, str | int | None]:
    """The row of an entry: its sealed text, and copies of its fields for questions."""
    draft = entry.draft
    return {
        "id": entry.id,
        "device": entry.device,
        "seq": entry.seq,
        "stamp": entry.stamp,
        "project": draft.project,
        "shaft": draft.shaft,
        "kind": entry.kind,
        "version": entry.version,
        "observed_at": draft.observed_at.isoformat(),
        "recorded_at": draft.recorded_at.isoformat(),
        "author": draft.author,
        "sealed": entry.sealed.decode("utf-8"),
        "prev": entry.prev,
        "hash": entry.hash,
    }


COLUMNS: Final = (
    "id", "device", "seq", "stamp", "project", "shaft", "kind", "version", "observed_at", "recorded_at",
    "author", "sealed", "prev", "hash",
)  # fmt: skip


def entry_from(sealed: object) -> Entry:
    """Entry from the text of its row.  Raises DamagedEntry, or UnknownKind.

    What was sealed could be: a value that cannot be was damaged since.
    """
    if not isinstance(sealed, str):
        raise DamagedEntry("the row does not hold a text")
    try:
        return _opened(sealed.encode("utf-8"))
    except Impossible as problem:
        raise DamagedEntry(str(problem)) from problem


def all_entries(connection: sqlite3.Connection) -> tuple[Entry, ...]:
    """Every entry in the order of folding."""
    rows = connection.execute(f"SELECT sealed FROM entries {_IN_ORDER}")
    return tuple(entry_from(sealed) for (sealed,) in rows)


def entries_of_shafts(
    connection: sqlite3.Connection, shafts: Iterable[str], also: Iterable[str] = ()
) -> tuple[Entry, ...]:
    """Entries of the project as a whole and of these shafts, and those named, in the order of folding.

    The last entry of every chain is among them, whatever its shaft: it shows how far the journal reaches,
    which decides whether what a decision rests on is there.
    """
    # Parts of a UNION each have an index of their own; with OR between them every row would be looked at.
    rows = connection.execute(
        "SELECT sealed FROM entries WHERE arrival IN ("
        "SELECT arrival FROM entries WHERE shaft IS NULL "
        "UNION SELECT arrival FROM entries WHERE shaft IN (SELECT value FROM json_each(?)) "
        "UNION SELECT arrival FROM entries WHERE id IN (SELECT value FROM json_each(?)) "
        "UNION SELECT arrival FROM devices CROSS JOIN entries USING (device) WHERE seq = head_seq"
        f") {_IN_ORDER}",
        (json.dumps(sorted(shafts)), json.dumps(sorted(also))),
    )
    return tuple(entry_from(sealed) for (sealed,) in rows)


def entries_of_shaft(connection: sqlite3.Connection, shaft: str | None) -> tuple[Entry, ...]:
    """Entries of one shaft, or with None those of the project as a whole, in the order of folding."""
    rows = connection.execute(f"SELECT sealed FROM entries WHERE shaft IS ? {_IN_ORDER}", (shaft,))
    return tuple(entry_from(sealed) for (sealed,) in rows)


def entry_of_id(connection: sqlite3.Connection, entry_id: str) -> Entry | None:
    """The entry of this id, or None."""
    row = connection.execute("SELECT sealed FROM entries WHERE id = ?", (entry_id,)).fetchone()
    return None if row is None else entry_from(row[0])


def entry_at(connection: sqlite3.Connection, device: str, seq: int) -> Entry | None:
    """The entry at a place in a device's chain, or None."""
    row = connection.execute(
        "SELECT sealed FROM entries WHERE device = ? AND seq = ?", (device, seq)
    ).fetchone()
    return None if row is None else entry_from(row[0])


def heads_in(connection: sqlite3.Connection) -> dict[str, ChainHead]:
    """The last entry of every device that has one, as the devices table witnesses it."""
    rows = connection.execute(
        "SELECT device, head_seq, head_hash FROM devices WHERE head_seq > 0 ORDER BY device"
    )
    return {device: ChainHead(device, seq, digest) for device, seq, digest in rows}


def highest_stamp(connection: sqlite3.Connection) -> int:
    """The highest Lamport stamp seen; 0 in an empty journal."""
    return int(connection.execute("SELECT coalesce(max(stamp), 0) FROM entries").fetchone()[0])
