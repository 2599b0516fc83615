"""Taking over the chains of others, entry by entry.  Call inside a transaction."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Final

from fieldapp.record.chain import Break, ChainWatch
from fieldapp.record.entry import NO_ENTRY_BEFORE, Entry
from fieldapp.store.chains import HERE, RECEIVED, insert_device, insert_rows
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import (
    ANY_NUMBER,
    chain_ends,
    highest_stamp,
    order_of_id,
    project_name,
    sealed_between,
)
from fieldapp.store.problems import (
    AnotherProject,
    BrokenLink,
    FarAhead,
    Forked,
    OwnChainElsewhere,
    RepeatedId,
)
from fieldapp.store.rows import UNREADABLE, Place, opened

_PAGE: Final = 500
_MOST_BREAKS: Final = 100  # the first is told
MOST_AHEAD: Final = 10_000_000
"""A stamp is one more than the highest that was seen; no project has as many entries (judgment)."""


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


EVERYTHING: Final = Arrival({}, 0, new=ANY_NUMBER)
"""A journal taken as if all of it had just come."""


def receive(
    connection: sqlite3.Connection, arrived: Iterable[bytes], folder: Path, *, own_came_back: bool = False
) -> Arrival:
    """Add sealed entries of other devices; each chain comes in its order.

    One is in memory at a time, however many come.  With ``own_came_back`` a chain of this tablet may go on
    with entries that were lost here; it is then one from elsewhere, and not continued any more.

    Raises NotAnEntry, RepeatedId, Forked, OwnChainElsewhere, BrokenLink, FarAhead or AnotherProject.
    """
    here = _Here.of(connection, folder, own_came_back=own_came_back)
    along = _Along(connection)
    watch = ChainWatch(partial(order_of_id, connection), chain_ends(connection))
    before, first = watch.last, here.arrivals
    breaks: list[Break] = []
    whole: dict[str, int] = {}
    devices: set[str] = set()
    number = astray = 0
    for number, sealed in enumerate(arrived, start=1):
        place = along.is_next(sealed)
        if place is None:
            entry = _opened(number, sealed)
            place = (entry.device, entry.seq)
            if here.has(entry):
                along.go_on_after(place)
            else:
                here.take(entry, watch.stamp_of(entry.device))
                breaks += watch.take(entry)[: _MOST_BREAKS - len(breaks)]
                devices.add(entry.device)
        device, seq = place
        if seq == whole.get(device, 0) + 1:
            whole[device] = seq
        else:
            astray += 1
    new = here.arrivals - first
    return Arrival(before, first, new, number - new, frozenset(devices), whole, astray, tuple(breaks))


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
    highest_stamp: int

    @classmethod
    def of(cls, connection: sqlite3.Connection, folder: Path, *, own_came_back: bool) -> _Here:
        sql = "SELECT device, origin, head_seq, head_hash FROM devices"
        devices = {device: (origin, seq, head) for device, origin, seq, head in connection.execute(sql)}
        arrivals = connection.execute("SELECT coalesce(max(arrival), 0) FROM entries").fetchone()[0]
        known = (int(arrivals), project_name(connection), highest_stamp(connection))
        return cls(connection, folder, own_came_back, devices, *known)

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
        if entry.stamp > self.highest_stamp + MOST_AHEAD:
            raise FarAhead(device=entry.device, seq=entry.seq)
        if entry.device not in self.devices:
            insert_device(self.connection, entry.device, RECEIVED)
        if origin == HERE:
            self.connection.execute(
                "UPDATE devices SET origin = ? WHERE device = ?", (RECEIVED, entry.device)
            )
        insert_rows(self.connection, (entry,), self.arrivals)
        self.arrivals += 1
        self.highest_stamp = max(self.highest_stamp, entry.stamp)
        self.project = project
        self.devices[entry.device] = (RECEIVED, entry.seq, entry.hash)
