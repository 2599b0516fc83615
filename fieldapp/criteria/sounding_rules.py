"""How the base was sounded: enough points, out to the wall, both depths, at the times asked."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.look import Look, pass_end, seen
from fieldapp.criteria.phrasing import (
    Quantity,
    at_least,
    at_most,
    both,
    joined,
    named,
    sentence,
    source_of,
    term,
)
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import latest_round, shows_thickness
from fieldapp.criteria.spread import distinct_places, farthest_unprobed
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.said import said
from fieldapp.record.words import Happening, RoundWhy

POINTS: Final = Requirement("sounding points", Group.EVIDENCE, 8, "A round has points at this many places.")
RIM: Final = Requirement("sounding rim points", Group.EVIDENCE, 6, "A round reaches this near to the wall.")
SPREAD: Final = Requirement(
    "sounding spread", Group.EVIDENCE, 6, "No place of the base is farther than this from a reading."
)
DEPTHS: Final = Requirement(
    "sounding both depths", Group.EVIDENCE, 9, "Every point has first contact and firm bottom."
)
ROUNDS: Final = Requirement("sounding rounds", Group.EVIDENCE, 7, "The base was sounded at these times.")
REQUIREMENTS: Final = (POINTS, RIM, SPREAD, DEPTHS, ROUNDS)

# Fewer points than this cannot go around a rim (judgment).
_RIM_POINTS: Final = 3


def enough_points(look: Look) -> Finding:
    """Places that were read in the latest round, against the least number for the diameter.

    Points that stand closer together than a tenth of the radius are one place.
    """
    asked, line = look.limit("min_points"), latest_round(look)
    early = _early(look, POINTS, asked, line)
    if early or asked is None or asked.reading is None or line is None:
        return early or POINTS.not_asked()
    places = distinct_places(look, line)
    count = len(places)
    measured = said("{count} place read" if count == 1 else "{count} places read", count=count)
    least = at_least(str(asked.reading.si), strict=False)
    rest = {"measured": measured, "limit": least, **_rests_on(line, asked)}
    round_said = {"number": line.values.number, "places": measured, "limit": least}
    says = said("Round {number}: {places}, asked {limit}.", **round_said)
    if len(places) >= asked.reading.si:
        return POINTS.met(says, **rest)
    return POINTS.not_shown(says, Work.SOUND, **rest)


def rim_points(look: Look) -> Finding:
    """The outermost points of the latest round, against the most distance from the wall.

    Three points at least have to be as near.  With the cage in the hole the rim is out of reach and
    the cage's size is not in the record, so nothing is asked then.
    """
    asked, line = look.limit("edge_offset"), latest_round(look)
    early = _early(look, RIM, asked, line)
    if early or asked is None or asked.reading is None or line is None:
        return early or RIM.not_asked()
    if any(seen(each) < seen(line) for each in look.events(Happening.CAGE_SET)):
        return RIM.not_asked(said("The cage stands between the points and the wall."))
    radius = look.scheduled.diameter.si / 2
    gaps = sorted(radius - _radius(each) for each in line.values.points if not each.no_reading)
    far = gaps[_RIM_POINTS - 1] if len(gaps) >= _RIM_POINTS else radius
    gap = look.phrases.say(Quantity.THICKNESS, far)
    limit = at_most(look.phrases.say(Quantity.THICKNESS, asked.reading.si), strict=False)
    rest = {"measured": gap, "limit": limit, **_rests_on(line, asked)}
    says = said("Rim points {gap} off the wall, asked {limit}.", gap=gap, limit=limit)
    return RIM.met(says, **rest) if far <= asked.reading.si else RIM.not_shown(says, Work.SOUND, **rest)


def spread(look: Look) -> Finding:
    """How far the farthest place of the base is from a reading of the latest round, of the base radius.

    It holds with the cage in the hole too.
    """
    asked, line = look.limit("largest_unprobed"), latest_round(look)
    early = _early(look, SPREAD, asked, line)
    if early or asked is None or asked.reading is None or line is None:
        return early or SPREAD.not_asked()
    places = distinct_places(look, line)
    far = farthest_unprobed(places, float(look.scheduled.diameter.si) / 2)
    share = look.phrases.say(Quantity.SHARE, far)
    limit = at_most(look.phrases.say(Quantity.SHARE, asked.reading.si), strict=False)
    measured = said("{share} of the radius", share=share)
    rest = {"measured": measured, "limit": limit, **_rests_on(line, asked)}
    if far <= asked.reading.si:
        says = said("No place is over {share} of the radius from a reading.", share=share)
        return SPREAD.met(says, **rest)
    if not places:
        return SPREAD.not_shown(said("No point of the round was read."), Work.SOUND, **rest)
    far_off = {"share": share, "limit": limit}
    says = said("A place is {share} of the radius from any reading, asked {limit}.", **far_off)
    return SPREAD.not_shown(says, Work.SOUND, **rest)


def both_depths(look: Look) -> Finding:
    """Points of the latest round with a thickness: both depths, or a thickness read directly."""
    asked, line = look.limit("require_firm_bottom"), latest_round(look)
    if asked is not None and asked.value == "no":
        return DEPTHS.not_asked()
    early = _early(look, DEPTHS, asked, line)
    if early or asked is None or line is None:
        return early or DEPTHS.not_asked()
    half = [each.label for each in line.values.points if not _has_firm_bottom(look, line, each)]
    if not half:
        whole = said("Every point has first contact and firm bottom.")
        return DEPTHS.met(whole, **_rests_on(line, asked))
    where = named("point", half)
    says = sentence(said("{where}: first contact or firm bottom is missing.", where=where))
    return DEPTHS.not_shown(says, Work.SOUND, where=where, **_rests_on(line, asked))


def _has_firm_bottom(look: Look, line: Line[SoundingRound], point: SoundingPoint) -> bool:
    if point.first_contact is not None and point.firm is not None:
        return True
    return point.thickness is not None and shows_thickness(look, line)


def rounds_made(look: Look) -> Finding:
    """Rounds since the last cleaning, against the times asked.

    A round after the cage was set shows the base after the cage, whatever it was made for.
    """
    asked, line = look.limit("rounds_required"), latest_round(look)
    early = _early(look, ROUNDS, asked, line)
    if early or asked is None or line is None:
        return early or ROUNDS.not_asked()
    cleaned = look.last_pass
    rounds = [each for each in look.lines(SoundingRound) if cleaned is None or seen(each) > pass_end(cleaned)]
    missing = [each for each in look.words("rounds_required") if not _made(look, each, rounds)]
    wanted = look.words("rounds_required")
    limit = joined(map(term, wanted)) if ", ".join(wanted) == asked.value else str(asked.value)
    rest = {"limit": limit, **_rests_on(line, asked)}
    if not missing:
        return ROUNDS.met(said("Sounded {times}.", times=both(map(term, wanted))), **rest)
    says = said("No round {times} since the last cleaning.", times=both(map(term, missing)))
    return ROUNDS.not_shown(says, Work.SOUND, **rest)


def _made(look: Look, asked: str, rounds: list[Line[SoundingRound]]) -> bool:
    if asked == RoundWhy.AFTER_PASS:
        return bool(rounds)
    cage = look.events(Happening.CAGE_SET)
    if asked == RoundWhy.AFTER_CAGE and cage:
        return any(seen(each) > seen(cage[-1]) for each in rounds)
    return any(each.values.why == asked for each in rounds)


def _radius(point: SoundingPoint) -> Fraction:
    assert point.r is not None
    return point.r.si


def _early(
    look: Look, requirement: Requirement, asked: Parameter | None, line: Line[SoundingRound] | None
) -> Finding | None:
    if asked is None:
        return requirement.not_asked()
    to_be_entered = requirement.to_be_entered(asked)
    if to_be_entered or line is not None:
        return to_be_entered
    return requirement.not_shown("The base was not sounded.", Work.SOUND, source=source_of(asked))


def _rests_on(line: Line[SoundingRound], asked: Parameter) -> dict[str, object]:
    return {"when": line.observed_at, "entries": line.entries, "source": source_of(asked)}
