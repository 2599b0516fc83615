"""The decision on concrete, and whether it still holds.

The last decision in the order of folding stands.  A release lapses when its time is over, and at once when
new evidence matters: when any requirement comes out worse with the journal as it is now than with the
journal at the positions that the release rests on.  Both are looked at from the same moment, the present
one, so that the passing of time alone (a reading that grows old in both) makes nothing lapse but ``until``.
Once concrete has started the moment is its start, and the journal is cut at the entry that says so:
what was recorded later cannot make a release lapse that held when concrete started.

Only decisions of somebody who was resident engineer on the roster when deciding count.  Two of them that do
not know of each other leave concrete on hold until the engineer decides again.  So does a release that rests
on entries that the journal does not have, or that passes over something not met or not shown without the
reason that the acceptance set asks for: it never was a release, so it is held, not lapsed.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final, TypeAlias

from fieldapp.criteria.basis import entries_for, not_in_journal, saw
from fieldapp.criteria.finding import Finding, Outcome, ReleaseState, ReleaseStatus
from fieldapp.criteria.phrasing import clock, sentence
from fieldapp.criteria.roles import made_by
from fieldapp.criteria.rules import OPEN_HOLE_RULES, apply, look_at
from fieldapp.record.attesting import ATTESTING
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import DECISIONS, Hold, Release, Withdrawal
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line, in_order
from fieldapp.record.kinds import Values
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, project_record
from fieldapp.record.words import Role

Decision: TypeAlias = Line[Release] | Line[Hold] | Line[Withdrawal]

_NOT_SEEN: Final = (*DECISIONS, *ATTESTING)  # they observe nothing
_BADNESS: Final = {Outcome.MET: 0, Outcome.NOT_ASKED: 0, Outcome.NOT_SHOWN: 1, Outcome.NOT_MET: 2}


def release_state(
    project: ProjectRecord, shaft: ShaftRecord, at: datetime, now: tuple[Finding, ...] | None = None
) -> ReleaseState:
    """Where the decision on concrete stands at a moment (at the start of concrete, once it is in).

    ``now`` are the findings of the open-hole rules at that moment, where they are worked out already.
    """
    heads = _heads(_decisions(project, shaft))
    if not heads:
        return ReleaseState(ReleaseStatus.NONE)
    last = heads[-1]
    if len(heads) > 1 and not all(isinstance(each.values, Hold) for each in heads):
        reason = "Two decisions on concrete do not know of each other; the resident engineer decides again."
        return ReleaseState(ReleaseStatus.HELD, reason=reason, entry=last.id, author=_author(last))
    if isinstance(last.values, Hold):
        return ReleaseState(
            ReleaseStatus.HELD, reason=last.values.reason, entry=last.id, author=_author(last)
        )
    if isinstance(last.values, Withdrawal):
        return ReleaseState(
            ReleaseStatus.WITHDRAWN, reason=last.values.reason, entry=last.id, author=_author(last)
        )
    return _released(project, shaft, at, last, now)


def _released(
    project: ProjectRecord, shaft: ShaftRecord, at: datetime, line: Decision, now: tuple[Finding, ...] | None
) -> ReleaseState:
    release = line.values
    assert isinstance(release, Release)
    until = _until(project, shaft, line, release)
    start = shaft.concrete_started_at
    moment = start or at
    unfounded = _unfounded(project, shaft, line, release)
    if unfounded:
        return ReleaseState(ReleaseStatus.HELD, reason=unfounded, entry=line.id, author=_author(line))
    reason = ""
    if moment > until:
        reason = f"The release ended at {clock(until)}."
    elif start is not None and line.observed_at > start:
        reason = f"The release of {clock(line.observed_at)} came after concrete had started."
    else:
        reason = _broken_by(project, shaft, moment, release, now)
    status = ReleaseStatus.LAPSED if reason else ReleaseStatus.RELEASED
    return ReleaseState(status, until, reason, release.conditions, line.id, _author(line))


def _until(project: ProjectRecord, shaft: ShaftRecord, line: Decision, release: Release) -> datetime:
    """The time on the release, or the longest that the acceptance set lets one hold, if that is sooner."""
    look = look_at(project, shaft, release.until)
    longest = look.number("release_valid_for") if look else None
    if longest is None:
        return release.until
    return min(release.until, line.observed_at + timedelta(seconds=float(longest)))


def _decisions(project: ProjectRecord, shaft: ShaftRecord) -> list[Decision]:
    """Decisions by a resident engineer, in the order of folding, up to the start of concrete."""
    started = concrete_line(shaft)
    found: list[Decision] = []
    for each in shaft.lines:
        if not each.counts or (started and each.original.order > started.original.order):
            continue
        decides = isinstance(each.values, Release | Hold | Withdrawal)
        if decides and made_by(project, each, Role.RESIDENT_ENGINEER):
            found.append(each)  # type: ignore[arg-type]  # narrowed by its values
    return found


def _author(line: Line[Values] | Decision) -> str:
    return line.original.draft.author


def concrete_line(shaft: ShaftRecord) -> Line[ConcreteStarted] | None:
    """The first entry that says that concrete has started and was not struck, disputed or not, or None."""
    found = [each for each in shaft.lines if isinstance(each.values, ConcreteStarted) and not each.struck]
    return found[0] if found else None  # type: ignore[return-value]  # narrowed by its values


def _heads(decisions: list[Decision]) -> list[Decision]:
    """Decisions that no other one knew of when it was made."""
    return [each for each in decisions if not any(_knew(other, each) for other in decisions)]


def _knew(decision: Decision, earlier: Decision) -> bool:
    mine, other = decision.original, earlier.original
    if decision is earlier or mine.order < other.order:
        return False
    values = decision.values
    if isinstance(values, Withdrawal):
        return True
    same_device = mine.device == other.device
    seen = any(each.device == other.device and each.seq >= other.seq for each in values.basis.positions)
    return same_device or seen or other.id in mine.draft.parents


def _broken_by(
    project: ProjectRecord,
    shaft: ShaftRecord,
    moment: datetime,
    release: Release,
    now: tuple[Finding, ...] | None,
) -> str:
    """The requirement that new evidence made worse, in words; empty when none did."""
    everything = list(entries_for(project, shaft))
    started = concrete_line(shaft)
    cut = started.original.order if started else None
    up_to_now = [each for each in everything if cut is None or each.order < cut]
    if all(isinstance(each.values, _NOT_SEEN) or saw(release.basis, each) for each in up_to_now):
        return ""  # nothing was observed since
    then = _found(project.id, shaft.id, [each for each in everything if saw(release.basis, each)], moment)
    if now is None or started:
        now = _found(project.id, shaft.id, up_to_now, moment)
    before = {each.requirement: each for each in then}
    worse = [each for each in now if _is_worse(before.get(each.requirement), each)]
    if not worse:
        return ""
    first = max(worse, key=lambda each: each.weight)
    return f"{sentence(first.requirement)}: {first.says}"


def _unfounded(project: ProjectRecord, shaft: ShaftRecord, line: Decision, release: Release) -> str:
    """Why a release does not count at all; empty when it does.

    It rests on entries that are not in the journal, or it passes over something not met or not shown
    without the reason that the acceptance set asks for.
    """
    missing = not_in_journal(project, shaft, release.basis)
    if missing:
        return f"The release rests on something that the journal does not have: {missing}."
    look = look_at(project, shaft, line.observed_at)
    if look is None or look.words("override_reason_required") != ("yes",) or release.reason.strip():
        return ""
    seen = [each for each in entries_for(project, shaft) if saw(release.basis, each)]
    then = _found(project.id, shaft.id, seen, line.observed_at)
    against = [each for each in then if each.outcome in {Outcome.NOT_MET, Outcome.NOT_SHOWN}]
    if not against:
        return ""
    return f"Released without the reason that is asked for: {max(against, key=lambda each: each.weight).says}"


def _is_worse(before: Finding | None, now: Finding) -> bool:
    """Worse than it was; a requirement that had no answer then counts as met then."""
    return _BADNESS[now.outcome] > (_BADNESS[before.outcome] if before is not None else 0)


def _found(project_id: str, shaft_id: str, entries: list[Entry], moment: datetime) -> tuple[Finding, ...]:
    record = project_record(project_id, in_order(entries))
    mine = record.shaft(shaft_id)
    look = look_at(record, mine, moment) if mine else None
    return apply(OPEN_HOLE_RULES, look) if look else ()
