"""Extending the chains of this tablet, and taking over those of others.  Call inside a transaction."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Final

from fieldapp.record.attesting import StretchSigned
from fieldapp.record.chain import Break, ChainWatch, names
from fieldapp.record.entry import NO_ENTRY_BEFORE, ChainHead, Draft, Entry, seal
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import (
    COLUMNS,
    UNREADABLE,
    Place,
    chain_ends,
    entry_of_id,
    highest_stamp,
    opened,
    order_of_id,
    project_name,
    row_of,
    sealed_between,
)
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
_PAGE: Final = 500


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did: entries added, and entries that were in the journal already."""

    added: tuple[Entry, ...]
    known: tuple[Entry, ...] = ()


class NotAnEntry(ValueError):
    """Bytes that arrived and do not open: which of them, counted from 1, and the problem with them."""

    def __init__(self, number: int, sealed: bytes, why: ValueError) -> None:
        super().__init__(str(why))
        self.number = number
        self.sealed = sealed
        self.why = why


@dataclass(frozen=True, slots=True)
class Arrival:
    """What came from elsewhere.

    Attributes
    ----------
    before
        The number of the last entry of each chain before it came, by device.
    first
        How many entries there were.
    new, known
        How many came that are new, and how many that were here.
    devices
        Those with new entries.
    whole
        How far each chain came from its first entry on, by device, those that were here among them.
    astray
        How many came beside that: a second time, or without those before them.
    breaks
        Where the chains of the new ones do not hold, beyond what keeps an entry out at once.
    """

    before: Mapping[str, int]
    first: int
    new: int = 0
    known: int = 0
    devices: frozenset[str] = frozenset()
    whole: Mapping[str, int] = field(default_factory=dict)
    astray: int = 0
    breaks: tuple[Break, ...] = ()

    def has(self, entry: Entry) -> bool:
        """Whether an entry of the journal is one of those that came new."""
        return entry.seq > self.before.get(entry.device, 0)


EVERYTHING: Final = Arrival({}, 0)
"""A journal taken as if all of it had just come."""


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
    connection: sqlite3.Connection, arrived: Iterable[bytes], folder: Path, *, own_came_back: bool = False
) -> Arrival:
    """Add sealed entries of other devices; each chain comes in its order.

    One is in memory at a time, however many come.  With ``own_came_back`` a chain of this tablet may go on
    with entries that were lost here; it is then one from elsewhere, and not continued any more.

    Raises NotAnEntry, RepeatedId, Forked, OwnChainElsewhere, BrokenLink or AnotherProject.
    """
    here = _Here.of(connection, folder, own_came_back=own_came_back)
    along = _Along(connection)
    watch = ChainWatch(partial(order_of_id, connection), chain_ends(connection))
    before, first = {device: end.head.seq for device, end in watch.ends.items()}, here.arrivals
    breaks: list[Break] = []
    whole: dict[str, int] = {}
    devices: set[str] = set()
    known = astray = 0
    for number, sealed in enumerate(arrived, start=1):
        place = along.is_next(sealed)
        if place is None:
            entry = _opened(number, sealed)
            place = (entry.device, entry.seq)
            if here.has(entry):
                along.go_on_after(place)
                known += 1
            else:
                here.take(entry, watch.stamp_of(entry.device))
                breaks += watch.take(entry)
                devices.add(entry.device)
        else:
            known += 1
        device, seq = place
        if seq == whole.get(device, 0) + 1:
            whole[device] = seq
        else:
            astray += 1
    new = here.arrivals - first
    return Arrival(before, first, new, known, frozenset(devices), whole, astray, tuple(breaks))


def _opened(number: int, sealed: bytes) -> Entry:
    try:
        return opened(sealed)
    except UNREADABLE as problem:
        raise NotAnEntry(number, sealed, problem) from problem


class _Along:
    """The chain that is here already, gone along beside the one that arrives: the same needs no opening."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._page: Iterator[tuple[int, bytes]] = iter(())
        self._at: Place | None = None

    def is_next(self, sealed: bytes) -> Place | None:
        """The place of these bytes, if they are those of the next entry of the chain."""
        if self._at is None:
            return None
        device, last = self._at
        following = next(self._page, None)
        if following is None:
            self._page = iter(sealed_between(self._connection, device, last, last + _PAGE))
            following = next(self._page, None)
        self._at = (device, following[0]) if following is not None and following[1] == sealed else None
        return self._at

    def go_on_after(self, place: Place) -> None:
        """The next ones to arrive may be those that follow this one."""
        self._at, self._page = place, iter(())


@dataclass
class _Here:
    """What a journal holds, as far as a new entry is held against it, and where the new one goes."""

    connection: sqlite3.Connection
    folder: Path
    own_came_back: bool
    devices: dict[str, tuple[str, int, str]]
    arrivals: int
    project: str

    @classmethod
    def of(cls, connection: sqlite3.Connection, folder: Path, *, own_came_back: bool) -> _Here:
        sql = "SELECT device, origin, head_seq, head_hash FROM devices"
        devices = {device: (origin, seq, head) for device, origin, seq, head in connection.execute(sql)}
        arrivals = connection.execute("SELECT coalesce(max(arrival), 0) FROM entries").fetchone()[0]
        return cls(connection, folder, own_came_back, devices, int(arrivals), project_name(connection))

    def has(self, entry: Entry) -> bool:
        """Whether this very entry is here.  Raises Forked where another one has its place."""
        sql = "SELECT hash FROM entries WHERE device = ? AND seq = ?"
        twin = self.connection.execute(sql, (entry.device, entry.seq)).fetchone()
        if twin is not None and twin[0] != entry.hash:
            raise Forked(device=entry.device, seq=entry.seq)
        return twin is not None

    def take(self, entry: Entry, last_stamp: int) -> None:
        """Put an entry at the end of its chain, which has this stamp.  Raises what speaks against it."""
        if order_of_id(self.connection, entry.id) is not None:
            raise RepeatedId(id=entry.id)
        project = entry.draft.project
        if self.project not in {"", project}:
            raise AnotherProject(folder=self.folder, found=project, known=self.project)
        origin, seq, digest = self.devices.get(entry.device, (RECEIVED, 0, NO_ENTRY_BEFORE))
        if origin == HERE and not self.own_came_back:
            raise OwnChainElsewhere(device=entry.device, seq=entry.seq)
        if entry.seq != seq + 1 or entry.prev != digest or entry.stamp <= last_stamp:
            raise BrokenLink(device=entry.device, seq=entry.seq, last=seq)
        if entry.device not in self.devices:
            _insert_device(self.connection, entry.device, RECEIVED)
        if origin == HERE:
            self.connection.execute(
                "UPDATE devices SET origin = ? WHERE device = ?", (RECEIVED, entry.device)
            )
        _insert_rows(self.connection, (entry,), self.arrivals)
        self.arrivals += 1
        self.project = project
        self.devices[entry.device] = (RECEIVED, entry.seq, entry.hash)


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
