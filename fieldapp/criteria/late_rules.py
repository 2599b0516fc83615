"""Evidence that was entered or changed long after it was seen, or after concrete had come.

The record may be put right at any time, and what it says then holds.  But a base is not called clean on
what was written, amended or struck when nobody could look again: that is named, and the engineer decides.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import chain
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.fluid_limits import last_set
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import (
    Quantity,
    at_most,
    clock,
    joined,
    longest_within,
    sentence,
    source_of,
    term,
)
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import latest_round
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting, Event, ExcavationStage, StandingWater
from fieldapp.record.kinds import Values
from fieldapp.record.said import said, sayable
from fieldapp.record.setup import ShaftScheduled

LATE: Final = Requirement("late entries", Group.EVIDENCE, 2, "Entries were made soon after the observation.")
REQUIREMENTS: Final = (LATE,)

# What the findings on base, fluid and head rest on.
_EVIDENCE: Final = (
    SoundingRound,
    BaseSighting,
    StandingWater,
    CleanoutPass,
    ExcavationStage,
    Event,
    FluidTest,
    HeadReading,
)
# What shows the base itself: written down after concrete it cannot be looked at again.
_SHOWS_BASE: Final = (SoundingRound, BaseSighting, StandingWater)


def late_entries(look: Look) -> Finding:
    """Entries made, and evidence changed, long after the observation or after concrete had started.

    They are named.  The requirement is not shown only where base, fluid or head rests on one of them: a late
    note or delay takes nothing from the evidence (judgment).
    """
    asked = look.limit("late_entry_after")
    if asked is None:
        return LATE.not_asked()
    to_be_entered = LATE.to_be_entered(asked)
    if to_be_entered or asked.reading is None:
        return to_be_entered or LATE.not_asked()
    span = look.phrases.say(Quantity.HOURS, asked.reading.si)
    most = longest_within(asked.reading.si)
    late = [each for each in look.shaft.lines if _entered_late(each, most)]
    against = _against(look, late, most)
    lines = {each.id: each for each in (*late, *chain(*against.values()))}
    rest = {
        "measured": said("{count} late", count=len(lines)),
        "limit": at_most(span, strict=False),
        "entries": tuple(name for each in lines.values() for name in each.entries),
        "source": source_of(asked),
    }
    if any(against.values()):
        clauses = joined(
            (said(how, span=span, entries=_named(each)) for how, each in against.items() if each), "; "
        )
        return LATE.not_shown(sentence(said("{clauses}.", clauses=clauses)), Work.ASK_ENGINEER, **rest)
    if late:
        names = _named(late)
        says = said("Entered over {span} later, not carrying the base: {entries}.", span=span, entries=names)
        return LATE.met(says, **rest)
    return LATE.met(said("No entry was made late."), **rest)


def _against(look: Look, late: list[Line[Values]], most: timedelta) -> dict[str, list[Line[Values]]]:
    """Lines that a finding on base, fluid or head rests on, by how they came late."""
    carriers = _carriers(look)
    return {
        sayable("entered over {span} later: {entries}"): [each for each in late if each.id in carriers],
        sayable("entered after concrete had started: {entries}"): [
            each for each in look.shaft.lines if each not in late and _entered_after_concrete(look, each)
        ],
        sayable("changed over {span} later or after concrete had started: {entries}"): [
            each for each in look.shaft.lines if _changed_late(look, each, most)
        ],
    }


def _named(lines: list[Line[Values]]) -> str:
    return joined(
        said("{kind} of {time}", kind=term(each.original.kind), time=clock(each.observed_at))
        for each in lines
    )


def _after(line: Line[Values], entry: Entry) -> timedelta:
    """The time from the observation to an entry about it, each by the clock of its device.

    Where the time of the observation was itself amended, the earlier one counts.
    """
    seen_at = min(line.observed_at, line.original.draft.observed_at)
    return entry.draft.recorded_at - seen_at


def _entered_late(line: Line[Values], most: timedelta) -> bool:
    return not line.struck and _after(line, line.original) > most


def _entered_after_concrete(look: Look, line: Line[Values]) -> bool:
    start = look.concrete_at
    if start is None or line.struck or not isinstance(line.values, _SHOWS_BASE):
        return False
    return line.observed_at <= start < line.original.draft.recorded_at


def _changed_late(look: Look, line: Line[Values], most: timedelta) -> bool:
    start = look.concrete_at
    if not line.changes:
        return False
    if isinstance(line.original.values, ShaftScheduled):
        return start is not None and _asks_otherwise(line, start)
    if not isinstance(line.original.values, _EVIDENCE):
        return False
    if start is not None and min(line.observed_at, line.original.draft.observed_at) > start:
        return False
    return any(
        _after(line, each) > most or (start is not None and _made_after(each, start)) for each in line.changes
    )


def _made_after(entry: Entry, start: datetime) -> bool:
    return entry.draft.recorded_at > start


def _asks_otherwise(line: Line[Values], start: datetime) -> bool:
    """Whether a plan was struck or changed after concrete in more than its place and design numbers."""
    plan = line.original.values
    for each in line.changes:
        says = each.values.says if isinstance(each.values, Amend) else None
        if _made_after(each, start) and (says is None or _hole(says) != _hole(plan)):
            return True
        plan = says or plan
    return False


def _hole(plan: Values) -> Values:
    return replace(plan, design=None, location="-") if isinstance(plan, ShaftScheduled) else plan


def _carriers(look: Look) -> set[str]:
    found = last_set(look)
    lines: list[Line[Values] | None] = [latest_round(look), *(found.samples if found else ())]
    for kind in (BaseSighting, StandingWater, HeadReading):
        lines += look.lines(kind)[-1:]
    return {each.id for each in lines if each is not None}
