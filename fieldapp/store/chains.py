"""Extending the chains of this tablet, and taking over those of others.  Call inside a transaction."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlite_utils import Database

from fieldapp.record.attesting import StretchSigned
from fieldapp.record.chain import names
from fieldapp.record.entry import NO_ENTRY_BEFORE, ChainHead, Draft, Entry, seal
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import entry_at, entry_of_id, highest_stamp, row_of
from fieldapp.store.problems import (
    AnotherProject,
    BrokenLink,
    Forked,
    NotOurDevice,
    OwnChainElsewhere,
    RepeatedId,
    WrongStretch,
)


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did: entries added, and entries that were in the journal already."""

    added: tuple[Entry, ...]
    known: tuple[Entry, ...] = ()


def extend(
    database: Database, drafts: Sequence[Draft], device: str, *, skip_known: bool, folder: Path
) -> Written:
    """Seal drafts into a chain of this tablet.

    Raises RepeatedId, NotOurDevice, WrongStretch or AnotherProject.
    """
    head = _own_head(database, device)
    stamp = highest_stamp(database.conn)
    added: list[Entry] = []
    known: list[Entry] = []
    for draft in drafts:
        twin = entry_of_id(database.conn, draft.id)
        if twin is not None and skip_known and _says_the_same(draft, twin):
            known.append(twin)
            continue
        if twin is not None:
            raise RepeatedId(id=draft.id)
        if isinstance(draft.values, StretchSigned) and not names(draft.values, head):
            raise WrongStretch(device=device, last=head.seq)
        stamp += 1
        entry = seal(draft, head, stamp)
        _insert(database, entry, folder)
        head = ChainHead(device, entry.seq, entry.hash)
        added.append(entry)
    return Written(tuple(added), tuple(known))


def receive(database: Database, arrived: Iterable[Entry], folder: Path) -> Written:
    """Add entries of other devices, given in the order of their chains.

    Raises RepeatedId, Forked, OwnChainElsewhere, BrokenLink or AnotherProject.
    """
    added: list[Entry] = []
    known: list[Entry] = []
    for entry in arrived:
        here = entry_at(database.conn, entry.device, entry.seq)
        if here is not None and here.sealed == entry.sealed:
            known.append(here)
            continue
        if here is not None:
            raise Forked(device=entry.device, seq=entry.seq)
        if entry_of_id(database.conn, entry.id) is not None:
            raise RepeatedId(id=entry.id)
        _check_link(database, entry)
        _insert(database, entry, folder)
        added.append(entry)
    return Written(tuple(added), tuple(known))


def _own_head(database: Database, device: str) -> ChainHead:
    row = _device_row(database.conn, device)
    if row is None:
        _insert_device(database, device, "here")
        return ChainHead(device)
    origin, seq, digest = row
    if origin != "here":
        raise NotOurDevice(device=device)
    return ChainHead(device, seq, digest)


def _check_link(database: Database, entry: Entry) -> None:
    row = _device_row(database.conn, entry.device)
    if row is None:
        _insert_device(database, entry.device, "received")
        row = ("received", 0, NO_ENTRY_BEFORE)
    origin, seq, digest = row
    if origin == "here":
        raise OwnChainElsewhere(device=entry.device, seq=entry.seq)
    if entry.seq != seq + 1 or entry.prev != digest:
        raise BrokenLink(device=entry.device, seq=entry.seq, last=seq)


def _says_the_same(draft: Draft, twin: Entry) -> bool:
    return seal(draft, ChainHead(twin.device, twin.seq - 1, twin.prev), twin.stamp).sealed == twin.sealed


def _device_row(connection: sqlite3.Connection, device: str) -> tuple[str, int, str] | None:
    sql = "SELECT origin, head_seq, head_hash FROM devices WHERE device = ?"
    row: tuple[str, int, str] | None = connection.execute(sql, (device,)).fetchone()
    return row


def _insert_device(database: Database, device: str, origin: str) -> None:
    database.table("devices").insert({"device": device, "origin": origin, "head_hash": NO_ENTRY_BEFORE})


def _insert(database: Database, entry: Entry, folder: Path) -> None:
    sql = "SELECT arrival, project FROM entries ORDER BY arrival DESC LIMIT 1"
    arrival, project = database.conn.execute(sql).fetchone() or (0, entry.draft.project)
    if project != entry.draft.project:
        raise AnotherProject(folder=folder, found=entry.draft.project, known=project)
    database.table("entries").insert({"arrival": arrival + 1, **row_of(entry)})
