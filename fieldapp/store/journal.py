"""The journal of a project: entries are appended here, each durable before the call returns.

One transaction holds the entries and the read tables that follow from them; an error in either leaves
both as they were.  One writer in a process: threads wait their turn.
"""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import TracebackType
from typing import Self, TypeAlias, TypeVar

from fieldapp.record.entry import DamagedEntry, Draft, Entry
from fieldapp.record.shaft import ProjectRecord, with_entry
from fieldapp.store import arriving, chains, entries, forms
from fieldapp.store.arriving import Arrival
from fieldapp.store.atomic_file import sweep
from fieldapp.store.chains import Written
from fieldapp.store.driver import sqlite3
from fieldapp.store.forms import Form
from fieldapp.store.kept import KeptJournal
from fieldapp.store.opening import FOLDERS, Opened, close_quietly, opened
from fieldapp.store.pictures import PICTURES, picture_path, pictures_named_in
from fieldapp.store.problems import Damaged, PictureMissing, ReadOnly, in_plain_words
from fieldapp.store.projection import Projector, is_current, rebuild, refresh_project, refresh_shafts
from fieldapp.store.touched import touched_by

T = TypeVar("T")

Judge: TypeAlias = Callable[[Arrival], None]


@dataclass(frozen=True, slots=True)
class Device:
    """A device in the journal and whether its chain is continued here."""

    name: str
    here: bool


@contextmanager
def _uncollected() -> Iterator[None]:
    """Let the collector of rings rest: entries make none, and it walks over all of them again and again."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def open_journal(folder: Path, projector: Projector) -> Journal:
    """Open the journal of a project folder for reading and appending.

    Leftovers of a crash are swept away, and read tables of another version are rebuilt.
    Raises StoreProblem; see `fieldapp.store.opening.opened`.
    """
    journal = Journal(folder, projector)
    try:
        with in_plain_words(folder):
            for each in FOLDERS:
                sweep(folder / each)
        journal.bring_up_to_date()
    except BaseException:
        journal.close()
        raise
    return journal


class Journal(KeptJournal):
    """The open journal.  Use it in a ``with`` block or close it."""

    def __init__(self, folder: Path, projector: Projector) -> None:
        self.folder = folder
        self._projector = projector
        self._turn = threading.RLock()
        self._store: Opened | None = opened(folder, "writer")
        self._record: ProjectRecord | None = None
        self._closed = False

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file and let go of the folder."""
        with self._turn:
            self._closed = True
            if self._store is not None:
                self._store.close()
                self._store = None

    def append(self, drafts: Sequence[Draft], device: str, form: str = "") -> tuple[Entry, ...]:
        """Seal drafts into the chain of ``device`` in their order, and return the entries once durable.

        The half-typed form of the key ``form``, which they end, is forgotten with the same COMMIT.
        Raises RepeatedId for an id that is in the journal already, NotOurDevice for a chain that came from
        elsewhere, PictureMissing, AnotherProject, or another StoreProblem; then nothing was saved.
        """
        return self.append_runs([(device, drafts)], form)

    def append_runs(self, runs: Sequence[tuple[str, Sequence[Draft]]], form: str = "") -> tuple[Entry, ...]:
        """Like `append`, for devices in turn: all of it is durable with one COMMIT, or nothing."""
        return self._append(runs, form, skip_known=False).added

    def append_unknown(self, drafts: Sequence[Draft], device: str) -> Written:
        """Like `append`, but drafts that are already recorded, content and all, are returned as ``known``."""
        return self._append([(device, drafts)], "", skip_known=True)

    def receive(
        self, sealed: Iterable[bytes], judge: Judge | None = None, *, own_came_back: bool = False
    ) -> Arrival:
        """Take over entries from elsewhere, all or none, in their own chains and byte for byte.

        Each chain comes in its order; they are gone through one by one.  ``judge`` may ask this journal,
        which has them already, before anything is kept, and raises what speaks against them; see `_write`
        for when it is asked twice.  For ``own_came_back`` see `fieldapp.store.arriving.receive`.
        Raises NotAnEntry, Forked, BrokenLink, RepeatedId, OwnChainElsewhere, AnotherProject, or another
        StoreProblem.
        """
        again = tuple(sealed) if isinstance(sealed, Iterator) else sealed  # for a second time

        with self._turn, _uncollected():
            known = self.record()  # ``judge`` may ask for it too

            def work(connection: sqlite3.Connection) -> Arrival:
                arrival = arriving.receive(connection, again, self.folder, own_came_back=own_came_back)
                if judge is not None:
                    judge(arrival)
                self._refresh(connection, (known, self.record_proved()), self.added(arrival))
                return arrival

            arrival = self._write(work)
            self._record = None
            return arrival

    def retire_devices(self) -> None:
        """Continue no present chain here any more: the next entry needs a new device name."""
        self._write(lambda connection: connection.execute("UPDATE devices SET origin = 'received'"))

    def bring_up_to_date(self, *, always: bool = False) -> bool:
        """Rebuild the read tables when their version is another one, and say whether that was done."""

        def work(connection: sqlite3.Connection) -> bool:
            if not always and is_current(connection, self._projector):
                return False
            rebuild(connection, self._projector, self.record_proved())
            return True

        return self._write(work)

    def record(self) -> ProjectRecord:
        """What the journal says now; kept, and carried on by what is appended."""
        with self._turn:
            if self._record is None:
                self._record = super().record()
            return self._record

    def highest_stamp(self) -> int:
        """The highest Lamport stamp seen; 0 in an empty journal."""
        return self._read(entries.highest_stamp)

    def devices(self) -> tuple[Device, ...]:
        """Every device, by name."""
        sql = "SELECT device, origin = 'here' FROM devices ORDER BY device"
        return self._read(
            lambda connection: tuple(Device(name, bool(here)) for name, here in connection.execute(sql))
        )

    def keep_form(self, form: Form) -> None:
        """Keep a half-typed form on disk."""
        self._write(lambda connection: forms.keep_form(connection, form))

    def drop_form(self, key: str) -> None:
        """Forget a half-typed form."""
        self._write(lambda connection: forms.drop_form(connection, key))

    def _append(self, runs: Sequence[tuple[str, Sequence[Draft]]], form: str, *, skip_known: bool) -> Written:
        everything = [each for _, drafts in runs for each in drafts]
        if not everything:
            return Written(())
        with self._plain():
            for digest in (each for draft in everything for each in pictures_named_in(draft.values)):
                if picture_path(self.folder, digest) is None:
                    raise PictureMissing(digest=digest, folder=self.folder / PICTURES)

        def work(connection: sqlite3.Connection) -> tuple[Written, ProjectRecord]:
            record = before
            made = [
                chains.extend(connection, drafts, device, skip_known=skip_known, folder=self.folder)
                for device, drafts in runs
                if drafts
            ]
            added = tuple(each for written in made for each in written.added)
            for each in added:
                record = with_entry(record, each)
            self._refresh(connection, (before, record), added)
            if form:
                forms.drop_form(connection, form)
            return Written(added, tuple(each for written in made for each in written.known)), record

        with self._turn:
            before = self.record()
            written, after = self._write(work)
            self._record = replace(after, reach=after.reach.in_file())
        return written

    def _refresh(
        self,
        connection: sqlite3.Connection,
        records: tuple[ProjectRecord, ProjectRecord],
        added: Iterable[Entry],
    ) -> None:
        """Write the rows anew that follow from what was added, with the records before and after it."""
        before, after = records
        rows = touched_by(connection, before, after, added)
        if rows.project:
            refresh_project(connection, self._projector, after)
        refresh_shafts(connection, self._projector, after, rows.shafts)

    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T:
        with self._turn, self._plain():
            return ask(self._ready().connection)

    def _write(self, work: Callable[[sqlite3.Connection], T]) -> T:
        """Do ``work`` in one transaction, once more on a new connection when the old one is read-only.

        A connection that was opened while the disk was read-only stays so, and spoils later ones.
        """
        with self._turn:
            try:
                return self._in_transaction(work)
            except ReadOnly:
                self._let_go()
                return self._in_transaction(work)

    def _in_transaction(self, work: Callable[[sqlite3.Connection], T]) -> T:
        with self._plain():
            connection = self._ready().connection
            connection.execute("BEGIN IMMEDIATE")
            try:
                result = work(connection)
                connection.execute("COMMIT")
            except BaseException:
                connection.rollback()
                raise
            return result

    def _ready(self) -> Opened:
        if self._closed:
            raise ValueError("the journal is closed")
        if self._store is None:
            self._store = opened(self.folder, "writer")
        return self._store

    def _let_go(self) -> None:
        if self._store is not None:
            close_quietly(self._store)
            self._store = None

    @contextmanager
    def _plain(self) -> Iterator[None]:
        try:
            with in_plain_words(self.folder):
                yield
        except DamagedEntry as problem:
            raise Damaged(folder=self.folder, why=problem) from problem
