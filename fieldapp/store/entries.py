"""Questions to the table of entries: pages of them, those of a shaft, chains and where they end."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final, TypeVar

import rfc8785

from fieldapp.record.attesting import DeviceKey, PaperSigned
from fieldapp.record.chain import ChainEnd, Order
from fieldapp.record.corrections import correcting
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import ChainHead, DamagedEntry, Entry, hash_of
from fieldapp.record.hole import Event
from fieldapp.store.driver import sqlite3
from fieldapp.store.rows import Place, entry_from, text_of

_PAGE: Final = 4_000_000
"""Characters of sealed text after which a page is full, however few entries that is."""
_IN_ORDER: Final = "ORDER BY stamp, device, seq"
_FEW: Final = 2_000

T = TypeVar("T")


def _page_of(rows: Iterable[tuple[T, object]]) -> tuple[tuple[T, object], ...]:
    """The first rows, each with its sealed text last, that are a page; at least one, if there is one."""
    page: list[tuple[T, object]] = []
    size = 0
    for row in rows:
        page.append(row)
        size += len(row[1]) if isinstance(row[1], str) else 0
        if size >= _PAGE:
            break
    return tuple(page)


def _stands(order: Order) -> bool:
    """Whether this can be a place; the columns of a damaged file may hold anything."""
    return tuple(map(type, order)) == (int, str, int)


ANY_NUMBER: Final = 2**62
"""More entries than any file holds."""


@dataclass(frozen=True, slots=True)
class Some:
    """Which entries of a journal: of these kinds (none: of any), that arrived after this many others.

    ``most`` is how many of those that arrived then.
    """

    kinds: tuple[str, ...] = ()
    arrived_after: int = 0
    most: int = ANY_NUMBER

    def condition(self) -> tuple[str, tuple[str | int, ...]]:
        """As SQL, with what it asks for."""
        kinds = f" AND kind IN ({', '.join('?' * len(self.kinds))})" if self.kinds else ""
        # A few are found by their arrival and put in order; many are met on the way through the index of the
        # order, which the sign keeps to: all of them would be put in order again for every page.
        arrival = "arrival" if self.most <= _FEW else "+arrival"
        arrived = (self.arrived_after + 1, self.arrived_after + self.most)
        return f"{arrival} BETWEEN ? AND ?{kinds}", (*arrived, *self.kinds)


def page_of(
    connection: sqlite3.Connection, after: Order, most: int, some: Some
) -> tuple[tuple[Order, object], ...]:
    """The next entries in the order of folding after a place: where each stands, and its sealed text.

    A page of them, and no more than ``most``.  Raises DamagedEntry for one that stands nowhere.
    """
    condition, asked = some.condition()
    rows = connection.execute(
        "SELECT stamp, device, seq, sealed FROM entries WHERE (stamp, device, seq) > (?, ?, ?) "
        f"AND {condition} {_IN_ORDER} LIMIT ?",
        (*after, *asked, most),
    )
    page = _page_of(((stamp, device, seq), sealed) for stamp, device, seq, sealed in rows)
    if not all(_stands(order) for order, _ in page):
        raise DamagedEntry("an entry does not say where it stands")
    return page


def count(connection: sqlite3.Connection, some: Some) -> int:
    """How many entries there are."""
    condition, asked = some.condition()
    return int(connection.execute(f"SELECT count(*) FROM entries WHERE {condition}", asked).fetchone()[0])


def entries_around(
    connection: sqlite3.Connection, shaft: str, also: Iterable[str], places: Iterable[Place]
) -> tuple[Entry, ...]:
    """What bears on a shaft: the entries of the project as a whole and its own, in the order of folding.

    The last entry of every chain is among them, and the last that is no signature of a paper, whatever their
    shaft: they show how far the journal reaches, which decides whether what a decision rests on is there.
    ``also`` names entries by identifier, and ``places`` by device and number.
    """
    # Parts of a UNION each have an index of their own; with OR between them every row would be looked at.
    rows = connection.execute(
        "SELECT sealed FROM entries WHERE arrival IN ("
        "SELECT arrival FROM entries WHERE shaft IS NULL "
        "UNION SELECT arrival FROM entries WHERE shaft = ? "
        "UNION SELECT arrival FROM entries WHERE id IN (SELECT value FROM json_each(?)) "
        "UNION SELECT arrival FROM json_each(?) AS place CROSS JOIN entries ON device = place.value ->> 0"
        " AND seq = place.value ->> 1 "
        "UNION SELECT arrival FROM devices CROSS JOIN entries USING (device) WHERE seq = head_seq "
        "UNION SELECT (SELECT arrival FROM entries WHERE device = devices.device AND kind <> ?"
        " ORDER BY seq DESC LIMIT 1) FROM devices"
        f") {_IN_ORDER}",
        (shaft, json.dumps(sorted(also)), json.dumps(sorted(places)), PaperSigned.KIND),
    )
    return tuple(entry_from(sealed) for (sealed,) in rows)


def entries_at(connection: sqlite3.Connection, places: Iterable[Place]) -> tuple[Entry, ...]:
    """The entries at these places, in the order of folding."""
    rows = connection.execute(
        "SELECT sealed FROM json_each(?) AS place CROSS JOIN entries ON device = place.value ->> 0 "
        f"AND seq = place.value ->> 1 {_IN_ORDER}",
        (json.dumps(sorted(places)),),
    )
    return tuple(entry_from(sealed) for (sealed,) in rows)


def clock_corrections(connection: sqlite3.Connection) -> tuple[Entry, ...]:
    """The entries that say that a clock was corrected, with their changes, as the read table knows them."""
    known = connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'clock_corrections'").fetchone()
    if known is None:  # a file whose read tables are older
        return proved_corrections(connection)
    sql = f"SELECT sealed FROM entries WHERE id IN (SELECT entry FROM clock_corrections) {_IN_ORDER}"
    return tuple(entry_from(sealed) for (sealed,) in connection.execute(sql))


def proved_corrections(connection: sqlite3.Connection) -> tuple[Entry, ...]:
    """The same out of the entries themselves."""
    sql = f"SELECT sealed FROM entries WHERE kind IN (?, ?, ?) {_IN_ORDER}"
    rows = connection.execute(sql, (Event.KIND, Amend.KIND, Strike.KIND))
    wanted = json.dumps(sorted(correcting(entry_from(sealed) for (sealed,) in rows)))
    sql = f"SELECT sealed FROM entries WHERE id IN (SELECT value FROM json_each(?)) {_IN_ORDER}"
    return tuple(entry_from(sealed) for (sealed,) in connection.execute(sql, (wanted,)))


def shaft_names(connection: sqlite3.Connection) -> list[str]:
    """The shafts that entries are about, in order."""
    names = [name for (name,) in connection.execute(f"{_each('shaft')} SELECT name FROM names")]
    if not all(isinstance(each, str) for each in names):
        raise DamagedEntry("the name of a shaft is no text")
    return names


def shafts_that_name(connection: sqlite3.Connection, label: str) -> set[str]:
    """The shafts of which an entry holds this text as a value of its own; every entry is looked at."""
    sql = "SELECT DISTINCT shaft FROM entries WHERE shaft NOT NULL AND instr(sealed, ?) > 0"
    return {name for (name,) in connection.execute(sql, (rfc8785.dumps(label).decode("utf-8"),))}


def last_numbers(connection: sqlite3.Connection) -> dict[str, int]:
    """The number of the last entry by device, as the entries themselves have it."""
    last = "(SELECT max(seq) FROM entries WHERE device = name)"
    found = dict(connection.execute(f"{_each('device')} SELECT name, {last} FROM names").fetchall())
    if not all(type(each) is int for each in found.values()):
        raise DamagedEntry("the number of an entry is no number")
    return found


def _each(column: str) -> str:
    """The values of an indexed column: one step in its index for each, however many rows there are."""
    return (
        f"WITH RECURSIVE steps (name) AS (SELECT min({column}) FROM entries UNION ALL "
        f"SELECT (SELECT min({column}) FROM entries WHERE {column} > name) FROM steps "
        "WHERE name IS NOT NULL), names (name) AS (SELECT name FROM steps WHERE name IS NOT NULL)"
    )


def first_since(connection: sqlite3.Connection, device: str, since: datetime) -> int | None:
    """The lowest number of an entry that a device recorded at a moment or later by its clock, or None."""
    rows = connection.execute("SELECT seq, recorded_at FROM entries WHERE device = ? ORDER BY seq", (device,))
    return next((seq for seq, recorded in rows if datetime.fromisoformat(recorded) >= since), None)


def last_of_device(connection: sqlite3.Connection, device: str, most: int) -> tuple[Entry, ...]:
    """The last entries of a device, the newest first."""
    sql = "SELECT sealed FROM entries WHERE device = ? ORDER BY seq DESC LIMIT ?"
    return tuple(entry_from(sealed) for (sealed,) in connection.execute(sql, (device, most)))


def project_name(connection: sqlite3.Connection) -> str:
    """The project that the entries are of; empty before the first."""
    row = connection.execute("SELECT project FROM entries LIMIT 1").fetchone()
    return str(row[0]) if row else ""


def entries_of_shaft(connection: sqlite3.Connection, shaft: str | None) -> tuple[Entry, ...]:
    """Entries of one shaft, or with None those of the project as a whole, in the order of folding."""
    rows = connection.execute(f"SELECT sealed FROM entries WHERE shaft IS ? {_IN_ORDER}", (shaft,))
    return tuple(entry_from(sealed) for (sealed,) in rows)


def entry_of_id(connection: sqlite3.Connection, entry_id: str) -> Entry | None:
    """The entry of this id, or None."""
    row = connection.execute("SELECT sealed FROM entries WHERE id = ?", (entry_id,)).fetchone()
    return None if row is None else entry_from(row[0])


def order_of_id(connection: sqlite3.Connection, entry_id: str) -> Order | None:
    """Where the entry of this id stands, or None; one with a damaged place stands nowhere."""
    sql = "SELECT stamp, device, seq FROM entries WHERE id = ?"
    row: Order | None = connection.execute(sql, (entry_id,)).fetchone()
    return row if row is not None and _stands(row) else None


def chain_ends(connection: sqlite3.Connection) -> dict[str, ChainEnd]:
    """Where every chain ends, by device.  Raises DamagedEntry where an end is not here."""
    ends: dict[str, ChainEnd] = {}
    for device, head in heads_in(connection).items():
        sql = "SELECT stamp FROM entries WHERE device = ? AND seq = ?"
        row = connection.execute(sql, (device, head.seq)).fetchone()
        if row is None:
            raise DamagedEntry(f"entry {head.seq} of device {device}, the last of its chain, is not here")
        ends[device] = ChainEnd(device, head.seq, head.hash, row[0])
    sql = "SELECT sealed FROM entries WHERE shaft IS NULL AND kind = ? ORDER BY device, seq DESC"
    for (sealed,) in connection.execute(sql, (DeviceKey.KIND,)):
        entry = entry_from(sealed)
        if entry.device not in ends:
            raise DamagedEntry(f"the chain of device {entry.device} does not say where it ends")
        if isinstance(entry.values, DeviceKey):
            ends[entry.device].key = entry.values  # the first of a chain is the last that is read here
    return ends


def digest(connection: sqlite3.Connection, but: str) -> str:
    """SHA-256 over the hashes of all entries but those of a kind, in the order of folding, in hex."""
    whole = hashlib.sha256()
    for (sealed,) in connection.execute(f"SELECT sealed FROM entries WHERE kind <> ? {_IN_ORDER}", (but,)):
        whole.update(bytes.fromhex(hash_of(sealed.encode("utf-8"))))
    return whole.hexdigest()


def sealed_between(
    connection: sqlite3.Connection, device: str, after: int, last: int
) -> tuple[tuple[int, bytes], ...]:
    """A page of a chain after a number, up to another: the number of each entry, and its sealed bytes."""
    sql = "SELECT seq, sealed FROM entries WHERE device = ? AND seq > ? AND seq <= ? ORDER BY seq"
    page = _page_of(connection.execute(sql, (device, after, last)))
    return tuple((seq, text_of(sealed)) for seq, sealed in page)


def heads_in(connection: sqlite3.Connection) -> dict[str, ChainHead]:
    """The last entry of every device that has one, as the devices table witnesses it."""
    rows = connection.execute(
        "SELECT device, head_seq, head_hash FROM devices WHERE head_seq > 0 ORDER BY device"
    )
    return {device: ChainHead(device, seq, digest) for device, seq, digest in rows}


def highest_stamp(connection: sqlite3.Connection) -> int:
    """The highest Lamport stamp seen; 0 in an empty journal."""
    return int(connection.execute("SELECT coalesce(max(stamp), 0) FROM entries").fetchone()[0])
