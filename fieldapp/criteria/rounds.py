"""The latest round of soundings as rules see it, and what makes it too old to count.

Both depths of a sounding are read with the same tape, so its zero offset cancels in the thickness; a
thickness read directly is taken as it was read.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.base.cleanliness import Cleanliness, share_within
from fieldapp.criteria.fluid_sets import breaks_sand_or_density, samples_before_concrete
from fieldapp.criteria.look import Look, Moment, pass_end, seen, stage_end
from fieldapp.criteria.phrasing import clock
from fieldapp.criteria.spread import cell_areas_m2, place_m
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting, ExcavationStage
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument
from fieldapp.record.words import Happening, InstrumentType, Method, Seen
from fieldapp.units import Number

# After these the base is never what it was, whatever the acceptance set lists.
ALWAYS_SOUND_AGAIN_AFTER: Final = (Happening.SLOUGH, Happening.LOSS_OF_HEAD, Happening.OVERREAMING)
_SHOW_THICKNESS: Final = (InstrumentType.CAMERA, InstrumentType.BASE_PENETROMETER)


@dataclass(frozen=True, slots=True)
class RoundFacts:
    """A round with the thickness [m] and the weight of every point; ``stale`` says why it is too old."""

    line: Line[SoundingRound]
    thickness_m: tuple[Fraction | None, ...]
    weights: tuple[Number, ...]
    stale: str

    @property
    def name(self) -> str:
        """``Round 2``."""
        return said("Round {number}", number=self.line.values.number)

    @property
    def unread(self) -> tuple[str, ...]:
        """Labels of the points without a thickness."""
        return self._labels([each is None for each in self.thickness_m])

    def beyond(self, limit_m: Fraction, strict: bool) -> tuple[str, ...]:
        """Labels of the points that are known to break an upper limit."""
        return self._labels(
            [t is not None and (t > limit_m or (strict and t == limit_m)) for t in self.thickness_m]
        )

    def share(self, limit_m: Fraction, strict: bool) -> Cleanliness:
        """Share, largest and mean of the round."""
        return share_within(self.thickness_m, self.weights, limit_m, strict)

    def least_mean_m(self) -> Fraction:
        """Mean thickness [m] if every unread point were clean; rounded to 1e-9 m."""
        known = [each or Fraction(0) for each in self.thickness_m]
        mean = share_within(known, self.weights, Fraction(0), strict=False).mean_m or Fraction(0)
        return Fraction(round(mean * 10**9), 10**9)

    def _labels(self, wanted: list[bool]) -> tuple[str, ...]:
        pairs = zip(self.line.values.points, wanted, strict=True)
        return tuple(point.label for point, yes in pairs if yes)


def latest_round(look: Look) -> Line[SoundingRound] | None:
    """The round observed last (before concrete, once it is in), or None."""
    found = look.lines(SoundingRound)
    return found[-1] if found else None


def round_facts(look: Look, line: Line[SoundingRound]) -> RoundFacts:
    """Facts of a round.  Raises OutOfRange when a point lies off the base."""
    return look.once(("round", line.id), lambda: _facts(look, line))


def _facts(look: Look, line: Line[SoundingRound]) -> RoundFacts:
    points = line.values.points
    thickness = tuple(each.thickness_m for each in points)
    weighting = look.words("weighting")
    weights: tuple[Number, ...] = (
        (Fraction(1),) * len(points)
        if weighting == ("equal",)
        else cell_areas_m2(tuple(place_m(each) for each in points), float(look.scheduled.diameter.si) / 2)
    )
    return RoundFacts(line, thickness, weights, staleness(look, line))


def shows_thickness(look: Look, line: Line[SoundingRound]) -> bool:
    """Whether the instrument of a round shows a thickness itself; read by tape, one has no firm bottom."""
    instrument = instrument_at(look, line)
    return instrument is not None and instrument.type in _SHOW_THICKNESS


def instrument_at(look: Look, line: Line[SoundingRound]) -> Instrument | None:
    """The instrument of a round by its last check before it, else by its first one after it, or None."""
    checks = look.project.checks_of(line.values.instrument)
    before = [each for each in checks if each.observed_at <= line.observed_at]
    known = before[-1:] or checks[:1]
    return known[0].values if known else None


def staleness(look: Look, line: Line[SoundingRound]) -> str:
    """What happened to the base after a round, first thing first; empty when nothing did."""
    later = [(when, what) for when, what in _changes(look) if when > seen(line)]
    later += [
        (
            seen(each),
            said("a later round whose amendments disagree at {time}", time=clock(each.observed_at)),
        )
        for each in look.shaft.contested
        if isinstance(each.values, SoundingRound) and seen(each) > seen(line)
    ]
    if not later:
        return ""
    return min(later)[1]


def _changes(look: Look) -> Iterator[tuple[Moment, str]]:
    for each in look.lines(CleanoutPass):
        ended = pass_end(each)
        about = {"number": each.values.number, "time": clock(ended[0])}
        yield ended, said("cleanout pass {number} at {time}", **about)
    for stage in look.lines(ExcavationStage):
        drilled = stage_end(stage)
        yield drilled, said("drilling at {time}", time=clock(drilled[0]))
    for event in look.events(*ALWAYS_SOUND_AGAIN_AFTER, *look.words("resound_events")):
        about = {"event": event.values.what, "time": clock(event.observed_at)}
        yield seen(event), said("{event} at {time}", **about)
    for sighting in look.lines(BaseSighting):
        time = clock(sighting.observed_at)
        if Seen.LOOSE_MATERIAL in sighting.values.seen:
            yield seen(sighting), said("a sighting of loose material at {time}", time=time)
        elif Seen.WATER in sighting.values.seen and look.scheduled.method is Method.DRY:
            yield seen(sighting), said("a sighting of water on the dry base at {time}", time=time)
    yield from _failed_fluid(look)


def _failed_fluid(look: Look) -> Iterator[tuple[Moment, str]]:
    if look.words("reclean_on_slurry_fail") == ("yes",):
        for sample in samples_before_concrete(look):
            if breaks_sand_or_density(look, sample):
                yield seen(sample), said("a failed fluid test at {time}", time=clock(sample.observed_at))


def credit_stays_open(look: Look, facts: RoundFacts) -> bool:
    """Whether a round tells too little of the base to quantify its credit.

    It does when it is stale, or when fewer points than the acceptance set asks for have a thickness (any
    unread point, where it asks for no number).  Judgment.
    """
    if facts.stale:
        return True
    asked = look.number("min_points")
    read = sum(each is not None for each in facts.thickness_m)
    return read < (asked if asked is not None else len(facts.thickness_m))
