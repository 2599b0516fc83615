"""A project as the journal attached to a paper tells it: for looking only, in memory.

Everything that is asked of a shaft is asked of it in the same way as of a project folder, and gives the same
answers, as of the moment and with the entries of the paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldapp.desk.clock import zone_named
from fieldapp.desk.given_entries import GivenEntries
from fieldapp.desk.papers.journal import PaperJournal
from fieldapp.desk.workplace import Workplace
from fieldapp.record.reading import Impossible
from fieldapp.store.problems import OnlyReading


@dataclass(frozen=True, slots=True)
class StandingClock:
    """Tells the moment at which a paper was printed, and nothing later."""

    printed_at: datetime

    def now(self, zone: str) -> datetime:
        """The moment in a time zone (IANA name).  Raises Impossible."""
        return self.printed_at.astimezone(zone_named(zone))

    def new_id(self) -> str:
        """Nothing is recorded in an attached journal.  Raises OnlyReading."""
        raise OnlyReading(folder="")


def attached_place(journal: PaperJournal, printed_at: datetime | None = None) -> Workplace:
    """The project of an attached journal, at the moment when the paper was printed.

    Without ``printed_at`` that is the moment which the paper is of.
    """
    clock = StandingClock(printed_at or journal.as_of)
    return Workplace(Path(), GivenEntries(journal.everything), clock, "", journal.recorded_until)


def moment_in_zone(place: Workplace, at: datetime) -> datetime:
    """A moment in the project's time zone, so that spans from it are counted alike wherever they are.

    A project whose zone is not known here keeps the moment as it is.
    """
    try:
        return at.astimezone(place.now().tzinfo)
    except Impossible:
        return at
