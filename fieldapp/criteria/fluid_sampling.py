"""How the fluid was sampled: where, how often, at which stages, how long before concrete.

Two passing sets in a row are asked, so a first passing set is not enough: it leaves the requirement
not shown, never met.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Work
from fieldapp.criteria.fluid_limits import DRY_HOLE, NO_SET, last_set
from fieldapp.criteria.fluid_sets import FluidSet, fluid_top_m, set_outcome, sets_of, sets_since_cleaning
from fieldapp.criteria.holding import held_under
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least, at_most, clock, joined, seconds, source_of, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.acceptance import Parameter
from fieldapp.record.column import FluidTest
from fieldapp.record.said import said
from fieldapp.record.words import Fluid, FluidStage

DEPTHS: Final = Requirement(
    "fluid sampling depths", Group.FLUID, 4, "Samples near the base, and at mid-height or at intervals."
)
IN_A_ROW: Final = Requirement(
    "fluid sets in a row", Group.FLUID, 5, "This many sets in a row are within all limits."
)
STAGES: Final = Requirement("fluid stages", Group.FLUID, 0, "The fluid was tested at these stages.")
AGE: Final = Requirement("fluid test age", Group.FLUID, 3, "The last set is no older than this at concrete.")
RATE: Final = Requirement("fluid test rate", Group.FLUID, 0, "Sets in the first hours and after them.")
REQUIREMENTS: Final = (DEPTHS, IN_A_ROW, STAGES, AGE, RATE)

# A sample in the middle third of the column is at mid-height (judgment).
_MIDDLE: Final = Fraction(1, 6)


def sampling_depths(look: Look) -> Finding:
    """Samples of the last set near the base, at mid-height, and no further apart than asked."""
    names = ("sample_bottom_within", "sample_interval_max", "include_midheight")
    asked = tuple(look.limit(name) for name in names)
    early = _early(look, DEPTHS, asked)
    if early:
        return early
    found, base = last_set(look), look.base_depth
    if found is None or base is None:
        what = said("The base is not reached yet.") if base is None else NO_SET
        return DEPTHS.not_shown(what, Work.TEST_FLUID, source=source_of(*asked))
    depths = [each.values.sample_depth.si for each in found.samples]
    missing = _missing(look, asked, depths, base)
    listed = ", ".join(look.phrases.say(Quantity.DEPTH, each) for each in depths)
    rest = {
        "measured": said("samples at {depths}", depths=listed),
        "when": found.last[0],
        "entries": found.entries,
        "source": source_of(*asked),
    }
    if missing:
        says = said("Set {number} has {missing}.", number=found.number, missing=missing)
        return DEPTHS.not_shown(says, Work.TEST_FLUID, **rest)
    says = said("Set {number} has samples at {depths}.", number=found.number, depths=listed)
    return DEPTHS.met(says, **rest)


def _missing(look: Look, asked: tuple[Parameter | None, ...], depths: list[Fraction], base: Fraction) -> str:
    within, interval, _ = (each.reading.si if each and each.reading else None for each in asked)
    top = fluid_top_m(look)
    say = look.phrases.say
    if within is not None and base - depths[-1] > within:
        return said("no sample within {length} of the base", length=say(Quantity.HEAD, within))
    if look.words("include_midheight") == ("yes",):
        middle, slack = (base + top) / 2, (base - top) * _MIDDLE
        if not any(abs(each - middle) <= slack for each in depths):
            return said("no sample at mid-height, near {depth}", depth=say(Quantity.DEPTH, middle))
    if interval is not None:
        for upper, lower in pairwise([top, *depths, base]):
            if lower - upper > interval:
                ends = {"upper": say(Quantity.DEPTH, upper), "lower": say(Quantity.DEPTH, lower)}
                return said("no sample between {upper} and {lower}", **ends)
    return ""


def sets_in_a_row(look: Look) -> Finding:
    """Sets in a row, the last ones since the last cleaning, that are within all limits (check SLU-6)."""
    asked = look.limit("consecutive_sets")
    early = _early(look, IN_A_ROW, (asked,))
    if early:
        return early
    assert asked is not None
    assert asked.reading is not None
    sets = sets_since_cleaning(look)
    passing = passing_in_a_row(look, sets)
    rest = {
        "measured": said("{count} in a row", count=len(passing)),
        "limit": at_least(str(asked.reading.si), strict=False),
        "source": source_of(asked),
        "when": sets[-1].last[0] if sets else None,
        "entries": tuple(each for found in passing for each in found.entries),
    }
    numbers = {"count": len(passing), "asked": asked.reading.si}
    says = said("{count} of {asked} sets in a row are within all limits.", **numbers) if sets else NO_SET
    if len(passing) >= asked.reading.si:
        return IN_A_ROW.met(says, **rest)
    return IN_A_ROW.not_shown(says, Work.TEST_FLUID, **rest)


def passing_in_a_row(look: Look, sets: tuple[FluidSet, ...]) -> list[FluidSet]:
    """The last sets of these, one after the other, that are within all limits."""
    passing: list[FluidSet] = []
    for found in reversed(sets):
        if set_outcome(look, found) is not Outcome.MET:
            break
        passing.append(found)
    return passing[::-1]


def stages_tested(look: Look) -> Finding:
    """Stages of the work at which the fluid was tested, and was not left out of limits.

    An earlier stage whose last set broke a limit is mended by any later set that is within all of its
    own; the last stage has findings for each property.
    """
    asked = look.limit("stages_required")
    early = _early(look, STAGES, (asked,))
    if early:
        return early
    sets = sets_of(look.lines(FluidTest))
    stages = look.words("stages_required")
    rest = {"source": source_of(asked), "limit": joined(map(term, stages))}
    broken = [each for each in stages if _left_broken(look, each, sets)]
    if broken:
        names = joined(map(term, broken))
        says = said("The fluid was out of limits and not tested within them since: {stages}.", stages=names)
        return STAGES.not_met(says, Work.EXCHANGE_FLUID, measured=said("out of limits"), **rest)
    missing = [each for each in stages if not any(found.stage == each for found in sets)]
    if not missing:
        return STAGES.met(said("The fluid was tested at every stage asked."), **rest)
    # A stage that has passed cannot be tested any more; only the last one still can.
    last_open = missing == [str(FluidStage.BEFORE_CONCRETE)]
    work = Work.TEST_FLUID if last_open else Work.ASK_ENGINEER
    says = said("The fluid was not tested: {stages}.", stages=joined(map(term, missing)))
    return STAGES.not_shown(says, work, **rest)


def _left_broken(look: Look, stage: str, sets: tuple[FluidSet, ...]) -> bool:
    mine = [n for n, found in enumerate(sets) if found.stage == stage]
    if stage == FluidStage.BEFORE_CONCRETE or not mine:
        return False
    if set_outcome(look, sets[mine[-1]]) is not Outcome.NOT_MET:
        return False
    return not any(set_outcome(look, found) is Outcome.MET for found in sets[mine[-1] + 1 :])


def age_of_last_set(look: Look) -> Finding:
    """Time from the last set to concrete: too old shows nothing in an open hole, and is broken after."""
    asked = look.limit("fluid_test_max_age")
    early = _early(look, AGE, (asked,))
    if early:
        return early
    assert asked is not None
    found = last_set(look)
    if found is None:
        return AGE.not_shown(NO_SET, Work.TEST_FLUID, source=source_of(asked))
    age = max(seconds(look.moment - found.first[0]), Fraction(0))
    held = held_under(look.phrases, Quantity.HOURS, age, asked)
    rest = {
        "measured": held.value,
        "limit": held.limit,
        "source": held.source,
        "when": found.first[0],
        "entries": found.entries,
    }
    says = said(
        "Fluid tested {age} before, at {time}, asked {limit}.",
        age=held.value,
        time=clock(found.first[0]),
        limit=held.limit,
    )
    if held.within:
        return AGE.met(says, **rest)
    if look.concrete_in:
        return AGE.not_met(says, Work.TEST_FLUID, **rest)
    return AGE.not_shown(says, Work.TEST_FLUID, **rest)


def rate_of_tests(look: Look) -> Finding:
    """Sets in the first hours, and the longest time without a set after them (rule Q6).

    A hole that has been open for less than the first hours owes its share of the sets (judgment).
    """
    names = ("initial_sets", "initial_hours", "steady_interval")
    asked = tuple(look.limit(name) for name in names)
    early = _early(look, RATE, asked)
    if early:
        return early
    if (asked[0] is None) != (asked[1] is None):
        says = said("Only half of the first sets is adopted: their number and their hours belong together.")
        return RATE.not_shown(says, Work.ENTER_LIMIT, source=source_of(*asked))
    sets = sets_of(look.lines(FluidTest))
    if not sets:
        return RATE.not_shown(said("The fluid was not tested."), Work.TEST_FLUID, source=source_of(*asked))
    short = _short_of(look, [each.first[0] for each in sets])
    rest = {
        "measured": said("{count} sets", count=len(sets)),
        "source": source_of(*asked),
        "entries": tuple(each for found in sets for each in found.entries),
    }
    if short:
        return RATE.not_shown(said("Fluid tests: {short}.", short=short), Work.ASK_ENGINEER, **rest)
    return RATE.met(said("{count} sets, as often as asked.", count=len(sets)), **rest)


def _short_of(look: Look, times: list[datetime]) -> str:
    count, first_hours, interval = (
        look.number(name) for name in ("initial_sets", "initial_hours", "steady_interval")
    )
    times = sorted(times)
    moment = max(look.moment, times[-1])
    early_end = times[0] + timedelta(seconds=float(first_hours or 0))
    if count is not None and first_hours:
        owed = count * min(Fraction(1), seconds(moment - times[0]) / first_hours)
        made = sum(each <= early_end for each in times)
        if made < int(owed):
            first = look.phrases.say(Quantity.HOURS, first_hours)
            numbers = {"made": made, "owed": int(owed)}
            return said("{made} sets in the first {hours}, asked {owed} by now", **numbers, hours=first)
    if interval is not None:
        for earlier, later in pairwise([*times, moment]):
            if later > early_end and seconds(later - max(earlier, early_end)) > interval:
                asked = at_most(look.phrases.say(Quantity.HOURS, interval), strict=False)
                ends = {"begin": clock(earlier), "end": clock(later)}
                return said("none from {begin} to {end}, asked {limit}", **ends, limit=asked)
    return ""


def _early(look: Look, requirement: Requirement, asked: tuple[Parameter | None, ...]) -> Finding | None:
    """Not asked, dry, or a limit still to be entered."""
    if look.scheduled.fluid is Fluid.NONE:
        return requirement.not_asked(DRY_HOLE)
    if all(each is None for each in asked):
        return requirement.not_asked()
    return requirement.to_be_entered(*asked)
