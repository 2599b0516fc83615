"""The base standing out of the findings, its reasons in order of weight, and the next useful step.

The standing is the first that holds of: not creditable, rework (hole open), not shown, reduced (concrete
in, or re-work ruled out), clean.  Re-work is ruled out by a disposition other than a remedy, when it saw
the whole record, or by a release that holds and gives a reason.  With concrete in and nothing broken,
something that was not shown keeps the base from being clean: it is then not shown, even where the credit
could be quantified.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.basis import not_in_journal, saw_all
from fieldapp.criteria.finding import (
    BaseStanding,
    Finding,
    NextStep,
    Outcome,
    ReleaseState,
    ReleaseStatus,
    Standing,
    Work,
)
from fieldapp.criteria.phrasing import clock, sentence, term
from fieldapp.criteria.release import release_state
from fieldapp.criteria.roles import made_by
from fieldapp.record.concrete import ConcreteFinished
from fieldapp.record.decisions import Basis, Disposition, Hold, LogSigned, Release, Withdrawal
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import Decision, Role

_DECISIONS: Final = (Disposition, Hold, LogSigned, Release, Withdrawal)
_FIRST: Final = (Work.RESTORE_HEAD, Work.OVERREAM, Work.READ_HEAD)
_BASE_REACHED: Final = "base reached"


def base_standing(
    project: ProjectRecord,
    shaft: ShaftRecord,
    found: tuple[Finding, ...],
    release: ReleaseState | None = None,
) -> BaseStanding:
    """What the findings say of the base.

    Parameters
    ----------
    project, shaft, found
        The record and its findings, from the same moment.
    release
        State of the release at that moment.  Without it the state at the last entry of the shaft is used,
        which knows nothing of a release that has run out since.
    """
    state = release or _state_at_last_entry(project, shaft)
    standing = _standing(project, shaft, found, state)
    reasons = _reasons(found)
    return BaseStanding(standing, reasons, _next(project, shaft, (standing, reasons), state))


def _state_at_last_entry(project: ProjectRecord, shaft: ShaftRecord) -> ReleaseState:
    if not shaft.entries:
        return ReleaseState(ReleaseStatus.NONE)
    last = max(each.draft.recorded_at for each in shaft.entries)
    return release_state(project, shaft, last)


def _standing(
    project: ProjectRecord, shaft: ShaftRecord, found: tuple[Finding, ...], release: ReleaseState
) -> Standing:
    not_met = [each for each in found if each.outcome is Outcome.NOT_MET]
    not_shown = [each for each in found if each.outcome is Outcome.NOT_SHOWN]
    concrete_in = shaft.concrete_started_at is not None
    ruled_out = concrete_in or _rework_ruled_out(project, shaft, release)
    if any(each.excludes_base for each in not_met):
        return Standing.NOT_CREDITABLE
    if not_met and not ruled_out:
        return Standing.REWORK
    if any(each.keeps_credit_open for each in (*not_shown, *not_met)) or (not_shown and not concrete_in):
        return Standing.NOT_SHOWN
    if not_met:
        return Standing.REDUCED
    return Standing.NOT_SHOWN if not_shown or not found else Standing.CLEAN


def disposition_of(project: ProjectRecord, shaft: ShaftRecord) -> Line[Disposition] | None:
    """The last disposition by somebody who is a designer on the roster, or None."""
    found = [each for each in shaft.of(Disposition) if made_by(project, each, Role.DESIGNER)]
    return found[-1] if found else None


def _rework_ruled_out(project: ProjectRecord, shaft: ShaftRecord, release: ReleaseState) -> bool:
    disposed = disposition_of(project, shaft)
    if disposed is not None and disposed.values.decision is not Decision.REMEDY:
        return rests_on_all(project, disposed.values.basis, shaft)
    if release.status is not ReleaseStatus.RELEASED:
        return False
    released = [each for each in shaft.of(Release) if each.id == release.entry]
    return any(each.values.reason.strip() for each in released)


def _reasons(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Everything not met or not shown, the weightiest first; ties keep the order of the rules.

    One lack that leaves several requirements open, such as no fluid test, is one reason.
    """
    against = [each for each in found if each.outcome in {Outcome.NOT_MET, Outcome.NOT_SHOWN}]
    against.sort(key=lambda each: -each.weight)
    once = {(each.outcome, each.says): each for each in reversed(against)}
    return tuple(sorted(once.values(), key=against.index))


def _next(
    project: ProjectRecord,
    shaft: ShaftRecord,
    stands: tuple[Standing, tuple[Finding, ...]],
    release: ReleaseState,
) -> NextStep:
    standing, reasons = stands
    if shaft.concrete_started_at is not None:
        disposed = disposition_of(project, shaft)
        if disposed is None and not shaft.of(ConcreteFinished):
            return _work_step(Work.FINISH_CONCRETE)
        return _after_concrete(disposed, standing, reasons)
    if any(each.requirement == _BASE_REACHED for each in reasons) and standing is Standing.NOT_SHOWN:
        return NextStep(said("Drill to the base"), None, _BASE_REACHED)
    if standing in {Standing.CLEAN, Standing.REDUCED}:
        return _toward_concrete(project, shaft, release)
    if standing is Standing.NOT_CREDITABLE:
        says = said("Ask the engineer: the base cannot be counted")
        return NextStep(says, Work.ASK_ENGINEER, _first(reasons))
    return _work(standing, reasons)


def _work(standing: Standing, reasons: tuple[Finding, ...]) -> NextStep:
    """What has to come first by the nature of the work, else the work of the weightiest reason.

    Nothing done to the base lasts while the head is low or the wall has still to be cut; asking the
    engineer comes last.
    """
    wanted = Outcome.NOT_MET if standing is Standing.REWORK else Outcome.NOT_SHOWN
    able = [each for each in reasons if each.outcome is wanted and each.work is not None]
    own = [each for each in able if each.work is not Work.ASK_ENGINEER]
    first = [each for work in _FIRST for each in own if each.work is work]
    for each in (*first, *own, *able):
        assert each.work is not None
        return _work_step(each.work, each.requirement)
    return NextStep(said("Ask the engineer"), Work.ASK_ENGINEER, _first(reasons))


def _work_step(work: Work, requirement: str = "") -> NextStep:
    return NextStep(sentence(term(str(work))), work, requirement)


def _toward_concrete(project: ProjectRecord, shaft: ShaftRecord, release: ReleaseState) -> NextStep:
    if release.status is ReleaseStatus.RELEASED and release.until is not None:
        return NextStep(said("Start concrete before {time}", time=clock(release.until)), None)
    if not log_is_signed(project, shaft):
        return NextStep(said("Sign the log"), None)
    if release.status is ReleaseStatus.HELD:
        return NextStep(said("Concrete is on hold: ask the resident engineer"), Work.ASK_ENGINEER)
    return NextStep(said("Ask for release"), None)


def log_is_signed(project: ProjectRecord, shaft: ShaftRecord) -> bool:
    """Whether enough people signed after the last entry that is not itself a decision."""
    accepted = project.setup.values.acceptance.parameters if project.setup else ()
    asked = [each.reading.si for each in accepted if each.name == "signatures_required" and each.reading]
    signed = {
        each.original.draft.author
        for each in shaft.of(LogSigned)
        if made_by(project, each, Role.INSPECTOR) and rests_on_all(project, each.values.basis, shaft)
    }
    return len(signed) >= (asked[0] if asked else 1)


def rests_on_all(project: ProjectRecord, basis: Basis, shaft: ShaftRecord) -> bool:
    """Whether a decision saw every entry of the shaft that is not itself one, and only what there is."""
    evidence = (each for each in shaft.entries if not _decides(each.values))
    return saw_all(basis, evidence) and not not_in_journal(project, basis)


def _decides(values: Values) -> bool:
    return isinstance(values, _DECISIONS)


def _after_concrete(
    disposed: Line[Disposition] | None, standing: Standing, reasons: tuple[Finding, ...]
) -> NextStep:
    if disposed is not None:
        if disposed.values.decision is Decision.REMEDY:
            return NextStep(said("Remedy asked for by the designer"), None, _first(reasons))
        return NextStep(said("Filed: {decision}", decision=disposed.values.decision), None)
    if standing is Standing.CLEAN:
        return NextStep(said("Designer: accept the base"), None)
    return NextStep(said("Designer: decide the credit"), None, _first(reasons))


def _first(reasons: tuple[Finding, ...]) -> str:
    return reasons[0].requirement if reasons else ""
