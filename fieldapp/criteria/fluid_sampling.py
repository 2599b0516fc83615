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
from fieldapp.criteria.phrasing import Quantity, at_most, clock, seconds, source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.acceptance import Parameter
from fieldapp.record.column import FluidTest
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
        what = "The base is not reached yet." if base is None else NO_SET
        return DEPTHS.not_shown(what, Work.TEST_FLUID, source=source_of(*asked))
    depths = [each.values.sample_depth.si for each in found.samples]
    missing = _missing(look, asked, depths, base)
    said = ", ".join(look.phrases.say(Quantity.DEPTH, each) for each in depths)
    rest = {
        "measured": f"samples at {said}",
        "when": found.last[0],
        "entries": found.entries,
        "source": source_of(*asked),
    }
    if missing:
        return DEPTHS.not_shown(f"Set {found.number} has {missing}.", Work.TEST_FLUID, **rest)
    return DEPTHS.met(f"Set {found.number} has samples at {said}.", **rest)


def _missing(look: Look, asked: tuple[Parameter | None, ...], depths: list[Fraction], base: Fraction) -> str:
    within, interval, _ = (each.reading.si if each and each.reading else None for each in asked)
    top = fluid_top_m(look)
    say = look.phrases.say
    if within is not None and base - depths[-1] > within:
        return f"no sample within {say(Quantity.HEAD, within)} of the base"
    if look.words("include_midheight") == ("yes",):
        middle, slack = (base + top) / 2, (base - top) * _MIDDLE
        if not any(abs(each - middle) <= slack for each in depths):
            return f"no sample at mid-height, near {say(Quantity.DEPTH, middle)}"
    if interval is not None:
        for upper, lower in pairwise([top, *depths, base]):
            if lower - upper > interval:
                return f"no sample between {say(Quantity.DEPTH, upper)} and {say(Quantity.DEPTH, lower)}"
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
    passing = _trailing(look, sets)
    measured = f"{len(passing)} in a row"
    rest = {
        "measured": measured,
        "limit": f"at least {asked.reading.si}",
        "source": source_of(asked),
        "when": sets[-1].last[0] if sets else None,
        "entries": tuple(each for found in passing for each in found.entries),
    }
    says = f"{len(passing)} of {asked.reading.si} sets in a row are within all limits." if sets else NO_SET
    if len(passing) >= asked.reading.si:
        return IN_A_ROW.met(says, **rest)
    return IN_A_ROW.not_shown(says, Work.TEST_FLUID, **rest)


def _trailing(look: Look, sets: tuple[FluidSet, ...]) -> list[FluidSet]:
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
    rest = {"source": source_of(asked), "limit": ", ".join(stages)}
    broken = [each for each in stages if _left_broken(look, each, sets)]
    if broken:
        says = f"The fluid was out of limits and not tested within them since: {', '.join(broken)}."
        return STAGES.not_met(says, Work.EXCHANGE_FLUID, measured="out of limits", **rest)
    missing = [each for each in stages if not any(found.stage == each for found in sets)]
    if not missing:
        return STAGES.met("The fluid was tested at every stage asked.", **rest)
    # A stage that has passed cannot be tested any more; only the last one still can.
    last_open = missing == [str(FluidStage.BEFORE_CONCRETE)]
    work = Work.TEST_FLUID if last_open else Work.ASK_ENGINEER
    return STAGES.not_shown(f"The fluid was not tested: {', '.join(missing)}.", work, **rest)


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
    says = f"Fluid tested {held.value} before, at {clock(found.first[0])}, asked {held.limit}."
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
        says = "Only half of the first sets is adopted: their number and their hours belong together."
        return RATE.not_shown(says, Work.ENTER_LIMIT, source=source_of(*asked))
    sets = sets_of(look.lines(FluidTest))
    if not sets:
        return RATE.not_shown("The fluid was not tested.", Work.TEST_FLUID, source=source_of(*asked))
    short = _short_of(look, [each.first[0] for each in sets])
    rest = {
        "measured": f"{len(sets)} sets",
        "source": source_of(*asked),
        "entries": tuple(each for found in sets for each in found.entries),
    }
    if short:
        return RATE.not_shown(f"Fluid tests: {short}.", Work.ASK_ENGINEER, **rest)
    return RATE.met(f"{len(sets)} sets, as often as asked.", **rest)


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
            said = look.phrases.say(Quantity.HOURS, first_hours)
            return f"{made} sets in the first {said}, asked {int(owed)} by now"
    if interval is not None:
        for earlier, later in pairwise([*times, moment]):
            if later > early_end and seconds(later - max(earlier, early_end)) > interval:
                said = at_most(look.phrases.say(Quantity.HOURS, interval), strict=False)
                return f"none from {clock(earlier)} to {clock(later)}, asked {said}"
    return ""


def _early(look: Look, requirement: Requirement, asked: tuple[Parameter | None, ...]) -> Finding | None:
    """Not asked, dry, or a limit still to be entered."""
    if look.scheduled.fluid is Fluid.NONE:
        return requirement.not_asked(DRY_HOLE)
    if all(each is None for each in asked):
        return requirement.not_asked()
    return requirement.to_be_entered(*asked)
