"""The check of a store: every entry there, whole, in its chain, with its pictures, and guarded.

It only reads, reports what it finds with the place, and repairs nothing.  A tail cut off together with
every witness of it cannot be seen from one file; heads in signed reports and on other devices show it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, TypeAlias

from fieldapp.record.chain import breaks_in, heads_of
from fieldapp.record.codec import UnknownKind
from fieldapp.record.decisions import Basis
from fieldapp.record.entry import DamagedEntry, Entry
from fieldapp.record.fold import in_order
from fieldapp.record.reading import Impossible
from fieldapp.store.chains import HERE, RECEIVED
from fieldapp.store.driver import VERSION, safe_to_write, sqlite3
from fieldapp.store.entries import COLUMNS, entry_from, heads_in, row_of
from fieldapp.store.guards import altered_guards
from fieldapp.store.opening import reading
from fieldapp.store.pictures import MISSING, missing_or_changed, pictures_named_in
from fieldapp.store.problems import StoreProblem, in_plain_words
from fieldapp.store.projection import Projector, differences, is_current
from fieldapp.store.reader import JournalReader

_SHOWN: Final = 5
_UNREADABLE: Final = (DamagedEntry, UnknownKind, Impossible)


@dataclass(frozen=True, slots=True)
class StoreFinding:
    """One thing that was checked, whether it holds, and in words what does not."""

    what: str
    ok: bool
    detail: str = ""


# Further checks of the entries that open, and the devices written here: all out of one reading of the file.
Further: TypeAlias = Callable[[tuple[Entry, ...], frozenset[str]], Iterable[StoreFinding]]


def check_store(
    folder: Path,
    projector: Projector | None = None,
    further: Further | None = None,
    *,
    written_here: frozenset[str] | None = None,
) -> tuple[StoreFinding, ...]:
    """Check a project folder and say what holds and what does not.

    Without a projector the read tables, which can always be made again, are not compared.  ``further`` is
    given the entries that open, in the order of folding.  ``written_here`` are the devices whose chains were
    written in this folder, out of the journal itself unless somebody knows better: of those every picture
    must be here, while one that another device names may still be on its way.
    """
    try:
        with reading(folder, guarded=False) as connection:
            connection.execute("BEGIN")
            entries: list[Entry] = []
            here = devices_here(connection) if written_here is None else written_here
            found = tuple(_findings(connection, (folder, projector, here), entries))
            return (*found, *(further(tuple(in_order(entries)), here) if further else ()))
    except StoreProblem as problem:
        return (StoreFinding("the journal opens", ok=False, detail=str(problem)),)


def devices_here(connection: sqlite3.Connection) -> frozenset[str]:
    """The devices whose chains are continued in this folder."""
    return frozenset(
        name for (name,) in connection.execute("SELECT device FROM devices WHERE origin = 'here'")
    )


def not_here_yet(what: str, lacking: Iterable[str]) -> StoreFinding:
    """Something that another device names and that has not arrived: said, and nothing is wrong with it."""
    return replace(finding(what, lacking), ok=True)


def _findings(
    connection: sqlite3.Connection,
    about: tuple[Path, Projector | None, frozenset[str]],
    entries: list[Entry],
) -> Iterator[StoreFinding]:
    folder, projector, here = about

    def held(what: str, wrong: Callable[[], Iterable[str]]) -> StoreFinding:
        try:
            with in_plain_words(folder):
                return finding(what, wrong())
        except (StoreProblem, *_UNREADABLE) as problem:
            return StoreFinding(what, ok=False, detail=str(problem))

    yield StoreFinding("the journal opens", ok=True)
    yield StoreFinding("SQLite", ok=True, detail=_driver_caution())
    yield held("the file is sound", lambda: _unsound(connection))
    yield held("tables refer to rows that exist", lambda: _loose_rows(connection))
    yield held("the guards are in place", lambda: altered_guards(connection))
    yield held("every entry opens and equals its columns", lambda: _read_all(connection, entries))
    yield held("every chain holds", lambda: map(str, breaks_in(entries)))
    yield held("every chain reaches its head", lambda: _lost_tails(connection, entries))
    yield held("what decisions rest on is here", lambda: _lost_grounds(entries))
    on_their_way: dict[str, str] = {}
    yield held(
        "every picture is here, unchanged", lambda: _lost_pictures(folder, entries, here, on_their_way)
    )
    yield not_here_yet("pictures of other devices, not here yet", on_their_way.values())
    if projector is not None:
        yield held("read tables equal a rebuild", lambda: _stale_tables(folder, connection, projector))


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


def _read_all(connection: sqlite3.Connection, entries: list[Entry]) -> Iterator[str]:
    """Open every entry into ``entries`` and say which do not open or differ from their columns."""
    for row in connection.execute(f"SELECT {', '.join(COLUMNS)} FROM entries ORDER BY device, seq"):
        stored = dict(zip(COLUMNS, row, strict=True))
        place = f"entry {stored['seq']} of device {stored['device']}"
        try:
            entry = entry_from(stored["sealed"])
        except _UNREADABLE as problem:
            yield f"{place} does not open: {problem}"
            continue
        entries.append(entry)
        odd = [name for name, value in row_of(entry).items() if stored[name] != value]
        if odd:
            yield f"{place}: {', '.join(odd)} differ from the sealed content"


def _lost_tails(connection: sqlite3.Connection, entries: list[Entry]) -> Iterator[str]:
    for device, origin in connection.execute("SELECT device, origin FROM devices ORDER BY device"):
        if origin not in {HERE, RECEIVED}:  # SQLite's own check looks at no constraint of this table
            yield f"device {device} is marked {origin!r}, neither as one of here nor as received"
    found = heads_of(entries)
    witnessed = heads_in(connection)
    for device in sorted({*found, *witnessed}):
        if found.get(device) != witnessed.get(device):
            here = found[device].seq if device in found else 0
            there = witnessed[device].seq if device in witnessed else 0
            yield f"chain of device {device} ends at entry {here}, its head was entry {there}"


def _lost_grounds(entries: list[Entry]) -> Iterator[str]:
    last = {device: head.seq for device, head in heads_of(entries).items()}
    for each in entries:
        basis = getattr(each.values, "basis", None)
        for position in basis.positions if isinstance(basis, Basis) else ():
            if position.seq > last.get(position.device, 0):
                yield (
                    f"the {each.kind} of {each.draft.author} ({each.device} {each.seq}) rests on entry "
                    f"{position.seq} of device {position.device}, which is not here"
                )


def _lost_pictures(
    folder: Path, entries: list[Entry], here: frozenset[str], on_their_way: dict[str, str]
) -> Iterator[str]:
    """What was lost or changed; pictures that other devices alone name go into ``on_their_way``."""
    named: dict[str, Entry] = {}
    for each in entries:
        for digest in pictures_named_in(each.values):
            if digest not in named or each.device in here:
                named[digest] = each
    for digest, what in missing_or_changed(folder, named).items():
        entry = named[digest]
        says = f"picture {digest} is {what} (entry {entry.seq} of device {entry.device})"
        if what == MISSING and entry.device not in here:
            on_their_way[digest] = f"picture {digest} (entry {entry.seq} of device {entry.device})"
        else:
            yield says


def _stale_tables(folder: Path, connection: sqlite3.Connection, projector: Projector) -> Iterator[str]:
    if not is_current(connection, projector):
        yield "they are of another version; open the project once to rebuild them"
        return
    record = JournalReader(folder, connection).record_proved()
    for name, how in differences(connection, projector, record).items():
        yield f"{name}: {how}"
