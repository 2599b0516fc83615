"""The shaft record and the project record: what the journal says now, ready to be asked."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, TypeVar

from fieldapp.record.attesting import ATTESTING
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line, in_order, lines_of
from fieldapp.record.hole import ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.setup import Instrument, ProjectSetup, ShaftScheduled

K = TypeVar("K", bound=Values)
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class ShaftRecord:
    """What the journal says of one shaft.  ``lines`` stand in the order of folding."""

    id: str
    scheduled: ShaftScheduled | None
    lines: tuple[Line[Values], ...]
    entries: tuple[Entry, ...]

    def of(self, kind: type[K]) -> tuple[Line[K], ...]:
        """Lines of a kind that count, by the time they were observed."""
        found = [each for each in self.lines if isinstance(each.values, kind) and each.counts]
        return tuple(sorted(found, key=lambda each: (each.observed_at, each.original.order)))  # type: ignore[arg-type]

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
        found = [each for each in self.lines if isinstance(each.values, ConcreteStarted) and not each.struck]
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
    """What the journal says of a project: set-up, instruments by label, shafts by id.

    A record never changes, so what it has worked out over all shafts once it keeps.
    """

    id: str
    setup: Line[ProjectSetup] | None
    instruments: tuple[Line[Instrument], ...]
    shafts: dict[str, ShaftRecord]
    lines: tuple[Line[Values], ...]
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
    return _folded(shaft_id, [each for each in entries if each.draft.shaft == shaft_id])


def _folded(shaft_id: str, entries: list[Entry]) -> ShaftRecord:
    mine = tuple(in_order(entries))
    lines = lines_of(mine)
    planned = [each.values for each in lines if isinstance(each.values, ShaftScheduled) and each.counts]
    return ShaftRecord(shaft_id, planned[-1] if planned else None, lines, mine)


def _by_name(shaft: tuple[str | None, object]) -> str:
    return shaft[0] or ""


def project_record(project_id: str, entries: Iterable[Entry]) -> ProjectRecord:
    """Fold a whole journal.  The latest set-up in the order of folding holds."""
    by_shaft: dict[str | None, list[Entry]] = defaultdict(list)
    for each in entries:
        by_shaft[each.draft.shaft].append(each)
    lines = lines_of(by_shaft.pop(None, []))
    setups = [each for each in lines if isinstance(each.values, ProjectSetup) and each.counts]
    instruments = [each for each in lines if isinstance(each.values, Instrument) and each.counts]
    instruments.sort(key=lambda each: (each.observed_at, each.original.order))
    shafts = {name: _folded(name, mine) for name, mine in sorted(by_shaft.items(), key=_by_name) if name}
    return ProjectRecord(
        project_id,
        setups[-1] if setups else None,  # type: ignore[arg-type]  # narrowed above
        tuple(instruments),  # type: ignore[arg-type]  # narrowed above
        shafts,
        lines,
    )


def with_entry(project: ProjectRecord, entry: Entry, entries: Iterable[Entry]) -> ProjectRecord:
    """The record with one more entry; ``entries`` are all, the new one among them.

    Only the shaft that the entry is about is folded anew, or everything when it is about the project; what
    vouches for other entries touches no shaft.
    """
    if isinstance(entry.values, ATTESTING):
        return replace(project, lines=lines_of(each for each in entries if each.shaft is None))
    if entry.shaft is None:
        return project_record(entry.draft.project, entries)
    before = project.shafts.get(entry.shaft)
    mine = shaft_record(entry.shaft, (*(before.entries if before else ()), entry))
    shafts = {**project.shafts, entry.shaft: mine}
    in_turn = shafts if before else dict(sorted(shafts.items()))
    return replace(project, id=entry.draft.project, shafts=in_turn)
