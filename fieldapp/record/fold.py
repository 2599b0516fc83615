"""From the journal to what it says now: amendments and strikes applied, nothing lost.

The order is (stamp, device, seq), so the result is the same whatever arrived first.  Two amendments
of one entry that do not know of each other are both kept: the line is then contested, and counts for
nothing until a person settles it by an entry that follows both.  A decision or a project set-up is made
anew, never changed: an amendment or strike of one is kept and has no effect.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from operator import attrgetter
from typing import Final, Generic, TypeVar

from fieldapp.record.attesting import ATTESTING
from fieldapp.record.decisions import DECISIONS, Amend, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.kinds import Values
from fieldapp.record.setup import ProjectSetup

V_co = TypeVar("V_co", bound=Values, covariant=True)

_ORDER: Final = attrgetter("stamp", "device", "seq")  # as `Entry.order`, in one call
CHANGES: Final = (Amend, Strike)
NEVER_CHANGED: Final = (*DECISIONS, *ATTESTING, ProjectSetup)


@dataclass(frozen=True, slots=True)
class Line(Generic[V_co]):
    """One entry with what became of it.

    ``values`` and ``observed_at`` are what it says now; ``original`` is the entry as it was made;
    ``changes`` are the amendments and strikes of it in order.
    """

    original: Entry
    values: V_co
    observed_at: datetime
    changes: tuple[Entry, ...] = ()
    struck: bool = False
    contested: bool = False

    @property
    def id(self) -> str:
        """Identifier of the original entry."""
        return self.original.id

    @property
    def counts(self) -> bool:
        """Whether rules may rest on it."""
        return not (self.struck or self.contested)

    @property
    def entries(self) -> tuple[str, ...]:
        """Identifiers of the original and all changes of it."""
        return (self.id, *(each.id for each in self.changes))


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries in the order of folding."""
    return sorted(entries, key=_ORDER)


def lines_of(entries: Iterable[Entry]) -> tuple[Line[Values], ...]:
    """Every entry that is not itself a change, with the changes of it applied, in the order of folding.

    A change whose target is not in the journal (yet) waits: it is left out and changes nothing.
    """
    changes: dict[str, list[Entry]] = defaultdict(list)
    originals: list[Entry] = []
    for each in in_order(entries):
        values = each.draft.values
        if isinstance(values, CHANGES):
            changes[values.target].append(each)
        else:
            originals.append(each)
    return tuple(_line(each, changes.get(each.draft.id, [])) for each in originals)


def waiting_changes(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Amendments and strikes whose target is not in the journal."""
    everything = list(entries)
    known = {each.id for each in everything}
    return tuple(
        each
        for each in in_order(everything)
        if isinstance(each.values, CHANGES) and each.values.target not in known
    )


def _line(original: Entry, changes: list[Entry]) -> Line[Values]:
    if not changes or isinstance(original.values, NEVER_CHANGED):
        return Line(original, original.values, original.draft.observed_at, tuple(changes))
    heads = _heads(original, changes)
    if len(heads) > 1:
        return Line(original, original.values, original.draft.observed_at, tuple(changes), contested=True)
    last = heads[0]
    values: Values = original.values
    observed_at = original.draft.observed_at
    for change in _path(original, last, changes):
        if isinstance(change.values, Amend):
            values = change.values.says
            observed_at = change.values.observed_at or observed_at
    return Line(original, values, observed_at, tuple(changes), struck=isinstance(last.values, Strike))


def _heads(original: Entry, changes: list[Entry]) -> list[Entry]:
    followed = {parent for change in changes for parent in change.draft.parents}
    return [each for each in (original, *changes) if each.id not in followed] or [original]


def _path(original: Entry, last: Entry, changes: list[Entry]) -> list[Entry]:
    """The changes that ``last`` follows, oldest first, and ``last`` itself."""
    by_id = {each.id: each for each in changes}
    wanted, known = [last.id], set()
    while wanted:
        each = wanted.pop()
        if each in by_id and each not in known:
            known.add(each)
            wanted.extend(by_id[each].draft.parents)
    return [each for each in changes if each.id in known and each is not original]
