"""An open project: its folder, its journal, this device, and the record folded from the journal."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol

from fieldapp.desk.clock import Clock, SystemClock
from fieldapp.desk.device import this_device
from fieldapp.desk.projector import Rows
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, project_record, with_entry
from fieldapp.store.forms import Form
from fieldapp.store.journal import Journal, open_journal
from fieldapp.store.problems import OnlyReading
from fieldapp.store.reader import read_journal

_NOT_IN_A_FILE_NAME = re.compile(r"[^A-Za-z0-9.-]+")


class UnknownShaft(Exception):
    """A shaft that the project does not have."""


class Readable(Protocol):
    """A journal for looking: on disk, or in memory as it was attached to a paper."""

    def entries(self) -> tuple[Entry, ...]:
        """Every entry in the order of folding."""
        ...

    def forms(self) -> tuple[Form, ...]:
        """All half-typed forms."""
        ...


@dataclass
class Workplace:
    """A project in hand.  The folded record is kept until the journal grows.

    With ``until`` it is the project as it was recorded up to that moment.
    """

    folder: Path
    journal: Journal | Readable
    clock: Clock
    device: str
    until: datetime | None = None
    _record: ProjectRecord | None = None
    _entries: tuple[Entry, ...] = ()
    _just_read: tuple[Entry, ...] | None = None

    @property
    def project_id(self) -> str:
        """Identifier of the project; empty before its first entry."""
        entries = self.entries()
        return entries[0].draft.project if entries else ""

    def entries(self) -> tuple[Entry, ...]:
        """The whole journal in the order of folding."""
        self._refresh()
        return self._entries

    def record(self) -> ProjectRecord:
        """What the journal says now."""
        self._refresh()
        assert self._record is not None
        return self._record

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
            names = ", ".join(record.shafts) or said("none yet")
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
        made = self.writer().append_runs(runs, form)
        self._just_read = None
        if self._record is not None:
            for each in made:
                self._entries = (*self._entries, each)
                self._record = with_entry(self._record, each, self._entries)
        return made

    def read_again(self, everything: tuple[Entry, ...] | None = None) -> None:
        """Fold the journal anew when it is next asked for: entries came in beside `append`.

        ``everything`` is what the journal holds now, where that was read just now.
        """
        self._record, self._just_read = None, everything

    def _refresh(self) -> None:
        if self._record is None:
            everything = self.journal.entries() if self._just_read is None else self._just_read
            self._just_read = None
            self._entries = tuple(
                each for each in everything if self.until is None or each.draft.recorded_at <= self.until
            )
            name = self._entries[0].draft.project if self._entries else ""
            self._record = project_record(name, self._entries)


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
