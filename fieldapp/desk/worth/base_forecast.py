"""How long a sounded base stays clean, from a shaft as the rules look at it.

The forecast starts at a round, with the sand of the last fluid set before it (or the first after it).  What
it needs and the record does not hold is named; nothing is assumed in its place.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

import numpy as np

from fieldapp.base.assured import even_rise_room
from fieldapp.criteria.fluid_sets import FluidSet, sets_of
from fieldapp.criteria.look import Look, pass_end
from fieldapp.criteria.rounds import RoundFacts, round_facts
from fieldapp.desk.worth.inputs import asked_of_base
from fieldapp.fluid.forecast import Answer, Forecast, Outlook, ThicknessLimit, forecast
from fieldapp.fluid.funnel import FunnelReading, cup_of
from fieldapp.fluid.settling_set import FluidKind
from fieldapp.fluid.suspended import FluidColumn, FluidSample
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.fold import Line
from fieldapp.record.said import said, said_of, sayable
from fieldapp.record.words import Fluid
from fieldapp.units import OutOfRange

HORIZON: Final = timedelta(hours=12)
STEPS: Final = 49
# What the forecast itself can want; listed here for the languages.
_WANTS: Final = (
    sayable("thickness now"),
    sayable("funnel time with the 946 mL cup"),
    sayable("a settling law for sand content over 20 %"),
)
_KINDS: Final = {
    Fluid.MINERAL: FluidKind.MINERAL,
    Fluid.POLYMER: FluidKind.POLYMER,
    Fluid.WATER: FluidKind.WATER,
}


def sound_again_by(look: Look) -> datetime | None:
    """When the forecast from the latest round says to sound again, in the time zone of the look.

    None without a round, after a later pass, when the base does not meet its requirement as it is, when the
    forecast cannot be made, and when it sets no time.
    """
    rounds = look.lines(SoundingRound)
    if not rounds or any(pass_end(each)[0] > rounds[-1].observed_at for each in look.lines(CleanoutPass)):
        return None
    try:
        facts = round_facts(look, rounds[-1])
    except OutOfRange:  # a point off the base as it is planned now: its round is not shown
        return None
    mean, room = mean_m(facts), room_m(look, facts)
    if mean is None or room is None or room[0] <= 0:
        return None
    answer, _ = forecast_from(look, facts, ThicknessLimit(mean + room[0], room[1]))
    again = answer.sound_again if isinstance(answer, Forecast) else None
    if again is None:
        return None
    return (rounds[-1].observed_at + timedelta(seconds=again.by_s)).astimezone(look.at.tzinfo)


def mean_m(facts: RoundFacts) -> float | None:
    """Mean thickness [m] of a round over the base; None when a point is unread."""
    mean = facts.share(Fraction(0), strict=False).mean_m
    return None if mean is None else float(mean)


def room_m(look: Look, facts: RoundFacts) -> tuple[float, bool] | None:
    """Even rise [m] left until the requirement breaks, and whether strictly; None when it cannot be told."""
    asked = asked_of_base(look)
    thickness = [each for each in facts.thickness_m if each is not None]
    if asked is None or len(thickness) < len(facts.thickness_m):
        return None
    room_m, strict = even_rise_room(thickness, facts.weights, asked)
    return (room_m, strict) if room_m > 0 else (0.0, False)


def forecast_from(
    look: Look, facts: RoundFacts, limit: ThicknessLimit | None
) -> tuple[Answer | None, tuple[str, ...]]:
    """The forecast from a round against a limit of the mean thickness, or what it lacks."""
    kind = _KINDS.get(look.scheduled.fluid)
    if kind is None:
        return None, (said("fluid in the hole: nothing settles in a dry one"),)
    found = _set_for(look, facts.line)
    if found is None:
        return None, (said("a fluid test: the sand in suspension is not known"),)
    times = tuple(float(each) for each in np.linspace(0.0, HORIZON.total_seconds(), STEPS))
    try:
        column = _column(look, found, kind)
        return forecast(column, Outlook(mean_m(facts), times, limit)), ()
    except OutOfRange as problem:
        return None, (said_of(problem),)


def _set_for(look: Look, line: Line[SoundingRound]) -> FluidSet | None:
    """The last set before a round that no pass has overtaken, else the first after the round."""
    sets = sets_of(look.lines(FluidTest))
    ends = [pass_end(each)[0] for each in look.lines(CleanoutPass) if pass_end(each)[0] <= line.observed_at]
    since = max(ends, default=None)
    before = [
        each
        for each in sets
        if each.last[0] <= line.observed_at and (since is None or each.first[0] >= since)
    ]
    after = [each for each in sets if each.first[0] > line.observed_at]
    return before[-1] if before else (after[0] if after else None)


def _column(look: Look, found: FluidSet, kind: FluidKind) -> FluidColumn:
    levels = [each for each in look.lines(HeadReading) if each.observed_at <= found.last[0]]
    surface = levels[-1].values.fluid_level.si if levels else Fraction(0)
    base = look.base_depth if look.base_depth is not None else look.scheduled.plan_depth_m
    by_depth = {each.values.sample_depth.si: each.values for each in found.samples}
    samples = [
        _sample(test, depth - surface)
        for depth, test in sorted(by_depth.items())
        if Fraction(0) <= depth - surface <= base - surface
    ]
    return FluidColumn(kind, base - surface, tuple(samples))


def _sample(test: FluidTest, depth_m: Fraction) -> FluidSample:
    funnel = None
    if test.funnel_time is not None and test.cup_volume is not None:
        celsius = test.temperature.si if test.temperature is not None else None
        funnel = FunnelReading(test.funnel_time.si, cup_of(test.cup_volume.si), celsius)
    return FluidSample(
        depth_m=depth_m,
        sand_ratio=test.sand.si if test.sand is not None else None,
        funnel=funnel,
        density_kg_per_m3=test.density.si if test.density is not None else None,
    )
