"""Concrete: whether it started under a release that held, its slump, and the toe as built."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, ReleaseStatus, Work
from fieldapp.criteria.holding import held_over, held_under
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, both, clock, source_of, unended
from fieldapp.criteria.release import concrete_line, release_state
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.concrete import AsBuilt
from fieldapp.record.said import said, sayable
from fieldapp.record.words import Fluid

RELEASED: Final = Requirement(
    "release before concrete", Group.CONCRETE, 9, "Concrete started under a release that still held."
)
SLUMP: Final = Requirement("slump", Group.CONCRETE, 5, "Slump of the first charge is within its limits.")
TOE: Final = Requirement("toe as built", Group.CONCRETE, 8, "No integrity test found the toe doubtful.")
REQUIREMENTS: Final = (RELEASED, SLUMP, TOE)

_WHY: Final = {
    ReleaseStatus.NONE: sayable("there was no release"),
    ReleaseStatus.HELD: sayable("it was on hold"),
    ReleaseStatus.LAPSED: sayable("the release had lapsed"),
    ReleaseStatus.WITHDRAWN: sayable("the release was withdrawn"),
}


def released_before_concrete(look: Look) -> Finding:
    """Whether a release held when concrete started; asked of every shaft, by rule 3 of the design."""
    line = concrete_line(look.shaft)
    if line is None:
        return RELEASED.not_asked(said("Concrete has not started."))
    state = look.release or release_state(look.project, look.shaft, look.at)
    started, begun = look.moment, clock(look.moment)
    rest = {"when": started, "entries": (*line.entries, *([state.entry] if state.entry else []))}
    if state.status is ReleaseStatus.RELEASED and state.until is not None:
        until = clock(state.until)
        says = said("Concrete started at {begun}, released until {until}.", begun=begun, until=until)
        return RELEASED.met(says, limit=said("until {time}", time=until), **rest)
    why = said(_WHY[state.status])
    says = said("Concrete started at {begun}, but {why}.", begun=begun, why=why)
    if state.reason:
        reason = unended(state.reason)
        says = said("Concrete started at {begun}, but {why} ({reason}).", begun=begun, why=why, reason=reason)
    return RELEASED.not_met(says, Work.ASK_ENGINEER, measured=why, **rest)


def slump(look: Look) -> Finding:
    """Slump of the first charge, where it was read; dry and wet placing have their own limits."""
    line = concrete_line(look.shaft)
    dry = look.scheduled.fluid is Fluid.NONE
    way = "dry" if dry else "wet"
    least, most = look.limit(f"slump_min_{way}"), look.limit(f"slump_max_{way}")
    if least is None and most is None:
        return SLUMP.not_asked()
    if line is None or line.values.slump is None:
        unread = said("Concrete has not started." if line is None else "Slump was not read.")
        return SLUMP.not_asked(unread)
    to_be_entered = SLUMP.to_be_entered(least, most)
    if to_be_entered:
        return to_be_entered
    value: Fraction = line.values.slump.si
    held = [held_over(look.phrases, Quantity.THICKNESS, value, least)] if least else []
    held += [held_under(look.phrases, Quantity.THICKNESS, value, most)] if most else []
    asked = both(each.limit for each in held)
    rest = {"measured": held[0].value, "limit": asked, "when": line.observed_at, "entries": line.entries}
    says = said("Slump {slump}, asked {limit}.", slump=held[0].value, limit=asked)
    if all(each.within for each in held):
        return SLUMP.met(says, source=source_of(least, most), **rest)
    return SLUMP.not_met(says, Work.ASK_ENGINEER, source=source_of(least, most), **rest)


def toe_as_built(look: Look) -> Finding:
    """What integrity tests said of the toe; asked once an as-built entry says something of it."""
    found = [each for each in look.shaft.of(AsBuilt) if each.values.toe_finding or each.values.toe_doubtful]
    if not found:
        return TOE.not_asked(said("No integrity test of the toe is recorded."))
    last = found[-1]
    text = last.values.toe_finding or last.values.text
    rest = {"when": last.observed_at, "entries": last.entries, "measured": text}
    if last.values.toe_doubtful:
        return TOE.not_met(said("The toe is doubtful: {text}", text=text), Work.ASK_ENGINEER, **rest)
    return TOE.met(said("Toe: {text}", text=text), **rest)
