"""Every entry of a shaft as it was made and as it says now, the newest first.

Nothing is left out: an amended entry keeps both versions with who changed it and why, a struck one stays
with its reason, and a change whose entry is not in the journal is told as waiting.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from fieldapp.criteria.limits import Case, limit_for
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.shaft.entry_told import Telling, Told, told
from fieldapp.desk.shaft.stages import stage_of_kind
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend, Disposition, Hold, LogSigned, Release, Strike, Withdrawal
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line, waiting_changes
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.said import said, sayable
from reports.quantities import span_text

# As on paper, where the acceptance set gives no time after which an entry is late (judgment).
LATE_AFTER: Final = Reading("1", "h")

# What to do in the place of an amendment: a decision is made anew, never changed.
INSTEAD: Final[dict[type[Values], str]] = {
    LogSigned: sayable("A signature stays. If the log has changed since, sign it again."),
    Release: sayable("A release is not changed: withdraw it, hold concrete, or release anew."),
    Hold: sayable("A hold is not changed: release concrete once it may start."),
    Withdrawal: sayable("A withdrawal is not changed: release anew once concrete may start."),
    Disposition: sayable("A decision on the credit is not changed: decide anew; the last one holds."),
}
MADE_ANEW: Final = sayable("This entry is not changed: make a new one.")
KIND_NAMES: Final = (
    sayable("log signed"),
    sayable("release"),
    sayable("hold"),
    sayable("withdrawal"),
    sayable("disposition"),
    sayable("amend"),
    sayable("strike"),
)


@dataclass(frozen=True, slots=True)
class Version:
    """One version of an entry: what it says, who said so, where and when; ``why`` for a change.

    ``holds`` is true for what the entry says now; of a contested entry nothing holds.
    """

    told: tuple[Told, ...]
    author: str
    place: str
    observed_at: datetime
    recorded_at: datetime
    why: str = ""
    strikes: bool = False
    holds: bool = False


@dataclass(frozen=True, slots=True)
class TimelineEntry:
    """One entry with what became of it.

    ``versions`` begin with the entry as it was made; ``late`` is how long after it was observed it was
    recorded, ``confirmed`` what was asked as unlikely and confirmed.  ``by_round`` says that it is amended on
    the screen of a round, ``instead`` what to do with an entry that cannot be amended.
    """

    id: str
    kind: str
    stage: str
    told: tuple[Told, ...]
    author: str
    place: str
    observed_at: datetime
    recorded_at: datetime
    versions: tuple[Version, ...]
    late: str = ""
    confirmed: tuple[str, ...] = ()
    struck: bool = False
    contested: bool = False
    waits: bool = False
    by_round: bool = False
    instead: str = ""

    @property
    def amended(self) -> bool:
        """Whether it says something else now than it did."""
        return len(self.versions) > 1 and not self.struck

    @property
    def why(self) -> str:
        """Why it was changed last."""
        return self.versions[-1].why


def timeline(place: Workplace, shaft_id: str) -> tuple[TimelineEntry, ...]:
    """Every entry of a shaft, the last one recorded first.  Raises UnknownShaft."""
    shaft, setup = place.shaft(shaft_id), place.setup()
    at = {each.id: place_of(each) for each in shaft.entries}
    telling = Telling(setup.units, place.now().tzinfo, at)
    asked = limit_for(setup.acceptance, "late_entry_after", Case())
    late = asked.reading if asked is not None and asked.reading is not None else LATE_AFTER
    after = timedelta(seconds=float(late.si))
    found = [_entry(each, telling, after) for each in shaft.lines]
    found += [_waiting(each, telling) for each in waiting_changes(shaft.entries)]
    order = {each.id: each.order for each in shaft.entries}
    return tuple(sorted(found, key=lambda each: order[each.id], reverse=True))


def place_of(entry: Entry) -> str:
    """Where an entry stands: device and number."""
    return f"{entry.device} {entry.seq}"


def _entry(line: Line[Values], telling: Telling, late_after: timedelta) -> TimelineEntry:
    draft = line.original.draft
    lag = draft.recorded_at - line.observed_at
    return TimelineEntry(
        id=line.id,
        kind=line.original.kind,
        stage=stage_of_kind(line.original.kind),
        told=told(line.values, telling),
        author=draft.author,
        place=place_of(line.original),
        observed_at=telling.local(line.observed_at),
        recorded_at=telling.local(draft.recorded_at),
        versions=tuple(_versions(line, telling)),
        late=span_text(lag) if lag > late_after else "",
        confirmed=draft.confirmed,
        struck=line.struck,
        contested=line.contested,
        by_round=isinstance(line.values, SoundingRound),
        instead=_instead(line),
    )


def _instead(line: Line[Values]) -> str:
    if line.struck:
        return said("The entry was struck and stays struck. Enter it anew.")
    known = line.values.KIND in SHEETS
    return "" if known else said(INSTEAD.get(type(line.values), MADE_ANEW))


def _versions(line: Line[Values], telling: Telling) -> Iterator[Version]:
    """The entry as it was made, then every change of it in order."""
    first = line.original
    observed_at = first.draft.observed_at
    last = line.changes[-1] if line.changes else first
    stays = line.values.KIND not in SHEETS  # a change of it is kept and has no effect
    yield Version(
        told(first.values, telling),
        first.draft.author,
        place_of(first),
        telling.local(observed_at),
        telling.local(first.draft.recorded_at),
        holds=last is first or stays,
    )
    for change in line.changes:
        says = change.values.says if isinstance(change.values, Amend) else None
        if isinstance(change.values, Amend):
            observed_at = change.values.observed_at or observed_at
        yield Version(
            () if says is None else told(says, telling),
            change.draft.author,
            place_of(change),
            telling.local(observed_at),
            telling.local(change.draft.recorded_at),
            why=change.values.why if isinstance(change.values, Amend | Strike) else "",
            strikes=isinstance(change.values, Strike),
            holds=change is last and not line.contested and not stays,
        )


def _waiting(change: Entry, telling: Telling) -> TimelineEntry:
    """A change of an entry that the journal does not hold."""
    values = change.values
    assert isinstance(values, Amend | Strike)
    says = told(values.says, telling) if isinstance(values, Amend) else ()
    draft = change.draft
    made = Version(
        says,
        draft.author,
        place_of(change),
        telling.local(draft.observed_at),
        telling.local(draft.recorded_at),
        why=values.why,
        strikes=isinstance(values, Strike),
    )
    return TimelineEntry(
        id=change.id,
        kind=change.kind,
        stage=stage_of_kind(values.says.KIND if isinstance(values, Amend) else change.kind),
        told=says,
        author=draft.author,
        place=place_of(change),
        observed_at=made.observed_at,
        recorded_at=made.recorded_at,
        versions=(made,),
        waits=True,
        instead=said("It waits for an entry that is not in this journal yet."),
    )
