"""Entries from elsewhere, held against everything that can be held against them, all taken over or none.

Each must open, follow in its chain, be one that its author may make, and be possible; each signature must
hold.  A revocation refuses nothing here, and what depends on which device knew of which first does not
either: taking over must give the same journal in whatever order the parts arrive.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Final, Protocol

from fieldapp.desk.trust.signatures import Signatures, signatures_in
from fieldapp.desk.trust.witness import Seen, remember
from fieldapp.desk.workplace import Workplace
from fieldapp.record.codec import UnknownKind
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import DamagedEntry, Entry, open_sealed
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.objections import lasting_objections
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import Person, ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.store.chains import Written
from fieldapp.store.problems import EntryRefused

# What is wrong wherever the entry is read: who may make it, what it changes, what cannot be.
_ALWAYS: Final = frozenset({
    "no-setup", "unknown-person", "other-role", "unknown-entry", "decision", "other-kind", "no-parent",
    "seen-later", "until-past", "outside-base",
})  # fmt: skip
_NAMED: Final = ("seq", "device", "kind", "author")


class Beside(Protocol):
    """What is taken over together with entries."""

    def before_commit(self, everything: tuple[Entry, ...], added: tuple[Entry, ...]) -> None:
        """Look at the whole journal as it will be, and what is new in it; what is raised keeps it out.

        A journal that had to be opened anew asks a second time.
        """
        ...

    def committed(self) -> None:
        """Hear that the entries are durable."""
        ...


def receive(
    place: Workplace, sealed: Iterable[bytes], beside: Beside | None = None, *, own_came_back: bool = False
) -> Written:
    """Take over sealed entries of other devices, all or none.

    Entries that are here already are left out.  ``beside`` is asked when nothing speaks against them any
    more, and told once they are durable.  With ``own_came_back`` entries of this device that were lost
    here come too, and its chain is continued no more.

    Raises EntryRefused with the device, the number, the author and the reason of the first entry that may
    not be taken over; Forked, BrokenLink, RepeatedId, OwnChainElsewhere, AnotherProject or another
    StoreProblem.  Then nothing was written.
    """
    arrived = tuple(sealed)
    found: list[Signatures] = []
    whole: list[tuple[Entry, ...]] = []

    def judge(everything: tuple[Entry, ...], added: tuple[Entry, ...]) -> None:
        ids = {each.id for each in added}
        found.append(signatures_in(everything, ids))
        whole.append(everything)
        _refuse_first(everything, ids, found[-1])
        if beside is not None:
            beside.before_commit(everything, added)

    try:
        written = place.writer().receive(arrived, judge, own_came_back=own_came_back)
    except (DamagedEntry, UnknownKind, Impossible) as problem:
        raise _unopened(arrived) or problem from None
    if beside is not None:
        beside.committed()
    if written.added:
        remember(place.folder, place.project_id, last_seen(found[-1]), whole[-1])
    return written


def wrongly_made(everything: Collection[Entry], only: Collection[str]) -> Iterator[tuple[Entry, str]]:
    """Entries, out of those with ids in ``only``, that cannot stand, and why.

    ``everything`` is the journal in the order of folding.  Somebody may make an entry when any set-up before
    it gave him a role for that; a set-up that comes first speaks for itself, unless a journal that was there
    before (entries not in ``only``) has one.
    """
    known = (each.values for each in everything if each.id not in only)
    seed = next((each for each in known if isinstance(each, ProjectSetup)), None)
    so_far = _SoFar({each.id: each for each in everything}, [seed] if seed else [])
    for each in everything:
        if each.id in only:
            why = so_far.against(each)
            if why:
                yield each, why
        so_far.take(each)


def last_seen(found: Signatures) -> dict[str, Seen]:
    """The last sound signature of every chain that has one."""
    seen = {}
    for device, stretches in found.sound.items():
        last = max((each.entry for each in stretches), key=lambda each: each.seq)
        seen[device] = Seen(last.seq, last.hash, found.fingerprint(device))
    return seen


def _refuse_first(everything: tuple[Entry, ...], added: Collection[str], found: Signatures) -> None:
    by_place = {(each.device, each.seq): each for each in everything if each.id in added}
    for place in found.breaks:
        if (place.device, place.seq) in by_place:
            raise _refused(by_place[place.device, place.seq], f"{place.what}.")
    for entry, why in (*found.wrong, *wrongly_made(everything, added)):
        raise _refused(entry, why)


def _refused(entry: Entry, why: str) -> EntryRefused:
    return EntryRefused(
        seq=entry.seq, device=entry.device, kind=entry.kind, author=entry.draft.author, why=why
    )


def _unopened(arrived: Iterable[bytes]) -> EntryRefused | None:
    """The refusal of the first bytes that do not open, named as far as they can be read."""
    for number, each in enumerate(arrived, start=1):
        try:
            open_sealed(each)
        except (DamagedEntry, UnknownKind, Impossible) as problem:
            said = _readable(each)
            names = {name: str(said.get(name, f"(number {number} of those sent)"))[:120] for name in _NAMED}
            return EntryRefused(**names, why=f"{str(problem).rstrip('.')}.")
    return None


def _readable(sealed: bytes) -> dict[str, object]:
    try:
        body = json.loads(sealed)
    except (ValueError, RecursionError):
        return {}
    return body if isinstance(body, dict) else {}


@dataclass
class _SoFar:
    """What stands before an entry in the order of folding: set-ups, roles that were given, shafts."""

    by_id: dict[str, Entry]
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
        target = self.by_id.get(entry.values.target)
        if target is None or target.shaft != entry.shaft or isinstance(target.values, Amend | Strike):
            return ()
        parents = (self.by_id.get(each) for each in entry.draft.parents)
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
