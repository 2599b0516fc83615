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
    everything = list(entries)
    events = {each.id for each in everything if _says_so(each.values)}
    events |= {
        each.values.target
        for each in everything
        if isinstance(each.values, Amend) and _says_so(each.values.says)
    }
    return {
        each.id
        for each in everything
        if each.id in events or (isinstance(each.values, Amend | Strike) and each.values.target in events)
    }


def bears_on_corrections(entry: Entry, known: Container[str]) -> bool:
    """Whether an entry corrects a clock, or changes one of those that do."""
    values = entry.values
    if isinstance(values, Amend | Strike) and values.target in known:
        return True
    return _says_so(values.says if isinstance(values, Amend) else values)


def _says_so(values: Values) -> bool:
    return isinstance(values, Event) and values.what is Happening.CLOCK_CORRECTED
