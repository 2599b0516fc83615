"""What a bundle changed: for each shaft the new entries, its standing and its release before and now."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from fieldapp.criteria.finding import ReleaseStatus, Standing
from fieldapp.desk.office import shaft_now
from fieldapp.desk.workplace import Workplace
from fieldapp.record.attesting import SILENT
from fieldapp.record.entry import Entry
from fieldapp.record.said import said
from fieldapp.record.said_lists import word


@dataclass(frozen=True, slots=True)
class Stands:
    """How a shaft stands: base standing and release."""

    standing: Standing
    release: ReleaseStatus
    why: str = ""
    """Of the release, where it lapsed or was withdrawn."""

    def same_as(self, other: Stands | None) -> bool:
        """Whether the words are the same, whatever the reasons."""
        return other is not None and (self.standing, self.release) == (other.standing, other.release)


@dataclass(frozen=True, slots=True)
class ShaftChange:
    """A shaft with new entries, or one that stands otherwise now; ``before`` is None for a new one."""

    shaft: str
    entries: int
    before: Stands | None
    now: Stands

    @property
    def lost_release(self) -> bool:
        """Whether concrete was released before, and is not any more."""
        released = ReleaseStatus.RELEASED
        return self.before is not None and self.before.release is released is not self.now.release

    @property
    def says(self) -> tuple[str, ...]:
        """What changed, in sentences; the one that matters most comes first."""
        found = []
        before, now = self.before, self.now
        if self.lost_release:
            found.append(
                said("The release does not hold any more: {now}. {why}", now=word(now.release), why=now.why)
            )
        elif before is not None and before.release != now.release:
            found.append(
                said("Release: {before}, now {now}.", before=word(before.release), now=word(now.release))
            )
        if before is None:
            found.append(said("New here. Standing: {now}.", now=word(now.standing)))
        elif before.standing != now.standing:
            found.append(
                said("Standing: {before}, now {now}.", before=word(before.standing), now=word(now.standing))
            )
        else:
            found.append(said("Standing as before: {now}.", now=word(now.standing)))
        return tuple(found)


def stands_of(place: Workplace, shafts: Iterable[str], at: datetime) -> dict[str, Stands]:
    """How these shafts stand at a moment; those that the project does not have are left out."""
    known = place.record().shafts
    found = {each: shaft_now(place, each, at) for each in shafts if each in known}
    return {
        name: Stands(each.standing.standing, each.release.status, each.release.reason)
        for name, each in found.items()
    }


def touched_by(place: Workplace, added: Iterable[Entry]) -> tuple[str, ...]:
    """The shafts that new entries may change: all that are known when something of the whole project came."""
    names = {each.shaft for each in added if not isinstance(each.values, SILENT)}
    if None in names:
        names |= set(place.record().shafts)
    return tuple(sorted(each for each in names if each is not None))


def changes(
    added: Iterable[Entry], before: Mapping[str, Stands], now: Mapping[str, Stands]
) -> tuple[ShaftChange, ...]:
    """What changed, by shaft: those that lost their release first, then by name."""
    counts = Counter(each.shaft for each in added)
    found = [
        ShaftChange(name, counts[name], before.get(name), each)
        for name, each in now.items()
        if counts[name] or not each.same_as(before.get(name))
    ]
    return tuple(sorted(found, key=lambda each: (not each.lost_release, each.shaft)))
