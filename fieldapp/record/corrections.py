"""Which entries say that a clock was corrected: what they say counts for every shaft of their device."""

from __future__ import annotations

from collections.abc import Container, Iterable

from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Event
from fieldapp.record.kinds import Values
from fieldapp.record.words import Happening


def correcting(entries: Iterable[Entry]) -> set[str]:
    """Identifiers of the events that correct a clock, with everything that changes them."""
    events: set[str] = set()
    correct: set[str] = set()
    changes: list[tuple[str, str]] = []
    made_so: set[str] = set()
    for each in entries:
        if isinstance(each.values, Amend | Strike):
            changes.append((each.id, each.values.target))
            if isinstance(each.values, Amend) and corrects_clock(each.values.says):
                made_so.add(each.values.target)
        elif isinstance(each.values, Event):
            events.add(each.id)
            if corrects_clock(each.values):
                correct.add(each.id)
    correct |= events & made_so
    return correct | {name for name, target in changes if target in correct}


def bears_on_corrections(entry: Entry, known: Container[str]) -> bool:
    """Whether an entry corrects a clock, or changes one of those that do."""
    values = entry.values
    if isinstance(values, Amend | Strike) and values.target in known:
        return True
    return corrects_clock(values.says if isinstance(values, Amend) else values)


def corrects_clock(values: Values) -> bool:
    """Whether this says that the clock of its device was corrected."""
    return isinstance(values, Event) and values.what is Happening.CLOCK_CORRECTED
