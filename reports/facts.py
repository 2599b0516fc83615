"""What the papers of a shaft are made of, and what comes out: frozen facts in, frozen paper out.

Nothing here is computed and nothing is looked up: whoever asks for a paper hands in all of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.criteria.finding import BaseStanding, Finding, ReleaseState
from fieldapp.criteria.release_limit import ReleaseLimit
from fieldapp.record.decisions import Disposition, Release
from fieldapp.record.entry import ChainHead
from fieldapp.record.fold import Line
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import Instrument, ProjectSetup
from fieldapp.record.shaft import ShaftRecord
from reports.worth_facts import OutlookFacts, WorthFacts

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class ShaftFacts:
    """Everything that the papers of one shaft show; each takes what it needs.

    Attributes
    ----------
    at
        The moment that findings, standing and release are of; with its offset from UTC.
    setup
        The set-up that holds: name, units shown, time zone, acceptance set, people.
    record_digest
        SHA-256 of the record that the paper shows, 64 hex letters.
    heads
        The last entry of every device whose entries were read.
    printed_at
        When the page was made; with its offset from UTC, else Impossible is raised.
    cautions
        Caution texts for the page, in the order to be printed.
    instruments
        Checks of the project's instruments; those that the record names are listed.
    worth
        What the base is worth; None leaves the section out.
    outlook
        How long the base stays clean; None without a round of soundings.
    released
        The release that the state ``release`` is about, None where it is another decision or none.
    until_why
        Why that release ends sooner than it says itself; empty where it does not.
    clocks
        Until when what is shown stays shown, the soonest first; empty once concrete has started.
    stated
        The disposition of the designer that holds, None before there is one.
    """

    project_id: str
    setup: ProjectSetup
    record: ShaftRecord
    findings: tuple[Finding, ...]
    standing: BaseStanding
    release: ReleaseState
    record_digest: str
    at: datetime
    heads: tuple[ChainHead, ...]
    printed_at: datetime
    printed_by: str
    cautions: tuple[str, ...] = ()
    instruments: tuple[Line[Instrument], ...] = ()
    worth: WorthFacts | None = None
    outlook: OutlookFacts | None = None
    released: Line[Release] | None = None
    until_why: str = ""
    clocks: tuple[ReleaseLimit, ...] = ()
    stated: Line[Disposition] | None = None

    def __post_init__(self) -> None:
        for name, moment in (("printed_at", self.printed_at), ("at", self.at)):
            if moment.utcoffset() is None:
                raise Impossible(name, moment.isoformat(), "a time with its offset from UTC")


@dataclass(frozen=True, slots=True)
class FieldPlace:
    """Where a signature belongs: field name, page from 0, and left, bottom, right, top in points."""

    name: str
    page_index: int
    box_pt: Box


@dataclass(frozen=True, slots=True)
class Report:
    """A finished document and the places of its signatures, still empty."""

    pdf: bytes
    fields: tuple[FieldPlace, ...]
