"""Entries from elsewhere, held against everything that can be held against them, all taken over or none.

Each must open, follow in its chain, be one that its author may make, and be possible; each signature must
hold.  A revocation refuses nothing here, and what depends on which device knew of which first does not
either: taking over must give the same journal in whatever order the parts arrive.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from heapq import merge
from operator import attrgetter
from typing import Final, Protocol

from fieldapp.desk.trust.signatures import Signatures, signatures_in
from fieldapp.desk.trust.witness import Seen, remember
from fieldapp.desk.workplace import Workplace
from fieldapp.record.attesting import StretchSigned
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.objections import lasting_objections
from fieldapp.record.setup import Person, ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.store.arriving import EVERYTHING, Arrival, NotAnEntry
from fieldapp.store.journal import Journal
from fieldapp.store.kept import KeptJournal
from fieldapp.store.problems import EntryRefused

# What is wrong wherever the entry is read: who may make it, what it changes, what cannot be.
_ALWAYS: Final = frozenset({
    "no-setup", "unknown-person", "other-role", "unknown-entry", "decision", "other-kind", "no-parent",
    "seen-later", "until-past", "outside-base",
})  # fmt: skip
# What says who may make the entries after it, and what can be.
_TELLING: Final = (ProjectSetup.KIND, ShaftScheduled.KIND, Amend.KIND)
_NAMED: Final = ("seq", "device", "kind", "author")


class Beside(Protocol):
    """What is taken over together with entries."""

    def before_commit(self, arrival: Arrival) -> None:
        """Look at the journal as it will be, and what is new in it; what is raised keeps it out.

        A journal that had to be opened anew asks a second time.
        """
        ...

    def committed(self) -> None:
        """Hear that the entries are durable."""
        ...


def receive(
    place: Workplace, sealed: Iterable[bytes], beside: Beside | None = None, *, own_came_back: bool = False
) -> Arrival:
    """Take over sealed entries of other devices, all or none.

    Each chain comes in its order.  Entries that are here already are left out.
    ``beside`` is asked when nothing speaks against them any more, and told once they are durable.  With
    ``own_came_back`` entries of this device that were lost here come too, and its chain is continued no more.

    Raises EntryRefused with the device, the number, the author and the reason of the first entry that may
    not be taken over; Forked, BrokenLink, RepeatedId, OwnChainElsewhere, AnotherProject or another
    StoreProblem.  Then nothing was written.
    """
    journal = place.writer()
    found: list[Signatures] = []

    def judge(arrival: Arrival) -> None:
        found.append(signatures_in(journal, arrival.breaks, arrival.has))
        _refuse_first(journal, arrival, found[-1])
        if beside is not None:
            beside.before_commit(arrival)

    try:
        arrival = journal.receive(sealed, judge, own_came_back=own_came_back)
    except NotAnEntry as problem:
        raise _unopened(problem) from None
    if beside is not None:
        beside.committed()
    if arrival.new:
        remember(place.folder, place.project_id, last_seen(found[-1]), signed_places(journal))
    return arrival


def wrongly_made(journal: KeptJournal, arrival: Arrival = EVERYTHING) -> Iterator[tuple[Entry, str]]:
    """Entries, out of those that arrived, that cannot stand, and why.

    Somebody may make an entry when any set-up before it gave him a role for that; a set-up that comes first
    speaks for itself, unless a journal that was there before has one.
    """
    seed = next((each.values for each in _there_before(journal, arrival, (ProjectSetup.KIND,))), None)
    so_far = _SoFar(journal, [seed] if isinstance(seed, ProjectSetup) else [])
    there = _there_before(journal, arrival, _TELLING)
    for each in merge(there, journal.added(arrival), key=attrgetter("order")):
        why = so_far.against(each) if arrival.has(each) else ""
        if why:
            yield each, why
        so_far.take(each)


def _there_before(journal: KeptJournal, arrival: Arrival, kinds: tuple[str, ...]) -> Iterator[Entry]:
    if arrival.first:
        yield from (each for each in journal.of_kinds(kinds) if not arrival.has(each))


def last_seen(found: Signatures) -> dict[str, Seen]:
    """The last sound signature of every chain that has one."""
    seen = {}
    for device, stretches in found.sound.items():
        last = max((each.entry for each in stretches), key=lambda each: each.seq)
        seen[device] = Seen(last.seq, last.hash, found.fingerprint(device))
    return seen


def signed_places(journal: KeptJournal) -> Iterable[Entry]:
    """The entries that say how far a chain was signed."""
    return journal.of_kinds((StretchSigned.KIND,))


def _refuse_first(journal: Journal, arrival: Arrival, found: Signatures) -> None:
    for place in arrival.breaks:
        for entry in journal.at_places([(place.device, place.seq)]):
            raise _refused(entry, f"{place.what}.")
    for entry, why in (*found.wrong, *wrongly_made(journal, arrival)):
        raise _refused(entry, why)


def _refused(entry: Entry, why: str) -> EntryRefused:
    return EntryRefused(
        seq=entry.seq, device=entry.device, kind=entry.kind, author=entry.draft.author, why=why
    )


def _unopened(problem: NotAnEntry) -> EntryRefused:
    """The refusal of bytes that do not open, named as far as they can be read."""
    said = _readable(problem.sealed)
    unnamed = f"(number {problem.number} of those sent)"
    names = {name: str(said.get(name, unnamed))[:120] for name in _NAMED}
    return EntryRefused(**names, why=f"{str(problem).rstrip('.')}.")


def _readable(sealed: bytes) -> dict[str, object]:
    try:
        body = json.loads(sealed)
    except (ValueError, RecursionError):
        return {}
    return body if isinstance(body, dict) else {}


@dataclass
class _SoFar:
    """What stands before an entry in the order of folding: set-ups, roles that were given, shafts."""

    journal: KeptJournal
    setups: list[ProjectSetup]
    plans: dict[str, ShaftScheduled] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    merged: Line[ProjectSetup] | None = None

    def __post_init__(self) -> None:
        for each in self.setups:
            self._give_roles(each)

    def take(self, entry: Entry) -> None:
        """Go past an entry."""
        values = entry.values
        if isinstance(values, ProjectSetup):
            self.setups.append(values)
            self._give_roles(values)
            self.merged = Line(entry, self._merged(values), entry.draft.observed_at)
        plan = values.says if isinstance(values, Amend) else values
        if isinstance(plan, ShaftScheduled) and entry.shaft is not None:
            widest = self.plans.get(entry.shaft, plan)
            self.plans[entry.shaft] = max(widest, plan, key=lambda each: each.diameter.si)

    def against(self, entry: Entry) -> str:
        """What speaks against an entry here, empty when nothing does."""
        if isinstance(entry.values, ProjectSetup):
            return self._against_setup(entry, entry.values)
        return _says(self._record(entry, self.merged), entry)

    def _against_setup(self, entry: Entry, values: ProjectSetup) -> str:
        """A set-up is held against each one before it: somebody may have pinned his own from that one."""
        if not self.setups:
            return _says(self._record(entry, None), entry)
        why = ""
        for each in reversed(self.setups):
            why = _says(self._record(entry, Line(entry, each, entry.draft.observed_at)), entry)
            if not why:
                break
        return why

    def _record(self, entry: Entry, setup: Line[ProjectSetup] | None) -> ProjectRecord:
        """As much of the record as is asked about one entry: the set-up, its shaft, and what it changes."""
        lines = self._changed(entry)
        shafts = {}
        if entry.shaft is not None:
            shafts = {entry.shaft: ShaftRecord(entry.shaft, self.plans.get(entry.shaft), lines, ())}
        return ProjectRecord(entry.draft.project, setup, (), shafts, () if entry.shaft else lines)

    def _changed(self, entry: Entry) -> tuple[Line[Values], ...]:
        if not isinstance(entry.values, Amend | Strike):
            return ()
        target = self.journal.entry(entry.values.target)
        if target is None or target.shaft != entry.shaft or isinstance(target.values, Amend | Strike):
            return ()
        parents = (self.journal.entry(each) for each in entry.draft.parents)
        changes = tuple(
            each
            for each in parents
            if each is not None
            and isinstance(each.values, Amend | Strike)
            and each.values.target == target.id
        )
        return (Line(target, target.values, target.draft.observed_at, changes),)

    def _give_roles(self, setup: ProjectSetup) -> None:
        for each in setup.people:
            had = self.people.get(each.name, each).roles
            self.people[each.name] = Person(each.name, tuple(dict.fromkeys((*had, *each.roles))))

    def _merged(self, setup: ProjectSetup) -> ProjectSetup:
        """A set-up whose roster holds everybody with all roles that any set-up so far gave."""
        return replace(setup, people=tuple(self.people.values()))


def _says(record: ProjectRecord, entry: Entry) -> str:
    found = lasting_objections(record, entry.draft)
    return " ".join(each.says for each in found if each.code in _ALWAYS)
