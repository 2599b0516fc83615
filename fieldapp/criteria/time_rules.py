"""Clocks that run until concrete: fluid at the bottom, the open wall, the last round, the last cleaning.

In an open hole a round that is too old shows nothing any more; once concrete is in, the time is known
and the requirement is broken.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Work
from fieldapp.criteria.holding import held_over, held_under
from fieldapp.criteria.look import Look, pass_end, stage_end
from fieldapp.criteria.phrasing import Quantity, both, clock, seconds, sentence, source_of, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import latest_round
from fieldapp.record.acceptance import Parameter
from fieldapp.record.fold import Line
from fieldapp.record.hole import Event, ExcavationStage
from fieldapp.record.said import said
from fieldapp.record.words import Fluid, Happening, Method

CONTACT: Final = Requirement(
    "fluid contact with the bottom", Group.TIME, 9, "Fluid touches the bottom no longer than this."
)
OPEN: Final = Requirement("open hours", Group.TIME, 6, "The uncased wall stands open no longer than this.")
INSPECTED: Final = Requirement(
    "sounding to concrete", Group.TIME, 8, "The last round is no older than this at concrete."
)
CLEANED: Final = Requirement(
    "cleaning to concrete", Group.TIME, 7, "The last cleanout pass is no older than this at concrete."
)
OVERNIGHT: Final = Requirement("overnight", Group.TIME, 5, "The hole does not stand open overnight.")
CUT: Final = Requirement("overream cut", Group.TIME, 4, "Overreaming cuts at least and at most this much.")
REQUIREMENTS: Final = (CONTACT, OPEN, INSPECTED, CLEANED, OVERNIGHT, CUT)


def contact_with_bottom(look: Look) -> Finding:
    """Time that fluid has touched the bottom zone, from when drilling came within it.

    Drilling is taken to go at an even rate within a stage whose start and end are known; without a
    start, the end counts.  Overreaming of the whole zone by at least the least cut starts it anew.
    """
    asked, zone = look.limit("max_slurry_contact_bottom_h"), look.limit("contact_zone_length")
    if asked is None or look.scheduled.fluid is Fluid.NONE:
        return CONTACT.not_asked()
    to_be_entered = CONTACT.to_be_entered(asked, zone, look.limit("overream_min"))
    if to_be_entered:
        return to_be_entered
    base = look.base_depth
    if base is None:
        return CONTACT.not_shown(said("The base is not reached yet."), None, source=source_of(asked))
    length = zone.reading.si if zone is not None and zone.reading is not None else Fraction(0)
    top = max(base - length, Fraction(0))
    return _clocked(look, CONTACT, asked, _open_since(look, top, base))


def open_hours(look: Look) -> Finding:
    """Time that the wall has stood open, from the top of the socket (the first stage, without one)."""
    asked = look.limit("max_open_hours_rock")
    if asked is None:
        return OPEN.not_asked()
    to_be_entered = OPEN.to_be_entered(asked)
    if to_be_entered:
        return to_be_entered
    socket = look.scheduled.socket_top_elevation
    top = max(look.scheduled.reference_elevation.si - socket.si, Fraction(0)) if socket else Fraction(0)
    return _clocked(look, OPEN, asked, _open_since(look, top, look.base_depth))


def _clocked(
    look: Look, requirement: Requirement, asked: Parameter, since: tuple[datetime, tuple[str, ...]] | None
) -> Finding:
    if since is None:
        return requirement.not_shown(said("No drilling is recorded."), None, source=source_of(asked))
    start, entries = since
    rest, within = _hours(look, start, asked)
    says = said(
        "{requirement} {span} since {start}, asked {limit}.",
        **_told(rest),
        requirement=term(requirement.name),
    )
    if within:
        return requirement.met(sentence(says), entries=entries, **rest)
    return requirement.not_met(sentence(says), Work.OVERREAM, entries=entries, **rest)


def _hours(look: Look, start: datetime, asked: Parameter) -> tuple[dict[str, object], bool]:
    span = max(seconds(look.moment - start), Fraction(0))
    held = held_under(look.phrases, Quantity.HOURS, span, asked)
    rest = {"measured": held.value, "limit": held.limit, "when": start, "source": held.source}
    return rest, held.within


def _told(rest: dict[str, object]) -> dict[str, object]:
    """What the sentence of a clock names: how long, since when, what is asked."""
    assert isinstance(rest["when"], datetime)
    return {"span": rest["measured"], "start": clock(rest["when"]), "limit": rest["limit"]}


def _open_since(look: Look, top: Fraction, base: Fraction | None) -> tuple[datetime, tuple[str, ...]] | None:
    """When drilling first passed a depth, or the overreaming that last renewed the wall below it."""
    stages = sorted(look.lines(ExcavationStage), key=stage_end)
    passed = next((each for each in stages if each.values.to_depth.si >= top), None)
    if passed is None:
        return None
    renewed = [each for each in look.events(Happening.OVERREAMING) if _renews(look, each, top, base)]
    start = _passed_at(passed, top)
    if renewed and renewed[-1].observed_at > start:
        return renewed[-1].observed_at, renewed[-1].entries
    return start, passed.entries


def _passed_at(line: Line[ExcavationStage], depth: Fraction) -> datetime:
    stage, end = line.values, stage_end(line)[0]
    if stage.started_at is None:
        return end
    length = stage.to_depth.si - stage.from_depth.si
    if length == 0:
        return stage.started_at
    share = max(Fraction(0), (depth - stage.from_depth.si) / length)
    return stage.started_at + timedelta(seconds=float(share * seconds(end - stage.started_at)))


def _renews(look: Look, event: Line[Event], top: Fraction, base: Fraction | None) -> bool:
    cut = event.values
    if cut.from_depth is None or cut.to_depth is None or base is None:
        return False
    least = look.number("overream_min")
    enough = least is None or (cut.amount is not None and cut.amount.si >= least)
    return enough and cut.from_depth.si <= top and cut.to_depth.si >= base


def sounding_to_concrete(look: Look) -> Finding:
    """Time from the last round of soundings to concrete, or to the moment."""
    asked, line = look.limit("max_hours_inspect_to_concrete"), latest_round(look)
    if asked is None:
        return INSPECTED.not_asked()
    to_be_entered = INSPECTED.to_be_entered(asked)
    if to_be_entered or line is None:
        says = said("The base was not sounded.")
        return to_be_entered or INSPECTED.not_shown(says, Work.SOUND, source=source_of(asked))
    rest, within = _hours(look, line.observed_at, asked)
    outcome = Outcome.MET if within else Outcome.NOT_MET if look.concrete_in else Outcome.NOT_SHOWN
    work = None if within else Work.SOUND
    says = said("Last round {span} since {start}, asked {limit}.", **_told(rest))
    return INSPECTED.finding(outcome, says, work=work, entries=line.entries, **rest)


def cleaning_to_concrete(look: Look) -> Finding:
    """Time from the end of the last cleanout pass to concrete, or to the moment."""
    asked = look.limit("max_hours_clean_to_concrete")
    line = max(look.cleanings, key=pass_end, default=None)
    if asked is None:
        return CLEANED.not_asked()
    to_be_entered = CLEANED.to_be_entered(asked)
    if to_be_entered or line is None:
        says = said("No cleanout pass is recorded.")
        return to_be_entered or CLEANED.not_shown(says, Work.CLEAN_AGAIN, source=source_of(asked))
    rest, within = _hours(look, pass_end(line)[0], asked)
    says = said("Cleaned {span} since {start}, asked {limit}.", **_told(rest))
    if within:
        return CLEANED.met(says, entries=line.entries, **rest)
    return CLEANED.not_met(says, Work.CLEAN_AGAIN, entries=line.entries, **rest)


def overnight(look: Look) -> Finding:
    """Whether a midnight (by the clock of the first stage) passed over the open hole.

    A cased shaft without a socket counts as cased full length (judgment).
    """
    asked = look.limit("overnight_rule")
    if asked is None:
        return OVERNIGHT.not_asked()
    to_be_entered = OVERNIGHT.to_be_entered(asked)
    stages = sorted(look.lines(ExcavationStage), key=stage_end)
    if to_be_entered or not stages:
        says = said("No drilling is recorded.")
        return to_be_entered or OVERNIGHT.not_shown(says, None, source=source_of(asked))
    start = stages[0].values.started_at or stages[0].observed_at
    nights = (look.moment.astimezone(start.tzinfo).date() - start.date()).days
    measured = said("{count} nights", count=nights)
    rest = {"measured": measured, "when": start, "source": source_of(asked)}
    over = {"count": max(nights, 0), "start": clock(start)}
    cased = look.scheduled.method is Method.CASED and look.scheduled.socket_top_elevation is None
    if nights <= 0 or (cased and asked.value == "unless cased full length"):
        return OVERNIGHT.met(said("Open over {count} nights since {start}.", **over), **rest)
    says = said("The hole stood open over {count} nights since {start}.", **over)
    return OVERNIGHT.not_met(says, Work.ASK_ENGINEER, limit=term(str(asked.value)), **rest)


def overream_cut(look: Look) -> Finding:
    """What the last overreaming cut off the wall, against the least and the most."""
    least, most = look.limit("overream_min"), look.limit("overream_max")
    done = look.events(Happening.OVERREAMING)
    if (least is None and most is None) or not done:
        return CUT.not_asked(said("The hole was not overreamed.") if not done else "")
    to_be_entered = CUT.to_be_entered(least, most)
    if to_be_entered:
        return to_be_entered
    last = done[-1]
    rest = {"when": last.observed_at, "entries": last.entries, "source": source_of(least, most)}
    if last.values.amount is None:
        return CUT.not_shown(said("How much was cut is not recorded."), Work.ASK_ENGINEER, **rest)
    cut = last.values.amount.si
    lower = held_over(look.phrases, Quantity.THICKNESS, cut, least) if least else None
    upper = held_under(look.phrases, Quantity.THICKNESS, cut, most) if most else None
    asked = both(each.limit for each in (lower, upper) if each)
    length = look.phrases.say(Quantity.THICKNESS, cut)
    rest |= {"measured": length, "limit": asked}
    says = said("Overreaming cut {length}, asked {limit}.", length=length, limit=asked)
    if lower and not lower.within:
        return CUT.not_met(says, Work.OVERREAM, **rest)
    if upper and not upper.within:
        return CUT.not_met(says, Work.ASK_ENGINEER, **rest)
    return CUT.met(says, **rest)
