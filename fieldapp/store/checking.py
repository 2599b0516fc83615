"""The check of a store: every entry there, whole, in its chain, with its pictures, and guarded.

It only reads, reports what it finds with the place, and repairs nothing.  A tail cut off together with
every witness of it cannot be seen from one file; heads in signed reports and on other devices show it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Final, TypeAlias

from fieldapp.record.chain import Break, ChainWatch
from fieldapp.record.decisions import DECISIONS, Basis
from fieldapp.record.entry import Entry
from fieldapp.store.chains import HERE, RECEIVED
from fieldapp.store.driver import VERSION, safe_to_write, sqlite3
from fieldapp.store.entries import heads_in, order_of_id
from fieldapp.store.guards import altered_guards
from fieldapp.store.opening import reading
from fieldapp.store.pictures import MISSING, missing_or_changed, pictures_named_in
from fieldapp.store.problems import StoreProblem, in_plain_words
from fieldapp.store.projection import Projector, differences, is_current
from fieldapp.store.reader import JournalReader, WhatOpens
from fieldapp.store.rows import COLUMNS, UNREADABLE, Place, entry_from, row_of

_SHOWN: Final = 5


@dataclass(frozen=True, slots=True)
class StoreFinding:
    """One thing that was checked, whether it holds, and in words what does not."""

    what: str
    ok: bool
    detail: str = ""


@dataclass
class Walk:
    """A journal gone through once, chain by chain: what the questions about it need, however long it is.

    Attributes
    ----------
    journal
        It, as far as it opens.
    here
        The devices whose chains were written in this folder.
    watch, breaks
        Where the chains end, and where they do not hold.
    pictures
        For each picture that is named, one place that names it; one of here, if there is one.
    """

    journal: WhatOpens
    here: frozenset[str]
    watch: ChainWatch
    breaks: list[Break] = field(default_factory=list)
    pictures: dict[str, Place] = field(default_factory=dict)

    def take(self, entry: Entry) -> None:
        """Go past the next entry of its chain."""
        self.breaks += self.watch.take(entry)
        for digest in pictures_named_in(entry.values):
            if digest not in self.pictures or entry.device in self.here:
                self.pictures[digest] = (entry.device, entry.seq)


# Further checks of a journal that was gone through.
Further: TypeAlias = Callable[[Walk], Iterable[StoreFinding]]


def check_store(
    folder: Path,
    projector: Projector | None = None,
    further: Further | None = None,
    *,
    written_here: frozenset[str] | None = None,
) -> tuple[StoreFinding, ...]:
    """Check a project folder and say what holds and what does not.

    Without a projector the read tables, which can always be made again, are not compared.  ``written_here``
    are the devices whose chains were written in this folder, out of the journal itself unless somebody knows
    better: of those every picture must be here, while one that another device names may still be on its way.
    """
    found: list[StoreFinding] = []
    try:
        with reading(folder, guarded=False) as connection:
            connection.text_factory = _as_it_stands
            connection.execute("BEGIN")
            here = devices_here(connection) if written_here is None else written_here
            walk = Walk(WhatOpens(folder, connection), here, ChainWatch(partial(order_of_id, connection)))
            found.extend(_findings(walk, projector))
            found.extend(further(walk) if further else ())
    except StoreProblem as problem:
        what = "the entries can be gone through" if found else "the journal opens"
        found.append(StoreFinding(what, ok=False, detail=str(problem)))
    return tuple(found)


def _as_it_stands(text: bytes) -> str:
    """Text that may be damaged: the driver would read nothing more after one letter that is none."""
    return text.decode("utf-8", "backslashreplace")


def devices_here(connection: sqlite3.Connection) -> frozenset[str]:
    """The devices whose chains are continued in this folder."""
    return frozenset(
        name for (name,) in connection.execute("SELECT device FROM devices WHERE origin = 'here'")
    )


def not_here_yet(what: str, lacking: Iterable[str]) -> StoreFinding:
    """Something that another device names and that has not arrived: said, and nothing is wrong with it."""
    return replace(finding(what, lacking), ok=True)


def _findings(walk: Walk, projector: Projector | None) -> Iterator[StoreFinding]:
    folder, connection = walk.journal.folder, walk.journal.connection

    def held(what: str, wrong: Callable[[], Iterable[str]]) -> StoreFinding:
        try:
            with in_plain_words(folder):
                return finding(what, wrong())
        except (StoreProblem, *UNREADABLE) as problem:
            return StoreFinding(what, ok=False, detail=str(problem))

    yield StoreFinding("the journal opens", ok=True)
    yield StoreFinding("SQLite", ok=True, detail=_driver_caution())
    yield held("the file is sound", lambda: _unsound(connection))
    yield held("tables refer to rows that exist", lambda: _loose_rows(connection))
    yield held("the guards are in place", lambda: altered_guards(connection))
    yield held("every entry opens and equals its columns", lambda: _read_all(connection, walk))
    yield held("every chain holds", lambda: map(str, walk.breaks))
    yield held("every chain reaches its head", lambda: _lost_tails(connection, walk))
    yield held("what decisions rest on is here", lambda: _lost_grounds(walk))
    on_their_way: dict[str, str] = {}
    yield held("every picture is here, unchanged", lambda: _lost_pictures(walk, on_their_way))
    yield not_here_yet("pictures of other devices, not here yet", on_their_way.values())
    if projector is not None:
        yield held("read tables equal a rebuild", lambda: _stale_tables(walk.journal, projector))


def finding(what: str, wrong: Iterable[str]) -> StoreFinding:
    """What was checked, with the first of the sentences that say what is wrong; it holds without any."""
    said = list(wrong)
    more = f" and {len(said) - _SHOWN} more" if len(said) > _SHOWN else ""
    return StoreFinding(what, ok=not said, detail="; ".join(said[:_SHOWN]) + more)


def _driver_caution() -> str:
    version = ".".join(str(each) for each in VERSION)
    if safe_to_write(VERSION):
        return version
    return f"{version} has the WAL-reset fault: let no other program write to the journal, and update SQLite"


def _unsound(connection: sqlite3.Connection) -> Iterator[str]:
    return (text for (text,) in connection.execute("PRAGMA integrity_check(20)") if text != "ok")


def _loose_rows(connection: sqlite3.Connection) -> Iterator[str]:
    for table, _, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        yield f"a row of {table} refers to nothing in {parent}"


def _read_all(connection: sqlite3.Connection, walk: Walk) -> Iterator[str]:
    """Open every entry in turn for ``walk``, and say which do not open or differ from their columns."""
    for row in connection.execute(f"SELECT {', '.join(COLUMNS)} FROM entries ORDER BY device, seq"):
        stored = dict(zip(COLUMNS, row, strict=True))
        place = f"entry {stored['seq']} of device {stored['device']}"
        try:
            entry = entry_from(stored["sealed"])
        except UNREADABLE as problem:
            yield f"{place} does not open: {problem}"
            continue
        walk.take(entry)
        odd = [name for name, value in row_of(entry).items() if stored[name] != value]
        if odd:
            yield f"{place}: {', '.join(odd)} differ from the sealed content"


def _lost_tails(connection: sqlite3.Connection, walk: Walk) -> Iterator[str]:
    for device, origin in connection.execute("SELECT device, origin FROM devices ORDER BY device"):
        if origin not in {HERE, RECEIVED}:  # SQLite's own check looks at no constraint of this table
            yield f"device {device} is marked {origin!r}, neither as one of here nor as received"
    found = walk.watch.heads
    witnessed = heads_in(connection)
    for device in sorted({*found, *witnessed}):
        if found.get(device) != witnessed.get(device):
            here = found[device].seq if device in found else 0
            there = witnessed[device].seq if device in witnessed else 0
            yield f"chain of device {device} ends at entry {here}, its head was entry {there}"


def _lost_grounds(walk: Walk) -> Iterator[str]:
    last = walk.watch.last
    for each in walk.journal.of_kinds([each.KIND for each in DECISIONS]):
        basis = getattr(each.values, "basis", None)
        for position in basis.positions if isinstance(basis, Basis) else ():
            if position.seq > last.get(position.device, 0):
                yield (
                    f"the {each.kind} of {each.draft.author} ({each.device} {each.seq}) rests on entry "
                    f"{position.seq} of device {position.device}, which is not here"
                )


def _lost_pictures(walk: Walk, on_their_way: dict[str, str]) -> Iterator[str]:
    """What was lost or changed; pictures that other devices alone name go into ``on_their_way``."""
    for digest, what in missing_or_changed(walk.journal.folder, walk.pictures).items():
        device, seq = walk.pictures[digest]
        if what == MISSING and device not in walk.here:
            on_their_way[digest] = f"picture {digest} (entry {seq} of device {device})"
        else:
            yield f"picture {digest} is {what} (entry {seq} of device {device})"


def _stale_tables(journal: JournalReader, projector: Projector) -> Iterator[str]:
    if not is_current(journal.connection, projector):
        yield "they are of another version; open the project once to rebuild them"
        return
    for name, how in differences(journal.connection, projector, journal.record_proved()).items():
        yield f"{name}: {how}"
