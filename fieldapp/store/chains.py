"""Extending the chains of this tablet, and taking over those of others.  Call inside a transaction."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from fieldapp.record.attesting import StretchSigned
from fieldapp.record.chain import names
from fieldapp.record.entry import NO_ENTRY_BEFORE, ChainHead, Draft, Entry, seal
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import COLUMNS, entry_of_id, highest_stamp, row_of
from fieldapp.store.problems import (
    AnotherProject,
    BrokenLink,
    Forked,
    NotOurDevice,
    OwnChainElsewhere,
    RepeatedId,
    WrongStretch,
)

HERE: Final = "here"
RECEIVED: Final = "received"


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did: entries added, and entries that were in the journal already."""

    added: tuple[Entry, ...]
    known: tuple[Entry, ...] = ()


def extend(
    connection: sqlite3.Connection, drafts: Sequence[Draft], device: str, *, skip_known: bool, folder: Path
) -> Written:
    """Seal drafts into a chain of this tablet.

    Raises RepeatedId, NotOurDevice, WrongStretch or AnotherProject.
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
        entry = seal(draft, head, stamp)
        _insert(connection, entry, folder)
        head = ChainHead(device, entry.seq, entry.hash)
        added.append(entry)
    return Written(tuple(added), tuple(known))


def receive(
    connection: sqlite3.Connection, arrived: Iterable[Entry], folder: Path, *, own_came_back: bool = False
) -> Written:
    """Add entries of other devices, given in the order of their chains.

    What is here is read once, whatever arrives.  With ``own_came_back`` a chain of this tablet may go on
    with entries that were lost here; it is then one from elsewhere, and not continued any more.

    Raises RepeatedId, Forked, OwnChainElsewhere, BrokenLink or AnotherProject.
    """
    here = _Here.of(connection)
    added: list[Entry] = []
    known: list[Entry] = []
    for entry in arrived:
        twin = here.places.get((entry.device, entry.seq))
        if twin == entry.hash:
            known.append(entry)
            continue
        if twin is not None:
            raise Forked(device=entry.device, seq=entry.seq)
        here.take(entry, folder, own_came_back=own_came_back)
        added.append(entry)
    _insert_all(connection, added, here)
    return Written(tuple(added), tuple(known))


@dataclass
class _Here:
    """What a journal holds, and what arrives, as far as a new entry is held against it."""

    places: dict[tuple[str, int], str]
    ids: set[str]
    devices: dict[str, tuple[str, int, str]]
    arrivals: int
    project: str
    new: list[str] = field(default_factory=list)
    came_back: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, connection: sqlite3.Connection) -> _Here:
        places, ids = {}, set()
        for device, seq, digest, name in connection.execute("SELECT device, seq, hash, id FROM entries"):
            places[device, seq] = digest
            ids.add(name)
        sql = "SELECT device, origin, head_seq, head_hash FROM devices"
        devices = {device: (origin, seq, head) for device, origin, seq, head in connection.execute(sql)}
        arrivals = connection.execute("SELECT coalesce(max(arrival), 0) FROM entries").fetchone()[0]
        project = connection.execute("SELECT project FROM entries LIMIT 1").fetchone()
        return cls(places, ids, devices, int(arrivals), project[0] if project else "")

    def take(self, entry: Entry, folder: Path, *, own_came_back: bool) -> None:
        """Put an entry at the end of its chain.  Raises what speaks against it."""
        if entry.id in self.ids:
            raise RepeatedId(id=entry.id)
        project = entry.draft.project
        if self.project not in {"", project}:
            raise AnotherProject(folder=folder, found=project, known=self.project)
        if entry.device not in self.devices:
            self.new.append(entry.device)
        origin, seq, digest = self.devices.get(entry.device, (RECEIVED, 0, NO_ENTRY_BEFORE))
        if origin == HERE and not own_came_back:
            raise OwnChainElsewhere(device=entry.device, seq=entry.seq)
        if entry.seq != seq + 1 or entry.prev != digest:
            raise BrokenLink(device=entry.device, seq=entry.seq, last=seq)
        if origin == HERE:
            self.came_back.add(entry.device)
        self.project = project
        self.ids.add(entry.id)
        self.places[entry.device, entry.seq] = entry.hash
        self.devices[entry.device] = (origin, entry.seq, entry.hash)


def _insert_all(connection: sqlite3.Connection, added: Sequence[Entry], here: _Here) -> None:
    for device in here.new:
        _insert_device(connection, device, RECEIVED)
    for device in sorted(here.came_back):
        connection.execute("UPDATE devices SET origin = ? WHERE device = ?", (RECEIVED, device))
    _insert_rows(connection, added, here.arrivals)


def _own_head(connection: sqlite3.Connection, device: str) -> ChainHead:
    row = _device_row(connection, device)
    if row is None:
        _insert_device(connection, device, HERE)
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


def _insert_device(connection: sqlite3.Connection, device: str, origin: str) -> None:
    sql = "INSERT INTO devices (device, origin, head_hash) VALUES (?, ?, ?)"
    connection.execute(sql, (device, origin, NO_ENTRY_BEFORE))


def _insert(connection: sqlite3.Connection, entry: Entry, folder: Path) -> None:
    sql = "SELECT arrival, project FROM entries ORDER BY arrival DESC LIMIT 1"
    arrivals, project = connection.execute(sql).fetchone() or (0, entry.draft.project)
    if project != entry.draft.project:
        raise AnotherProject(folder=folder, found=entry.draft.project, known=project)
    _insert_rows(connection, (entry,), arrivals)


def _insert_rows(connection: sqlite3.Connection, added: Iterable[Entry], arrivals: int) -> None:
    """Insert entries after those that arrived before."""
    connection.executemany(
        f"INSERT INTO entries (arrival, {', '.join(COLUMNS)}) VALUES (?{', ?' * len(COLUMNS)})",
        ((number, *row_of(each).values()) for number, each in enumerate(added, arrivals + 1)),
    )
