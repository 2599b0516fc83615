"""A project of many shafts in memory: the sample shafts again and again, each under its own name and day.

Every entry is sealed into its device's chain, decisions rest on what was there, and times, identifiers
and targets are the copy's own; what the shafts show is what the sample logs say, with a fluid that drifts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from fieldapp.criteria.basis import basis_on
from fieldapp.desk.given_entries import GivenEntries
from fieldapp.desk.office import begin_project
from fieldapp.desk.papers.attached import StandingClock
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.column import FluidTest
from fieldapp.record.decisions import Amend, Basis, Strike, Withdrawal
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.reading import Reading

SAMPLES = Path(__file__).parents[2] / "sample_logs"
PER_PIER = 10
PER_DAY = 4
PRINTED = datetime(2027, 1, 4, 15, 30, tzinfo=UTC)


@dataclass
class MemoryJournal:
    """The chains of a journal that grows, nowhere on disk."""

    made: list[Entry] = field(default_factory=list)
    heads: dict[str, ChainHead] = field(default_factory=dict)

    def add(self, draft: Draft, device: str) -> Entry:
        entry = seal(draft, self.heads.get(device, ChainHead(device)), len(self.made) + 1)
        self.made.append(entry)
        self.heads[device] = ChainHead(device, entry.seq, entry.hash)
        return entry


def place_of(journal: MemoryJournal, printed_at: datetime = PRINTED) -> Workplace:
    """The project of a journal in memory, at a moment that stands still."""
    return Workplace(Path("nowhere"), GivenEntries(tuple(journal.made)), StandingClock(printed_at), "")


def many_shafts(entries: Iterable[Entry], templates: Sequence[str], count: int) -> MemoryJournal:
    """A journal with the project entries of ``entries`` and ``count`` copies of these shafts in turn."""
    everything = list(entries)
    journal = MemoryJournal()
    for each in everything:
        if each.shaft is None:
            journal.add(each.draft, each.device)
    for number in range(count):
        template = templates[number % len(templates)]
        name = f"Q{number // PER_PIER + 1}-{number % PER_PIER + 1}"
        _copy([each for each in everything if each.shaft == template], journal, name, number)
    return journal


def _copy(entries: list[Entry], journal: MemoryJournal, name: str, number: int) -> None:
    later = timedelta(days=number // PER_DAY)
    ids = {each.id: f"01900000-0000-7000-8000-{len(journal.made) + i:012x}" for i, each in enumerate(entries)}
    own: list[Entry] = []
    for each in entries:
        basis = basis_on(journal.heads, own)
        draft = replace(
            each.draft,
            id=ids[each.id],
            shaft=name,
            values=_moved(each.values, later, ids, basis, number),
            observed_at=each.draft.observed_at + later,
            recorded_at=each.draft.recorded_at + later,
            parents=tuple(ids.get(parent, parent) for parent in each.draft.parents),
        )
        own.append(journal.add(draft, each.device))


def _moved(value: Any, later: timedelta, ids: dict[str, str], basis: Basis, number: int) -> Any:
    if isinstance(value, datetime):
        return value + later
    if isinstance(value, Basis):
        return basis
    if isinstance(value, tuple):
        return tuple(_moved(each, later, ids, basis, number) for each in value)
    if not is_dataclass(value) or isinstance(value, Reading):
        return value
    changed = {
        each.name: _moved(getattr(value, each.name), later, ids, basis, number) for each in fields(value)
    }
    if isinstance(value, Amend | Strike):
        changed["target"] = ids[value.target]
    if isinstance(value, Withdrawal):
        changed["release"] = ids[value.release]
    if isinstance(value, FluidTest) and value.density is not None:
        drift = Decimal(number % 9) / 20 if value.density.unit == "pcf" else Decimal(number % 9) / 1000
        changed["density"] = Reading(str(Decimal(value.density.read) + drift), value.density.unit)
    return replace(value, **changed)


def sample_entries(name: str, folder: Path) -> tuple[Entry, ...]:
    """The journal of a sample project, typed in from its plain logs as a person would."""
    begin_project(folder)
    with open_project(folder, device="tablet test") as place:
        add_logs(place, read_logs(sorted((SAMPLES / name).glob("*.log"))))
        return tuple(place.entries())
