"""The shaft record and the project record: what the journal says now, ready to be asked."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, TypeVar

from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line, in_order, lines_of
from fieldapp.record.hole import ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.reach import Reach, reach_of, reached_further
from fieldapp.record.setup import Instrument, ProjectSetup, ShaftScheduled
from fieldapp.record.shafts import Shafts

K = TypeVar("K", bound=Values)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class ShaftRecord:
    """What the journal says of one shaft.  ``lines`` stand in the order of folding.

    A record never changes, so the lines by their kind are found once: every rule asks for some of them.
    """

    id: str
    scheduled: ShaftScheduled | None
    lines: tuple[Line[Values], ...]
    entries: tuple[Entry, ...]
    _by_kind: dict[type, list[Line[Any]]] = field(init=False, default_factory=dict, compare=False, repr=False)

    def all_of(self, kind: type[K]) -> list[Line[K]]:
        """Lines of a kind, also those that do not count, in the order of folding."""
        if not self._by_kind:
            found: dict[type, list[Line[Any]]] = {}
            for each in self.lines:
                found.setdefault(type(each.values), []).append(each)
            self._by_kind.update(found)  # at once: another thread may be asking
        return self._by_kind.get(kind, [])

    def of(self, kind: type[K]) -> tuple[Line[K], ...]:
        """Lines of a kind that count, by the time they were observed."""
        found = [each for each in self.all_of(kind) if each.counts]
        return tuple(sorted(found, key=lambda each: (each.observed_at, each.original.order)))

    def last(self, kind: type[K]) -> Line[K] | None:
        """The latest line of a kind that counts, or None."""
        found = self.of(kind)
        return found[-1] if found else None

    @property
    def contested(self) -> tuple[Line[Values], ...]:
        """Lines that two people amended without knowing of each other."""
        return tuple(each for each in self.lines if each.contested)

    @property
    def base_reached(self) -> Line[ExcavationStage] | None:
        """The latest stage at which the base was reached, or None."""
        found = [each for each in self.of(ExcavationStage) if each.values.drilled_depth is not None]
        return found[-1] if found else None

    @property
    def concrete_started_at(self) -> datetime | None:
        """When the first charge went in, or None while the hole is open.

        Concrete does not leave the hole because two people disagree on when it came: the earliest of what
        they say counts.
        """
        found = [each for each in self.all_of(ConcreteStarted) if not each.struck]
        said = [each.observed_at for each in found]
        disputed = [change.values for each in found if each.contested for change in each.changes]
        said += [each.observed_at for each in disputed if isinstance(each, Amend) and each.observed_at]
        return min(said, default=None)

    @property
    def digest(self) -> str:
        """SHA-256 over the hashes of all its entries in the order of folding."""
        return digest_of(self.entries)


@dataclass(frozen=True, slots=True)
class ProjectRecord:
    """What the journal says of a project: set-up, instruments by label, shafts by id, in the order of names.

    ``entries`` are those of the project as a whole, with ``lines`` folded from them.  ``reach`` is what the
    rest of the journal says to any one shaft.  A record never changes, so what it has worked out over all
    shafts once it keeps.
    """

    id: str
    setup: Line[ProjectSetup] | None
    instruments: tuple[Line[Instrument], ...]
    shafts: Mapping[str, ShaftRecord]
    lines: tuple[Line[Values], ...]
    entries: tuple[Entry, ...] = ()
    reach: Reach = field(default_factory=Reach)
    # not handed on: a record made out of this one by `replace` begins with nothing worked out
    kept: dict[str, Any] = field(init=False, default_factory=dict, compare=False, repr=False)

    def once(self, key: str, work_out: Callable[[], T]) -> T:
        """What ``work_out`` gives, worked out the first time that this record is asked for ``key``."""
        if key not in self.kept:
            self.kept[key] = work_out()
        found: T = self.kept[key]
        return found

    def checks_of(self, label: str) -> tuple[Line[Instrument], ...]:
        """Checks of one instrument, by the time they were made."""
        return tuple(each for each in self.instruments if each.values.label == label)

    def shaft(self, shaft_id: str) -> ShaftRecord | None:
        """The record of a shaft, or None."""
        return self.shafts.get(shaft_id)


def digest_of(entries: Iterable[Entry]) -> str:
    """SHA-256 over entry hashes in the order of folding, in hex."""
    digest = hashlib.sha256()
    for each in in_order(entries):
        digest.update(bytes.fromhex(each.hash))
    return digest.hexdigest()


def shaft_record(shaft_id: str, entries: Iterable[Entry]) -> ShaftRecord:
    """Fold the entries of one shaft."""
    mine = tuple(in_order(each for each in entries if each.draft.shaft == shaft_id))
    lines = lines_of(mine)
    planned = [each.values for each in lines if isinstance(each.values, ShaftScheduled) and each.counts]
    return ShaftRecord(shaft_id, planned[-1] if planned else None, lines, mine)


def project_record(project_id: str, entries: Iterable[Entry]) -> ProjectRecord:
    """Fold a whole journal.  The latest set-up in the order of folding holds."""
    everything = list(entries)
    by_shaft: dict[str | None, list[Entry]] = defaultdict(list)
    for each in everything:
        by_shaft[each.draft.shaft].append(each)
    own = by_shaft.pop(None, [])
    names = [name for name in by_shaft if name is not None]
    shafts = Shafts(names, lambda name, _last: shaft_record(name, by_shaft[name]), {})
    return folded_project(project_id, own, shafts, reach_of(everything))


def folded_project(
    project_id: str, entries: Iterable[Entry], shafts: Mapping[str, ShaftRecord], reach: Reach
) -> ProjectRecord:
    """Fold the entries of the project as a whole, and put its shafts beside them."""
    mine = tuple(in_order(entries))
    lines = lines_of(mine)
    setups = [each for each in lines if isinstance(each.values, ProjectSetup) and each.counts]
    instruments = [each for each in lines if isinstance(each.values, Instrument) and each.counts]
    instruments.sort(key=lambda each: (each.observed_at, each.original.order))
    return ProjectRecord(
        project_id,
        setups[-1] if setups else None,  # type: ignore[arg-type]  # narrowed above
        tuple(instruments),  # type: ignore[arg-type]  # narrowed above
        shafts,
        lines,
        mine,
        reach,
    )


def with_entry(project: ProjectRecord, entry: Entry) -> ProjectRecord:
    """The record with one more entry.

    Only the shaft that the entry is about is folded anew, or what belongs to the project as a whole.
    """
    name = entry.draft.project
    if entry.shaft is None:
        reach = reached_further(project.reach, entry, ())
        return folded_project(name, (*project.entries, entry), project.shafts, reach)
    before = project.shaft(entry.shaft)
    mine = shaft_record(entry.shaft, (*(before.entries if before else ()), entry))
    reach = reached_further(project.reach, entry, mine.entries)
    return with_shaft(replace(project, id=name, reach=reach), mine)


def with_shaft(project: ProjectRecord, shaft: ShaftRecord) -> ProjectRecord:
    """The record with another state of one shaft."""
    shafts = project.shafts
    if isinstance(shafts, Shafts):
        return replace(project, shafts=shafts.with_one(shaft.id, shaft, project.reach.last))
    return replace(project, shafts=dict(sorted({**shafts, shaft.id: shaft}.items())))
