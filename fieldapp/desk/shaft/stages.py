"""The stages of the walk through a shaft: which findings, entries and work belong to each, and their state.

A state is the outcome word of findings, or ``due`` for what comes next.  What is not met is never hidden
behind ``due``.  A stage of work without findings is met once the work was done.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.finding import Finding, Group, NextStep, Outcome, ReleaseState, ReleaseStatus, Work
from fieldapp.criteria.standing import disposition_of, log_is_signed
from fieldapp.record.decisions import LogSigned
from fieldapp.record.said import sayable
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import Decision

HOLE: Final = "Hole"
FLUID: Final = "Fluid"
HEAD: Final = "Head"
CLEANING: Final = "Cleaning"
BASE: Final = "Base"
NOTES: Final = "Pictures and notes"
SIGN: Final = "Sign the log"
RELEASE: Final = "Release"
CREDIT: Final = "Credit"
FILED: Final = sayable("filed")
DUE: Final = "due"

STAGES: Final[dict[str, tuple[Group, ...]]] = {
    HOLE: (Group.GROUND, Group.GEOMETRY, Group.TIME),
    FLUID: (Group.FLUID,),
    HEAD: (Group.HEAD,),
    CLEANING: (),
    BASE: (Group.BASE, Group.WATER),
    NOTES: (Group.EVIDENCE,),
    SIGN: (),
    RELEASE: (Group.CONCRETE,),
    CREDIT: (),
}
# Requirements that are settled in another stage than the rest of their group.
_ELSEWHERE: Final = {
    "base reached": HOLE,
    "cleaning to concrete": CLEANING,
    "sounding to concrete": BASE,
    "sounding points": BASE,
    "sounding rim points": BASE,
    "sounding spread": BASE,
    "sounding both depths": BASE,
    "sounding rounds": BASE,
    "sounding instrument": BASE,
    "firm bottom at the base": BASE,
    "fluid instruments": FLUID,
}
_OF_GROUP: Final = {group: name for name, groups in STAGES.items() for group in groups}

OF_WORK: Final = {
    Work.CLEAN_AGAIN: CLEANING,
    Work.EXCHANGE_FLUID: FLUID,
    Work.RESTORE_HEAD: HEAD,
    Work.OVERREAM: HOLE,
    Work.DEWATER_OR_FLOOD: BASE,
    Work.SOUND: BASE,
    Work.TEST_FLUID: FLUID,
    Work.READ_HEAD: HEAD,
    Work.MEASURE_WATER: BASE,
    Work.SEE_BASE: BASE,
    Work.SURVEY: HOLE,
    Work.CHECK_INSTRUMENT: NOTES,
    Work.SETTLE: NOTES,
    Work.ASK_ENGINEER: RELEASE,
    Work.FINISH_CONCRETE: RELEASE,
}

KINDS: Final[dict[str, tuple[str, ...]]] = {
    HOLE: ("shaft scheduled", "excavation stage", "geometry survey"),
    FLUID: ("fluid test",),
    HEAD: ("head reading",),
    CLEANING: ("cleanout pass",),
    BASE: ("sounding round", "base sighting", "standing water"),
    NOTES: ("note", "photo", "event", "delay"),
    SIGN: ("log signed",),
    RELEASE: ("release", "hold", "withdrawal", "concrete started", "concrete finished", "as-built"),
    CREDIT: ("disposition",),
}
_OF_KIND: Final = {kind: name for name, kinds in KINDS.items() for kind in kinds}
_OUTCOMES: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)
_OF_RELEASE: Final = {
    ReleaseStatus.NONE: Outcome.NOT_ASKED,
    ReleaseStatus.RELEASED: Outcome.MET,
    ReleaseStatus.HELD: Outcome.NOT_MET,
    ReleaseStatus.LAPSED: Outcome.NOT_MET,
    ReleaseStatus.WITHDRAWN: Outcome.NOT_MET,
}


def stage_of_kind(kind: str) -> str:
    """The stage in which an entry of this kind is made; what belongs to none stands among the notes."""
    return _OF_KIND.get(kind, NOTES)


def stage_of_finding(found: Finding) -> str:
    """The stage in which a requirement is settled."""
    return _ELSEWHERE.get(found.requirement, _OF_GROUP[found.group])


def stage_of_step(step: NextStep, found: tuple[Finding, ...], shaft: ShaftRecord) -> str:
    """The stage in which the next useful thing is done."""
    if step.work in OF_WORK:
        return OF_WORK[step.work]
    if shaft.concrete_started_at is not None:
        return CREDIT
    serves = next((each for each in found if each.requirement == step.requirement), None)
    if serves is not None:
        return stage_of_finding(serves)
    return SIGN if step.says == "Sign the log" else RELEASE


def stage_on_board(
    project: ProjectRecord, shaft: ShaftRecord, step: NextStep, found: tuple[Finding, ...]
) -> str:
    """Where a shaft stands: the stage of its next useful thing, or filed once the designer has decided."""
    disposed = disposition_of(project, shaft)
    if shaft.concrete_started_at is not None and disposed is not None:
        return CREDIT if disposed.values.decision is Decision.REMEDY else FILED
    return stage_of_step(step, found, shaft)


def stage_states(
    record: tuple[ProjectRecord, ShaftRecord],
    found: tuple[Finding, ...],
    step: NextStep,
    release: ReleaseState,
) -> dict[str, str]:
    """The state of every stage by name, in the order of the walk."""
    project, shaft = record
    outcomes = {name: _worst(name, found) for name in STAGES}
    outcomes[CLEANING] = _cleaning(outcomes[CLEANING], found, shaft)
    outcomes[SIGN] = _signing(project, shaft)
    if shaft.concrete_started_at is None:
        outcomes[RELEASE] = _OF_RELEASE[release.status]
    if disposition_of(project, shaft) is not None:
        outcomes[CREDIT] = Outcome.MET
    comes = stage_of_step(step, found, shaft)
    states = {name: str(outcome) for name, outcome in outcomes.items()}
    if outcomes[comes] is not Outcome.NOT_MET and not (comes == CREDIT and outcomes[CREDIT] is Outcome.MET):
        states[comes] = DUE
    return states


def _worst(name: str, found: tuple[Finding, ...]) -> Outcome:
    outcomes = {each.outcome for each in found if stage_of_finding(each) == name}
    return next((each for each in _OUTCOMES if each in outcomes), Outcome.NOT_ASKED)


def _signing(project: ProjectRecord, shaft: ShaftRecord) -> Outcome:
    """Met while the signed log holds everything; not shown once the open hole has entries that it has not."""
    if log_is_signed(project, shaft):
        return Outcome.MET
    if not shaft.of(LogSigned):
        return Outcome.NOT_ASKED
    return Outcome.NOT_SHOWN if shaft.concrete_started_at is None else Outcome.MET


def _cleaning(outcome: Outcome, found: tuple[Finding, ...], shaft: ShaftRecord) -> Outcome:
    """Not met while a finding asks for another pass; done once a pass was made."""
    if any(each.outcome is Outcome.NOT_MET and each.work is Work.CLEAN_AGAIN for each in found):
        return Outcome.NOT_MET
    passes = any(stage_of_kind(each.values.KIND) == CLEANING and each.counts for each in shaft.lines)
    return Outcome.MET if outcome is Outcome.NOT_ASKED and passes else outcome
