"""The ground of a release: what it had seen, what it passes over, whose log it is, how long it can hold.

Judged from the moment of the release and its own basis, so that nothing recorded later changes it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from typing import Final

from fieldapp.criteria.basis import entries_for, not_in_journal, seen_by
from fieldapp.criteria.finding import Finding, Outcome
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import clock, joined
from fieldapp.criteria.release_limit import ReleaseLimit, release_limits
from fieldapp.criteria.roles import made_by, setup_at
from fieldapp.criteria.rules import OPEN_HOLE_RULES, found_once, look_at
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import LogSigned, Release
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line, in_order
from fieldapp.record.own_log import whose_log
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, project_record
from fieldapp.record.words import Role

AGAINST: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN)
OVERRIDE: Final = "override"  # the code by which a person confirms that a release passes over something


@dataclass(frozen=True, slots=True)
class Ground:
    """What a release rests on.

    ``seen`` is the look at what it had seen, None where that is no scheduled shaft; ``against`` what was not
    met or not shown there; ``until`` and ``why`` the end and its reason where the acceptance set sets one
    sooner than the release itself; ``unfounded`` why it does not count at all.
    """

    seen: Look | None
    against: tuple[Finding, ...]
    until: datetime
    why: str
    unfounded: str
    remarks: tuple[str, ...]


def ground_of(project: ProjectRecord, shaft: ShaftRecord, line: Line[Release]) -> Ground:
    """Work out what a release rests on, from the journal at its basis."""
    release = line.values
    entries = seen_by(release.basis, entries_for(project, shaft))
    seen = look_on(project.id, shaft.id, entries, line.observed_at)
    against = passed_over(seen) if seen else ()
    sooner = _sooner(seen, release.until) if seen else None
    own = _is_own_log(project, shaft, line)
    return Ground(
        seen=seen,
        against=against,
        until=sooner.until if sooner else release.until,
        why=sooner.says if sooner else "",
        unfounded=_unfounded(project, shaft, line, (seen, against, own)),
        remarks=(*_own_log_remark(line, own), *_passed_over_remarks(line, against)),
    )


def look_on(project_id: str, shaft_id: str, entries: list[Entry], moment: datetime) -> Look | None:
    """The look at a shaft with these entries alone, or None where they schedule no such shaft.

    The same entries at the same moment give the same look again, with all that it has worked out.
    """
    hashes = tuple(each.hash for each in entries)
    when = f"{moment.isoformat()} {moment.tzinfo!r}"
    return _look_on(_Cut(project_id, shaft_id, hashes, when, tuple(entries), moment))


@dataclass(frozen=True, slots=True)
class _Cut:
    """A part of the journal and a moment; the hashes say all that the entries do, ``when`` its time zone."""

    project: str
    shaft: str
    hashes: tuple[str, ...]
    when: str
    entries: tuple[Entry, ...] = field(compare=False)
    moment: datetime = field(compare=False)


# Every save asks this of every release of the shaft, and what a release had seen never changes.
@lru_cache(maxsize=64)
def _look_on(cut: _Cut) -> Look | None:
    record = project_record(cut.project, in_order(cut.entries))
    mine = record.shaft(cut.shaft)
    return look_at(record, mine, cut.moment) if mine else None


def _sooner(seen: Look, until: datetime) -> ReleaseLimit | None:
    """What ends a release made at the moment of this look before its own end, the first of it."""
    limits = seen.once(("limits", until.isoformat()), lambda: release_limits(seen, before=until))
    return next((each for each in limits if not each.watched), None)


def passed_over(look: Look) -> tuple[Finding, ...]:
    """What is asked of the open hole and not met or not shown, the weightiest first."""
    found = [each for each in found_once(OPEN_HOLE_RULES, look) if each.outcome in AGAINST]
    return tuple(sorted(found, key=lambda each: -each.weight))


def counted(against: tuple[Finding, ...]) -> str:
    """``2 not met, 1 not shown``; what is none is left out."""
    counts = Counter(each.outcome for each in against)
    not_met, not_shown = counts[Outcome.NOT_MET], counts[Outcome.NOT_SHOWN]
    parts = [said("{number} not met", number=not_met)] if not_met else []
    return joined([*parts, *([said("{number} not shown", number=not_shown)] if not_shown else [])])


def _is_own_log(project: ProjectRecord, shaft: ShaftRecord, line: Line[Release]) -> bool:
    """Whether the log was the author's own when it was released, by what stood before it."""
    order = line.original.order
    signed = [each for each in shaft.of(LogSigned) if each.original.order < order]
    rounds = [each for each in shaft.of(SoundingRound) if each.original.order < order]
    counts = [each for each in signed if made_by(project, each, Role.INSPECTOR)]
    return line.original.draft.author in whose_log(counts, rounds)


def _unfounded(
    project: ProjectRecord,
    shaft: ShaftRecord,
    line: Line[Release],
    judged: tuple[Look | None, tuple[Finding, ...], bool],
) -> str:
    seen, against, own = judged
    missing = not_in_journal(project, line.values.basis)
    if missing:
        return said(
            "The release rests on something that the journal does not have: {missing}.", missing=missing
        )
    setup = setup_at(project, line.original.order)
    if own and not (setup is not None and setup.own_log_release):
        return said(
            "The release is by {author} on {author}'s own log, which the project set-up does not allow.",
            author=line.original.draft.author,
        )
    asked = seen is not None and seen.words("override_reason_required") == ("yes",)
    if asked and against and not line.values.reason.strip():
        return said("Released without the reason that is asked for: {says}", says=against[0].says)
    return ""


def _own_log_remark(line: Line[Release], own: bool) -> tuple[str, ...]:
    if not own:
        return ()
    author = line.original.draft.author
    return (said("Released by {author} on {author}'s own log; the project set-up allows it.", author=author),)


def _passed_over_remarks(line: Line[Release], against: tuple[Finding, ...]) -> tuple[str, ...]:
    if not against:
        return ()
    reason = line.values.reason.strip().rstrip(".")
    over = {"time": clock(line.observed_at), "counts": counted(against), "says": against[0].says}
    says = (
        said("Released at {time} over {counts}: {says} Reason: {reason}.", **over, reason=reason)
        if reason
        else said("Released at {time} over {counts}: {says} No reason was given.", **over)
    )
    if OVERRIDE in line.original.draft.confirmed:
        return (says,)
    return (says, said("What the release passes over was not confirmed a second time."))
