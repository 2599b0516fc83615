"""Water on the base of a dry shaft: how deep it stands and how fast it comes in.

A limit is broken by going over it: 1 in in 5 min against 12 in/h is a tie, and met (check HEAD-7).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.holding import held_under
from fieldapp.criteria.look import Look, pass_end, seen
from fieldapp.criteria.phrasing import Quantity, as_read, at_most, clock, seconds, source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.fluid.head import seepage_rate_m_per_s
from fieldapp.record.acceptance import Parameter
from fieldapp.record.fold import Line
from fieldapp.record.hole import StandingWater
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.words import Happening, Method

STANDING: Final = Requirement("standing water", Group.WATER, 9, "No more water than this on a dry base.")
SEEPAGE: Final = Requirement(
    "seepage", Group.WATER, 8, "Water rises no faster than this with the pumps off, in a dry shaft."
)
REQUIREMENTS: Final = (STANDING, SEEPAGE)


def standing_water(look: Look) -> Finding:
    """Depth of water on the base, against its limit; dry method only."""
    limit = look.limit("standing_water_limit")
    early = _early(look, STANDING, limit)
    if early or limit is None:
        return early or STANDING.not_asked()
    found = [each for each in _fresh(look) if each.values.depth is not None]
    if not found or found[-1].values.depth is None:
        says = said("Water on the base was not measured since the last cleaning.")
        return STANDING.not_shown(says, Work.MEASURE_WATER, source=source_of(limit))
    last = found[-1]
    held = held_under(look.phrases, Quantity.THICKNESS, _by_now_m(look, last, found[-1].values.depth), limit)
    says = said("Water {depth} on the base by now, asked {limit}.", depth=held.value, limit=held.limit)
    rest = {"measured": held.value, "limit": held.limit, **_rests_on(last, limit)}
    if not held.within:
        return STANDING.not_met(says, _WORK, **rest)
    old = _too_old(look, last)
    return STANDING.not_shown(old, Work.MEASURE_WATER, **rest) if old else STANDING.met(says, **rest)


def seepage(look: Look) -> Finding:
    """Rate at which water rises, against its limit; dry method only.

    The rise has to be read with the pumps off and over the window asked, unless it is over the limit
    even so.
    """
    limit, window = look.limit("seepage_rate_limit"), look.limit("seepage_window")
    early = _early(look, SEEPAGE, limit, window)
    if early or limit is None:
        return early or SEEPAGE.not_asked()
    found = [each for each in _fresh(look) if each.values.rise is not None]
    if not found:
        says = said("Seepage was not measured since the last cleaning.")
        return SEEPAGE.not_shown(says, Work.MEASURE_WATER, source=source_of(limit))
    last = found[-1].values
    assert last.rise is not None
    assert last.window is not None
    rate = Fraction(seepage_rate_m_per_s(last.rise.si, last.window.si))
    held = held_under(look.phrases, Quantity.RISE, rate, limit)
    rest = {"measured": held.value, "limit": held.limit, **_rests_on(found[-1], limit)}
    says = said("Water rises {rise}, asked {limit}.", rise=held.value, limit=held.limit)
    if not held.within:
        return SEEPAGE.not_met(says, _WORK, **rest)
    if not last.pumps_off:
        return SEEPAGE.not_shown(said("Seepage was read with a pump on."), Work.MEASURE_WATER, **rest)
    if window is not None and window.reading is not None and last.window.si < window.reading.si:
        short = said(
            "Seepage was read over {span}, asked at least {least}.",
            span=as_read(last.window),
            least=as_read(window.reading),
        )
        return SEEPAGE.not_shown(short, Work.MEASURE_WATER, **rest)
    old = _too_old(look, found[-1])
    return SEEPAGE.not_shown(old, Work.MEASURE_WATER, **rest) if old else SEEPAGE.met(says, **rest)


def _by_now_m(look: Look, line: Line[StandingWater], read: Reading) -> Fraction:
    """Depth of water at the moment [m]: as read, carried on at the last rate until the hole is full."""
    risen = read.si + _rate_m_per_s(look) * _age_s(look, line)
    reached = look.shaft.base_reached
    drilled = reached.values.drilled_depth if reached else None
    return risen if drilled is None else min(risen, max(read.si, drilled.si))


def _age_s(look: Look, line: Line[StandingWater]) -> Fraction:
    return max(seconds(look.moment - line.observed_at), Fraction(0))


def _rate_m_per_s(look: Look) -> Fraction:
    """The last rate at which water rose [m/s]; 0 where none was read, which the age limit guards."""
    rates = [each.values for each in _fresh(look) if each.values.rise is not None]
    if not rates or rates[-1].rise is None or rates[-1].window is None:
        return Fraction(0)
    return rates[-1].rise.si / rates[-1].window.si


def _too_old(look: Look, line: Line[StandingWater]) -> str:
    oldest = look.number("water_max_age")
    if oldest is None or _age_s(look, line) <= oldest:
        return ""
    age, most = (look.phrases.say(Quantity.HOURS, each) for each in (_age_s(look, line), oldest))
    limit = at_most(most, strict=False)
    return said("Water was measured {age} ago, asked {limit}.", age=age, limit=limit)


_WORK: Final = Work.DEWATER_OR_FLOOD


def _early(look: Look, requirement: Requirement, *limits: Parameter | None) -> Finding | None:
    if look.scheduled.method is not Method.DRY:
        return requirement.not_asked(said("Only asked of a dry shaft."))
    if limits[0] is None:
        return requirement.not_asked()
    flooded = look.events(Happening.HOLE_FLOODED)
    if flooded:
        says = said(
            "The hole was flooded at {time}; amend the shaft to the wet method.",
            time=clock(flooded[-1].observed_at),
        )
        return requirement.not_shown(says, Work.ASK_ENGINEER, entries=flooded[-1].entries)
    return requirement.to_be_entered(*limits)


def _fresh(look: Look) -> list[Line[StandingWater]]:
    """Measurements since the base was reached and last cleaned."""
    cleaned = look.last_pass
    marks = [each for each in (look.base_reached_at, pass_end(cleaned) if cleaned else None) if each]
    return [each for each in look.lines(StandingWater) if all(seen(each) > mark for mark in marks)]


def _rests_on(line: Line[StandingWater], limit: Parameter) -> dict[str, object]:
    return {"when": line.observed_at, "entries": line.entries, "source": source_of(limit)}
