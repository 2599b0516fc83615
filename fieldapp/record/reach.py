"""What the journal as a whole says to each shaft: how far its chains go, and which clocks were corrected."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from fieldapp.record.corrections import bears_on_corrections, correcting, corrects_clock
from fieldapp.record.decisions import Position
from fieldapp.record.entry import Entry
from fieldapp.record.fold import in_order, lines_of


def _never(device: str, since: datetime) -> int | None:
    return None


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a journal reaches.

    ``last`` is the number of the last entry by device.  ``corrections`` are the entries that say that a clock
    was corrected, with their changes.  ``further`` came after ``first_in_file``, which answers as
    `first_since` does for all before.
    """

    last: Mapping[str, int] = field(default_factory=dict)
    corrections: tuple[Entry, ...] = ()
    further: tuple[Entry, ...] = field(default=(), compare=False)
    first_in_file: Callable[[str, datetime], int | None] = field(default=_never, compare=False)

    def in_file(self) -> Reach:
        """The same, once the file holds all that came further."""
        return replace(self, further=())

    def reaches(self, position: Position) -> bool:
        """Whether a place in a chain is in the journal."""
        return position.seq <= self.last.get(position.device, 0)

    def first_since(self, device: str, since: datetime) -> int | None:
        """The lowest number of an entry that a device recorded at a moment or later by its clock, or None."""
        found = [each.seq for each in self.further if _is_since(each, device, since)]
        in_file = self.first_in_file(device, since)
        if in_file is not None and in_file <= self.last.get(device, 0):  # the file may have grown since
            found.append(in_file)
        return min(found, default=None)

    def clock_corrected(self) -> dict[str, tuple[int, ...]]:
        """Numbers of the entries by which a device said that its clock was corrected.

        One that was struck, or that two people amended without knowing of each other, counts for nothing.
        """
        by_shaft: dict[str | None, list[Entry]] = defaultdict(list)
        for each in self.corrections:
            by_shaft[each.shaft].append(each)
        found: dict[str, list[int]] = defaultdict(list)
        for mine in by_shaft.values():
            for line in lines_of(mine):
                if line.counts and corrects_clock(line.values):
                    found[line.original.device].append(line.original.seq)
        return {device: tuple(sorted(numbers)) for device, numbers in sorted(found.items())}


def reach_of(entries: Iterable[Entry]) -> Reach:
    """How far these entries reach, taken as the whole journal."""
    everything = tuple(entries)
    known = correcting(everything)
    return Reach(_last_of(everything), tuple(in_order(_of(everything, known))), everything)


def reached_further(reach: Reach, entry: Entry, shaft: Sequence[Entry]) -> Reach:
    """The reach with one entry more; ``shaft`` are all entries of the shaft that it is about."""
    last = {**reach.last, entry.device: max(entry.seq, reach.last.get(entry.device, 0))}
    corrections = reach.corrections
    if bears_on_corrections(entry, {each.id for each in corrections}):
        others = (each for each in corrections if each.shaft != entry.shaft)
        corrections = tuple(in_order((*others, *_of(shaft, correcting(shaft)))))
    return replace(reach, last=last, corrections=corrections, further=(*reach.further, entry))


def _last_of(entries: Iterable[Entry]) -> dict[str, int]:
    last: dict[str, int] = {}
    for each in entries:
        last[each.device] = max(each.seq, last.get(each.device, 0))
    return last


def _of(entries: Iterable[Entry], wanted: set[str]) -> Iterable[Entry]:
    """The entries that are wanted, of shafts alone: rules look at one."""
    return (each for each in entries if each.id in wanted and each.shaft is not None)


def _is_since(entry: Entry, device: str, since: datetime) -> bool:
    return entry.device == device and entry.draft.recorded_at >= since
