"""An open project: its folder, its journal, this device, and the record folded from the journal."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Protocol

from fieldapp.desk.clock import Clock, SystemClock
from fieldapp.desk.device import this_device
from fieldapp.desk.given_entries import GivenEntries
from fieldapp.desk.projector import Rows
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import ChainHead, Draft, Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.said_lists import first_few
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.store.forms import Form
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.problems import OnlyReading
from fieldapp.store.reader import read_journal
from fieldapp.store.rows import Place

_NOT_IN_A_FILE_NAME = re.compile(r"[^A-Za-z0-9.-]+")


class UnknownShaft(Exception):
    """A shaft that the project does not have."""


class Readable(Protocol):
    """A journal for looking: in a file, or in memory."""

    def entries(self) -> Collection[Entry]:
        """Every entry in the order of folding; a file is read as they are gone through."""
        ...

    def of_kinds(self, kinds: Collection[str], /) -> Iterable[Entry]:
        """Entries of these kinds in the order of folding."""
        ...

    def at_places(self, places: Iterable[Place], /) -> tuple[Entry, ...]:
        """The entries at these places, in the order of folding; none where there is none."""
        ...

    def entry(self, entry_id: str, /) -> Entry | None:
        """The entry of this id, or None."""
        ...

    def chain(self, head: ChainHead, /) -> Iterable[bytes]:
        """The sealed bytes of a chain up to this entry of it."""
        ...

    def around(self, shaft: str, places: Collection[Place] = (), /) -> tuple[Entry, ...]:
        """The entries that bear on a shaft, those at places, and perhaps others, in the order of folding."""
        ...

    def record(self) -> ProjectRecord:
        """What the journal says."""
        ...

    def heads(self) -> dict[str, ChainHead]:
        """The last entry of every device that has one."""
        ...

    def last_of(self, device: str, most: int) -> tuple[Entry, ...]:
        """The last entries of a device, the newest first."""
        ...

    def digest(self, but: str) -> str:
        """SHA-256 over the hashes of all entries but those of a kind, in the order of folding, in hex."""
        ...

    def forms(self) -> tuple[Form, ...]:
        """All half-typed forms."""
        ...


@dataclass
class Workplace:
    """A project in hand.

    With ``until`` it is the project as it was recorded up to that moment.
    """

    folder: Path
    journal: Readable
    clock: Clock
    device: str
    until: datetime | None = None
    _then: GivenEntries | None = field(init=False, default=None)

    @property
    def project_id(self) -> str:
        """Identifier of the project; empty before its first entry."""
        return self.record().id

    def entries(self) -> Collection[Entry]:
        """The whole journal in the order of folding."""
        return self._seen().entries()

    def of_kinds(self, kinds: Collection[str]) -> Iterable[Entry]:
        """Entries of these kinds in the order of folding."""
        return self._seen().of_kinds(kinds)

    def at_places(self, places: Iterable[Place]) -> tuple[Entry, ...]:
        """The entries at these places, in the order of folding; none where there is none."""
        return self._seen().at_places(places)

    def entry(self, entry_id: str) -> Entry | None:
        """The entry of this id, or None."""
        return self._seen().entry(entry_id)

    def chain(self, head: ChainHead) -> Iterable[bytes]:
        """The sealed bytes of a chain up to this entry of it."""
        return self._seen().chain(head)

    def around(self, shaft_id: str, places: Collection[Place] = ()) -> tuple[Entry, ...]:
        """The entries that bear on a shaft, and those at these places, in the order of folding."""
        return self._seen().around(shaft_id, places)

    def heads(self) -> dict[str, ChainHead]:
        """The last entry of every device that has one."""
        return self._seen().heads()

    def last_of(self, device: str, most: int) -> tuple[Entry, ...]:
        """The last entries of a device, the newest first."""
        return self._seen().last_of(device, most)

    def digest(self) -> str:
        """SHA-256 over the journal as a summary names it: signing a paper makes no other state."""
        return self.record().once("journal digest", lambda: self._seen().digest(PaperSigned.KIND))

    def record(self) -> ProjectRecord:
        """What the journal says now."""
        return self._seen().record()

    def setup(self) -> ProjectSetup:
        """The set-up that holds.  Raises Impossible while the project has none."""
        setup = self.record().setup
        if setup is None:
            raise Impossible("project", self.project_id, said("a project set-up first; add its project file"))
        return setup.values

    def shaft(self, shaft_id: str) -> ShaftRecord:
        """The record of a shaft.  Raises UnknownShaft, naming those there are."""
        record = self.record()
        found = record.shaft(shaft_id)
        if found is None:
            names = first_few(record.shafts)
            raise UnknownShaft(
                said(
                    "There is no shaft {shaft} in this project. There are: {names}.",
                    shaft=shaft_id,
                    names=names,
                )
            )
        return found

    def accepted(self) -> AcceptanceSet:
        """The acceptance set that the project has adopted."""
        return self.setup().acceptance

    def now(self) -> datetime:
        """The present moment in the project's time zone (UTC before it has one)."""
        setup = self.record().setup
        return self.clock.now(setup.values.time_zone if setup else "UTC")

    def writer(self) -> Journal:
        """The journal for writing.  Raises OnlyReading when the project was opened for looking only."""
        if not isinstance(self.journal, Journal):
            raise OnlyReading(folder=self.folder)
        return self.journal

    def append(self, drafts: list[Draft], device: str | None = None, form: str = "") -> tuple[Entry, ...]:
        """Make drafts durable in one transaction, with the read tables they touch.

        The half-typed form of the key ``form``, which they end, is forgotten with the same COMMIT.
        """
        return self.append_runs([(device or self.device, drafts)], form)

    def append_runs(self, runs: list[tuple[str, list[Draft]]], form: str = "") -> tuple[Entry, ...]:
        """Like `append`, for several devices in turn, all or none."""
        return self.writer().append_runs(runs, form)

    def _seen(self) -> Readable:
        """The journal, or what of it was recorded up to ``until``."""
        if self.until is None:
            return self.journal
        if self._then is None:
            until = self.until
            self._then = GivenEntries(
                tuple(each for each in self.journal.entries() if each.draft.recorded_at <= until)
            )
        return self._then


@contextmanager
def open_project(folder: Path, clock: Clock | None = None, device: str = "") -> Iterator[Workplace]:
    """Open a project folder for work; ``device`` names the chain that is written, this device by default.

    Raises StoreProblem with a sentence when the folder holds no project or another program has it open.
    """
    with open_journal(folder, Rows()) as journal:
        yield Workplace(folder, journal, clock or SystemClock(), device or this_device())


@contextmanager
def read_project(folder: Path, until: datetime | None = None) -> Iterator[Workplace]:
    """Open a project folder for looking only, also while another program writes it.

    ``until`` shows it as it was recorded up to that moment.  Raises StoreProblem.
    """
    with read_journal(folder) as journal:
        yield Workplace(folder, journal, SystemClock(), "", until)


def file_name_of(name: str) -> str:
    """A name for part of a file name: ``Inspector A`` becomes ``inspector-a``."""
    return _NOT_IN_A_FILE_NAME.sub("-", name).strip("-").lower()
