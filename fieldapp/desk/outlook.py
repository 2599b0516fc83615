"""How long the base stays as it was sounded, and what one more cleanout pass is worth.

The forecast starts at the latest round, with the sand of the last fluid set before it (or the first after
it), and is held against every later round that no pass came before: the record has both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Final

import numpy as np

from fieldapp.base.assured import even_rise_room
from fieldapp.base.pass_worth import PassSeen, Worth, next_pass
from fieldapp.criteria.fluid_sets import FluidSet, sets_of
from fieldapp.criteria.look import Look, pass_end
from fieldapp.criteria.rounds import RoundFacts, round_facts
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.office import moment_of
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth_inputs import asked_of_base
from fieldapp.fluid.forecast import Answer, Comparison, Forecast, Outlook, ThicknessLimit, compare, forecast
from fieldapp.fluid.funnel import FunnelReading, cup_of
from fieldapp.fluid.settling_set import FluidKind
from fieldapp.fluid.suspended import FluidColumn, FluidSample
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.fold import Line
from fieldapp.record.words import Fluid
from fieldapp.units import OutOfRange

HORIZON: Final = timedelta(hours=12)
STEPS: Final = 49
_KINDS: Final = {
    Fluid.MINERAL: FluidKind.MINERAL,
    Fluid.POLYMER: FluidKind.POLYMER,
    Fluid.WATER: FluidKind.WATER,
}


@dataclass(frozen=True, slots=True)
class HeldLater:
    """A forecast from one round held against the next: which rounds, and the comparison."""

    from_round: int
    to_round: int
    comparison: Comparison


@dataclass(frozen=True, slots=True)
class BaseOutlook:
    """The forecast from the latest round, what earlier forecasts were worth, and the next pass.

    ``sound_again_by`` and ``may_break_from`` are moments, None when the forecast says none.
    """

    from_round: int
    from_moment: datetime
    mean_m: float | None
    room_m: float | None
    answer: Answer | None
    sound_again_by: datetime | None
    may_break_from: datetime | None
    held: tuple[HeldLater, ...]
    next_pass: Worth | None
    missing: tuple[str, ...]


def base_outlook(place: Workplace, shaft_id: str, at: datetime | None) -> BaseOutlook:
    """Forecast and pass worth of a shaft.  Raises UnknownShaft; NotOpen without a round of soundings."""
    look = look_at(place, shaft_id, at or moment_of(place, shaft_id))
    rounds = look.lines(SoundingRound)
    if not rounds:
        raise NotOpen(f"Shaft {shaft_id} has no round of soundings to forecast from.")
    latest = round_facts(look, rounds[-1])
    mean, room = _mean_m(latest), _room(look, latest)
    limit = None if mean is None or room is None else ThicknessLimit(mean + room[0], room[1])
    answer, missing = _forecast(look, latest, mean, limit)
    again = answer.sound_again if isinstance(answer, Forecast) else None
    start = rounds[-1].observed_at.astimezone(look.at.tzinfo)
    return BaseOutlook(
        from_round=rounds[-1].values.number,
        from_moment=start,
        mean_m=mean,
        room_m=None if room is None else room[0],
        answer=answer,
        sound_again_by=None if again is None else start + timedelta(seconds=again.by_s),
        may_break_from=None
        if again is None or again.earliest_s is None
        else start + timedelta(seconds=again.earliest_s),
        held=_held(look, rounds),
        next_pass=None if mean is None else next_pass(_passes(look, rounds), mean),
        missing=missing,
    )


def _mean_m(facts: RoundFacts) -> float | None:
    mean = facts.share(Fraction(0), strict=False).mean_m
    return None if mean is None else float(mean)


def _room(look: Look, facts: RoundFacts) -> tuple[float, bool] | None:
    """Even rise [m] left until the requirement breaks, and whether strictly; None when it cannot be told."""
    asked = asked_of_base(look)
    thickness = [each for each in facts.thickness_m if each is not None]
    if asked is None or len(thickness) < len(facts.thickness_m):
        return None
    room_m, strict = even_rise_room(thickness, facts.weights, asked)
    return (room_m, strict) if room_m > 0 else (0.0, False)


def _forecast(
    look: Look, facts: RoundFacts, mean_m: float | None, limit: ThicknessLimit | None
) -> tuple[Answer | None, tuple[str, ...]]:
    kind = _KINDS.get(look.scheduled.fluid)
    if kind is None:
        return None, ("fluid in the hole: nothing settles in a dry one",)
    found = _set_for(look, facts.line)
    if found is None:
        return None, ("a fluid test: the sand in suspension is not known",)
    times = tuple(float(each) for each in np.linspace(0.0, HORIZON.total_seconds(), STEPS))
    try:
        column = _column(look, found, kind)
        return forecast(column, Outlook(mean_m, times, limit)), ()
    except OutOfRange as problem:
        return None, (str(problem),)


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


def _held(look: Look, rounds: Sequence[Line[SoundingRound]]) -> tuple[HeldLater, ...]:
    """Forecasts from each round to the next, where no pass came between and both means are known."""
    ends = [pass_end(each)[0] for each in look.lines(CleanoutPass)]
    found = []
    for first, then in pairwise(rounds):
        if any(first.observed_at < end <= then.observed_at for end in ends):
            continue
        facts, later = round_facts(look, first), _mean_m(round_facts(look, then))
        answer, _ = _forecast(look, facts, _mean_m(facts), None)
        if isinstance(answer, Forecast) and later is not None:
            after_s = (then.observed_at - first.observed_at).total_seconds()
            comparison = compare(answer, after_s, later)
            found.append(HeldLater(first.values.number, then.values.number, comparison))
    return tuple(found)


def _passes(look: Look, rounds: Sequence[Line[SoundingRound]]) -> list[PassSeen]:
    """Passes with the mean of the round before and after each, where there is one with no pass between."""
    passes = sorted(look.lines(CleanoutPass), key=pass_end)
    seen = []
    for index, line in enumerate(passes):
        start, end = line.values.started_at, pass_end(line)[0]
        earlier = pass_end(passes[index - 1])[0] if index else None
        later = passes[index + 1].values.started_at if index + 1 < len(passes) else None
        before = [
            r for r in rounds if r.observed_at <= start and (earlier is None or r.observed_at >= earlier)
        ]
        after = [r for r in rounds if r.observed_at >= end and (later is None or r.observed_at <= later)]
        lasted = line.values.ended_at - start if line.values.ended_at is not None else None
        seen.append(
            PassSeen(
                line.values.number,
                _mean_m(round_facts(look, before[-1])) if before else None,
                _mean_m(round_facts(look, after[0])) if after else None,
                lasted.total_seconds() if lasted else None,
            )
        )
    return seen
