"""How long the base stays as it was sounded, and what one more cleanout pass is worth.

The forecast starts at the latest round, with the sand of the last fluid set before it (or the first after
it), and is held against every later round that no pass came before: the record has both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from fieldapp.base.pass_worth import PassSeen, Worth, next_pass
from fieldapp.criteria.look import Look, pass_end
from fieldapp.criteria.rounds import round_facts
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.office import moment_of
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.base_forecast import forecast_from, mean_m, room_m
from fieldapp.fluid.forecast import Answer, Comparison, Forecast, ThicknessLimit, compare
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.said import said


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
        raise NotOpen(said("Shaft {shaft} has no round of soundings to forecast from.", shaft=shaft_id))
    latest = round_facts(look, rounds[-1])
    mean, room = mean_m(latest), room_m(look, latest)
    limit = None if mean is None or room is None else ThicknessLimit(mean + room[0], room[1])
    answer, missing = forecast_from(look, latest, limit)
    again = answer.sound_again if isinstance(answer, Forecast) else None
    start, zone = rounds[-1].observed_at, look.at.tzinfo
    return BaseOutlook(
        from_round=rounds[-1].values.number,
        from_moment=start.astimezone(zone),
        mean_m=mean,
        room_m=None if room is None else room[0],
        answer=answer,
        sound_again_by=None if again is None else (start + timedelta(seconds=again.by_s)).astimezone(zone),
        may_break_from=None
        if again is None or again.earliest_s is None
        else (start + timedelta(seconds=again.earliest_s)).astimezone(zone),
        held=_held(look, rounds),
        next_pass=None if mean is None else next_pass(_passes(look, rounds), mean),
        missing=missing,
    )


def _held(look: Look, rounds: Sequence[Line[SoundingRound]]) -> tuple[HeldLater, ...]:
    """Forecasts from each round to the next, where no pass came between and both means are known."""
    ends = [pass_end(each)[0] for each in look.lines(CleanoutPass)]
    found = []
    for first, then in pairwise(rounds):
        if any(first.observed_at < end <= then.observed_at for end in ends):
            continue
        facts, later = round_facts(look, first), mean_m(round_facts(look, then))
        answer, _ = forecast_from(look, facts, None)
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
                mean_m(round_facts(look, before[-1])) if before else None,
                mean_m(round_facts(look, after[0])) if after else None,
                lasted.total_seconds() if lasted else None,
            )
        )
    return seen
