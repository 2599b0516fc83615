"""The decision on concrete, and whether it still holds.

The last decision in the order of folding stands.  A release lapses when its time is over, by itself or by the
acceptance set at its basis, and at once when new evidence matters: when any requirement comes out worse with
the journal as it is now than with the journal at the positions that the release rests on.  Both are looked
at from the same moment, the present one, so that the passing of time alone makes nothing lapse but the end of
its time, and a reading of what is watched (head, water) that did not come.  The present is never earlier than
what the journal has recorded: a clock that is set back extends no release.  Once concrete has started the
moment is its start, and the journal is cut at the entry that says so: what was recorded later cannot make a
release lapse that held when concrete started.

Only decisions of somebody who was resident engineer on the roster when deciding count.  Two of them that do
not know of each other leave concrete on hold until the engineer decides again.  So does a release without
ground: it never was a release, so it is held, not lapsed.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final, TypeAlias

from fieldapp.criteria import evidence_rules
from fieldapp.criteria.basis import entries_for, saw_all
from fieldapp.criteria.evidence_rules import CLOCK_SLACK, corrections
from fieldapp.criteria.finding import Finding, Outcome, ReleaseState, ReleaseStatus
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import clock, joined, sentence, term
from fieldapp.criteria.release_ground import Ground, ground_of, look_on
from fieldapp.criteria.release_limit import WATCHED
from fieldapp.criteria.roles import made_by
from fieldapp.criteria.rules import OPEN_HOLE_RULES, Rule, apply, found_once, look_at
from fieldapp.record.attesting import SILENT
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import DECISIONS, Hold, Release, Withdrawal
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import Role

Decision: TypeAlias = Line[Release] | Line[Hold] | Line[Withdrawal]

_NOT_SEEN: Final = (*DECISIONS, *SILENT)  # they observe nothing
_BADNESS: Final = {Outcome.MET: 0, Outcome.NOT_ASKED: 0, Outcome.NOT_SHOWN: 1, Outcome.NOT_MET: 2}


def release_state(
    project: ProjectRecord, shaft: ShaftRecord, at: datetime, now: tuple[Finding, ...] | None = None
) -> ReleaseState:
    """Where the decision on concrete stands at a moment (at the start of concrete, once it is in).

    ``now`` are the findings of the open-hole rules at that moment, where they are worked out already.
    """
    heads = _heads(_decisions(project, shaft, at))
    if not heads:
        return ReleaseState(ReleaseStatus.NONE)
    last = heads[-1]
    if len(heads) > 1 and not all(isinstance(each.values, Hold) for each in heads):
        reason = said(
            "Two decisions on concrete do not know of each other; the resident engineer decides again."
        )
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
    project: ProjectRecord,
    shaft: ShaftRecord,
    at: datetime,
    line: Line[Release],
    now: tuple[Finding, ...] | None,
) -> ReleaseState:
    ground = ground_of(project, shaft, line)
    if ground.unfounded:
        reason = ground.unfounded
        return ReleaseState(ReleaseStatus.HELD, reason=reason, entry=line.id, author=_author(line))
    start = shaft.concrete_started_at
    moment = moment_of(project, shaft, at)
    if moment > ground.until:
        reason = _ended(ground, moment, start or at)
    elif start is not None and line.observed_at > start:
        reason = said("The release of {time} came after concrete had started.", time=clock(line.observed_at))
    else:
        known = now if moment == at else None
        reason = _broken_by(project, shaft, moment, (line.values, ground.seen, known))
    status = ReleaseStatus.LAPSED if reason else ReleaseStatus.RELEASED
    return ReleaseState(
        status, ground.until, reason, line.values.conditions, line.id, _author(line), ground.remarks
    )


def _ended(ground: Ground, moment: datetime, at_hand: datetime) -> str:
    """Why a release is over by time, and by which clock where the one at hand says something earlier."""
    parts = [said("The release ended at {until}.", until=clock(ground.until)), ground.why]
    if at_hand < moment:
        parts.append(
            said(
                "The journal goes on to {moment}: a clock that says {clock} is behind.",
                moment=clock(moment),
                clock=clock(at_hand),
            )
        )
    return joined((each for each in parts if each), " ")


def moment_of(project: ProjectRecord, shaft: ShaftRecord, at: datetime) -> datetime:
    """The moment that a release is judged from: ``at`` or the start of concrete, or later by the journal.

    While the hole is open it is never earlier than the last entry of the shaft was recorded; with concrete
    in, never earlier than what the same device had recorded of the shaft before.  What a device recorded
    before an event "clock corrected" proves nothing.
    """
    started = concrete_line(shaft)
    corrected = {device: max(numbers) for device, numbers in corrections(project).items()}
    proves = [each for each in shaft.entries if each.seq > corrected.get(each.device, 0)]
    if started is None:
        latest = max((at, *(each.draft.recorded_at for each in proves)), key=datetime.timestamp)
        return latest.astimezone(at.tzinfo)
    start = shaft.concrete_started_at or at
    mine = started.original
    before = [each.draft.recorded_at for each in proves if each.device == mine.device and each.seq < mine.seq]
    latest = max(before, default=start)
    return max(start, latest) if latest > mine.draft.recorded_at + CLOCK_SLACK else start


def _decisions(project: ProjectRecord, shaft: ShaftRecord, at: datetime) -> list[Decision]:
    """Decisions by a resident engineer, in the order of folding, up to the start of concrete."""
    moment, started = moment_of(project, shaft, at), concrete_line(shaft)
    made: list[Decision] = [*shaft.all_of(Release), *shaft.all_of(Hold), *shaft.all_of(Withdrawal)]
    return [
        each
        for each in sorted(made, key=lambda each: each.original.order)
        if each.counts
        and _stood_then(started, each.original, moment)
        and made_by(project, each, Role.RESIDENT_ENGINEER)
    ]


def _stood_then(started: Line[ConcreteStarted] | None, entry: Entry, moment: datetime) -> bool:
    """Whether an entry was in the record when concrete started; every entry is, while the hole is open.

    It stands before the entry that says so, and was not recorded later: a device that was not in touch can
    come before it in the order of folding with what it recorded after.  Its clock may be off by 5 min.
    """
    if started is None:
        return True
    slack = timedelta(0) if entry.device == started.original.device else CLOCK_SLACK
    return entry.order < started.original.order and entry.draft.recorded_at - moment <= slack


def _author(line: Line[Values] | Decision) -> str:
    return line.original.draft.author


def concrete_line(shaft: ShaftRecord) -> Line[ConcreteStarted] | None:
    """The first entry that says that concrete has started and was not struck, disputed or not, or None."""
    return next((each for each in shaft.all_of(ConcreteStarted) if not each.struck), None)


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
    judged: tuple[Release, Look | None, tuple[Finding, ...] | None],
) -> str:
    """The requirement that new evidence made worse, in words; empty when none did."""
    release, seen, now = judged
    started = concrete_line(shaft)
    up_to_now = [each for each in entries_for(project, shaft) if _stood_then(started, each, moment)]
    telling = (each for each in up_to_now if not isinstance(each.values, _NOT_SEEN))
    nothing_new = saw_all(release.basis, telling)
    # Decisions observe nothing, but what they were recorded at can show that a clock was set back.
    rules: tuple[Rule, ...] = (evidence_rules.clocks, *WATCHED) if nothing_new else OPEN_HOLE_RULES
    aging = tuple(each for each in rules if each not in WATCHED)
    # The start of concrete is one moment for ever; the present one is asked about once.
    asked = found_once if started else apply
    then = (*asked(aging, replace(seen, at=moment)), *found_once(WATCHED, seen)) if seen else ()
    if now is None or started or nothing_new:
        look = (
            look_on(project.id, shaft.id, up_to_now, moment) if started else look_at(project, shaft, moment)
        )
        now = asked(rules, look) if look else ()
    before = {each.requirement: each for each in then}
    worse = [each for each in now if _is_worse(before.get(each.requirement), each)]
    if not worse:
        return ""
    first = max(worse, key=lambda each: each.weight)
    return sentence(said("{requirement}: {says}", requirement=term(first.requirement), says=first.says))


def _is_worse(before: Finding | None, now: Finding) -> bool:
    """Worse than it was; a requirement that had no answer then counts as met then."""
    return _BADNESS[now.outcome] > (_BADNESS[before.outcome] if before is not None else 0)
