"""Sediment on the base, on the latest round of soundings (before concrete, once it is in).

A point without a thickness leaves a requirement not shown, unless the points that are known break it
already.  A round that is older than something that changed the base shows nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import dist
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Work
from fieldapp.criteria.holding import Held, held_over, held_under, limit_value
from fieldapp.criteria.look import Look, pass_end, seen
from fieldapp.criteria.phrasing import Quantity, at_most, joined, named, sentence, source_of, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import RoundFacts, credit_stays_open, latest_round, round_facts
from fieldapp.criteria.spread import Place, place_m
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.said import said
from fieldapp.units import OutOfRange

AREA_SHARE: Final = Requirement(
    "base area share", Group.BASE, 9, "At least this share of the base is under this thickness of sediment."
)
LARGEST: Final = Requirement("base largest thickness", Group.BASE, 8, "No point has more sediment than this.")
MEAN: Final = Requirement("base mean thickness", Group.BASE, 7, "The area-weighted mean is not over this.")
FLAT_CAP: Final = Requirement("base flat cap", Group.BASE, 6, "One cap on sediment over the whole base.")
FLATNESS: Final = Requirement("base flatness", Group.BASE, 3, "Firm bottom differs by no more than this.")
RISE: Final = Requirement(
    "base rise since last round", Group.BASE, 4, "Sediment has not risen by more than this since cleaning."
)
VERIFIED: Final = Requirement(
    "clean base verified", Group.BASE, 1, "There is a limit on sediment that shows the clean base asked for."
)
REQUIREMENTS: Final = (AREA_SHARE, LARGEST, MEAN, FLAT_CAP, FLATNESS, RISE, VERIFIED)

# What verifies a clean base, with the limit of each.
_VERIFIES: Final = {
    AREA_SHARE: "area_fraction_limit",
    LARGEST: "max_thickness_anywhere",
    MEAN: "mean_thickness_limit",
    FLAT_CAP: "flat_cap_thickness",
}
# Two soundings nearer than this are of the same place; a weight is lowered no better (judgment).
_SAME_SPOT_M: Final = 0.075

_Judge = Callable[[RoundFacts], Finding]


def area_share(look: Look) -> Finding:
    """Share of the base within the thickness limit, against the least share asked."""
    limit, least = look.limit("area_fraction_limit"), look.limit("area_fraction_min")
    if (limit is None) != (least is None):
        says = said(
            "Only half of the area share is adopted: the thickness and the least share belong together."
        )
        return AREA_SHARE.not_shown(says, Work.ENTER_LIMIT, source=source_of(limit, least))
    return _judged(look, AREA_SHARE, (limit, least), lambda facts: _share(look, facts, limit, least))


def largest_thickness(look: Look) -> Finding:
    """The largest thickness at any point."""
    limit = look.limit("max_thickness_anywhere")
    return _judged(look, LARGEST, (limit,), lambda facts: _cap(look, LARGEST, facts, limit))


def flat_cap(look: Look) -> Finding:
    """One cap over the whole base."""
    limit = look.limit("flat_cap_thickness")
    return _judged(look, FLAT_CAP, (limit,), lambda facts: _cap(look, FLAT_CAP, facts, limit))


def mean_thickness(look: Look) -> Finding:
    """The area-weighted mean."""
    limit = look.limit("mean_thickness_limit")
    return _judged(look, MEAN, (limit,), lambda facts: _mean(look, facts, limit))


def flatness(look: Look) -> Finding:
    """Difference between the deepest and the highest firm bottom."""
    limit = look.limit("flatness_limit")
    return _judged(look, FLATNESS, (limit,), lambda facts: _flatness(look, facts, limit))


def clean_verified(look: Look) -> Finding:
    """Whether anything verifies the clean base that base resistance is said to need.

    The findings of the base do, so this one only names them; without a limit on sediment nothing does.
    """
    asked = look.limit("base_requires")
    if "clean_verified" not in look.words("base_requires"):
        return VERIFIED.not_asked()
    shown_by = [term(each.name) for each, limit in _VERIFIES.items() if look.limit(limit) is not None]
    if shown_by:
        names = joined(shown_by)
        return VERIFIED.not_asked(said("A verified clean base is asked; shown by: {names}.", names=names))
    says = said("A verified clean base is asked, and no limit on its sediment is adopted.")
    return VERIFIED.not_shown(says, Work.ENTER_LIMIT, source=source_of(asked), keeps_credit_open=True)


def rise_since_last_round(look: Look) -> Finding:
    """Rise at any place since the first round after the last cleanout pass.  Judgment (T8)."""
    limit = look.limit("reclean_rise_trigger")
    return _judged(look, RISE, (limit,), lambda facts: _rise(look, facts, limit))


def _judged(
    look: Look, requirement: Requirement, limits: tuple[Parameter | None, ...], judge: _Judge
) -> Finding:
    if any(each is None for each in limits):
        return requirement.not_asked()
    to_be_entered = requirement.to_be_entered(*limits, look.limit("weighting"), look.limit("unknown_policy"))
    if to_be_entered:
        return to_be_entered
    line = latest_round(look)
    if line is None:
        return requirement.not_shown(
            said("The base was not sounded."), Work.SOUND, source=source_of(*limits), keeps_credit_open=True
        )
    try:
        facts = round_facts(look, line)
    except OutOfRange as problem:
        return requirement.not_shown(
            said("Round {number}: {problem}.", number=line.values.number, problem=str(problem)),
            Work.SOUND,
            when=line.observed_at,
            entries=line.entries,
            source=source_of(*limits),
            keeps_credit_open=True,
        )
    if facts.stale:
        says = said(
            "Round {number} is older than {change}.", number=facts.line.values.number, change=facts.stale
        )
        return requirement.not_shown(says, Work.SOUND, keeps_credit_open=True, **_rests_on(facts, *limits))
    return judge(facts)


def _rests_on(facts: RoundFacts, *limits: Parameter | None) -> dict[str, object]:
    return {"when": facts.line.observed_at, "entries": facts.line.entries, "source": source_of(*limits)}


def _share(look: Look, facts: RoundFacts, limit: Parameter | None, least: Parameter | None) -> Finding:
    assert limit is not None
    assert least is not None
    phrases = look.phrases
    size = limit_value(limit)
    share = facts.share(size, limit.strict)
    under = at_most(phrases.say(Quantity.THICKNESS, size), limit.strict)
    rest = _rests_on(facts, limit, least)
    best = held_over(phrases, Quantity.SHARE, share.share_if_unknown_clean, least)
    asked = said("{limit} {under}", limit=best.limit, under=under)
    over = named("point", facts.beyond(size, limit.strict))
    if share.share is not None or not best.within:
        measured, says = _share_said(best, under, exact=share.share is not None)
        rest |= {"measured": measured, "limit": asked, "where": over if not best.within else ""}
        if best.within:
            return AREA_SHARE.met(says, **rest)
        return AREA_SHARE.not_met(says, Work.CLEAN_AGAIN, **rest)
    low = phrases.say(Quantity.SHARE, share.share_if_unknown_dirty)
    high = phrases.say(Quantity.SHARE, share.share_if_unknown_clean)
    rest |= {"measured": said("{low} to {high} {under}", low=low, high=high, under=under), "limit": asked}
    may_be = said("{low} to {high} of the base may be {under}", low=low, high=high, under=under)
    return _unread(look, AREA_SHARE, facts, may_be, rest)


def _share_said(best: Held, under: str, *, exact: bool) -> tuple[str, str]:
    """What was measured of the share, and the sentence of it."""
    given = {"share": best.value, "under": under}
    if exact:
        says = said("{share} of the base {under}, asked {limit}.", **given, limit=best.limit)
        return said("{share} {under}", **given), says
    says = said("at most {share} of the base {under}, asked {limit}.", **given, limit=best.limit)
    return said("at most {share} {under}", **given), says


def _cap(look: Look, requirement: Requirement, facts: RoundFacts, limit: Parameter | None) -> Finding:
    assert limit is not None
    rest = _rests_on(facts, limit)
    known = facts.share(limit_value(limit), limit.strict).largest_known_m
    if known is None:
        rest |= {"measured": said("not known"), "limit": _most(look, limit)}
        return _unread(look, requirement, facts, said("the largest is not known"), rest)
    held = held_under(look.phrases, Quantity.THICKNESS, known, limit)
    broken = facts.beyond(limit_value(limit), limit.strict)
    measured = (
        said("largest at least {thickness}", thickness=held.value)
        if facts.unread
        else said("largest {thickness}", thickness=held.value)
    )
    return _capped(look, requirement, facts, held, (broken, measured))


def _mean(look: Look, facts: RoundFacts, limit: Parameter | None) -> Finding:
    assert limit is not None
    held = held_under(look.phrases, Quantity.THICKNESS, facts.least_mean_m(), limit)
    measured = (
        said("mean at least {thickness}", thickness=held.value)
        if facts.unread
        else said("mean {thickness}", thickness=held.value)
    )
    return _capped(look, MEAN, facts, held, ((), measured))


def _capped(
    look: Look, requirement: Requirement, facts: RoundFacts, held: Held, where: tuple[tuple[str, ...], str]
) -> Finding:
    broken, measured = where
    rest: dict[str, object] = {
        **_rests_on(facts),
        "measured": measured,
        "limit": held.limit,
        "source": held.source,
    }
    says = sentence(said("{measured} of sediment, asked {limit}.", measured=measured, limit=held.limit))
    if not held.within:
        return requirement.not_met(says, Work.CLEAN_AGAIN, where=named("point", broken), **rest)
    if facts.unread:
        return _unread(look, requirement, facts, said("{measured} of sediment", measured=measured), rest)
    return requirement.met(says, **rest)


def _unread(
    look: Look, requirement: Requirement, facts: RoundFacts, known: str, rest: dict[str, object]
) -> Finding:
    """A point without a thickness: not shown, or not met where the acceptance set says so."""
    where = named("point", facts.unread)
    says = (
        said("{where} has no thickness; {known}.", where=where, known=known)
        if len(facts.unread) == 1
        else said("{where} have no thickness; {known}.", where=where, known=known)
    )
    fails = look.words("unknown_policy") == ("fail",)
    outcome = Outcome.NOT_MET if fails else Outcome.NOT_SHOWN
    open_credit = credit_stays_open(look, facts)
    return requirement.finding(
        outcome, sentence(says), work=Work.SOUND, where=where, keeps_credit_open=open_credit, **rest
    )


def _most(look: Look, limit: Parameter) -> str:
    return at_most(look.phrases.say(Quantity.THICKNESS, limit_value(limit)), limit.strict)


def _flatness(look: Look, facts: RoundFacts, limit: Parameter | None) -> Finding:
    assert limit is not None
    firm = [each.firm.si for each in facts.line.values.points if each.firm is not None]
    missing = [each.label for each in facts.line.values.points if each.firm is None]
    rest = _rests_on(facts, limit)
    if not firm:
        return FLATNESS.not_shown(said("Firm bottom was not read at any point."), Work.SOUND, **rest)
    held = held_under(look.phrases, Quantity.THICKNESS, max(firm) - min(firm), limit)
    rest |= {"measured": said("{length} between points", length=held.value), "limit": held.limit}
    says = said("Firm bottom differs by {length}, asked {limit}.", length=held.value, limit=held.limit)
    if not held.within:
        return FLATNESS.not_met(says, Work.ASK_ENGINEER, **rest)
    if missing:
        where = named("point", missing)
        missed = said("No firm bottom at {where}.", where=where)
        return FLATNESS.not_shown(missed, Work.SOUND, where=where, **rest)
    return FLATNESS.met(says, **rest)


def _rise(look: Look, facts: RoundFacts, limit: Parameter | None) -> Finding:
    assert limit is not None
    earlier = _shown_since_cleaning(look, facts.line)
    if not earlier:
        return RISE.not_asked(said("No earlier round since the last cleanout pass shows a thickness."))
    before = earlier[0]
    rises = _rises(earlier, facts)
    if not rises:
        says = said("No place was read in both rounds.")
        return RISE.not_shown(says, Work.SOUND, **_rests_on(facts, limit))
    label, (most, since) = max(rises.items(), key=lambda each: each[1][0])
    held = held_under(look.phrases, Quantity.THICKNESS, most, limit)
    rest = _rests_on(facts, limit) | {"measured": held.value, "limit": held.limit}
    rest["entries"] = (*(name for each in earlier for name in each.entries), *facts.line.entries)
    if held.within and facts.unread:
        return _unread(look, RISE, facts, said("its rise is not known"), rest)
    unmatched = [each.label for each in facts.line.values.points if each.label not in rises]
    if held.within and unmatched:
        where = named("point", unmatched)
        says = said(
            "{where} cannot be compared with round {number}.", where=where, number=before.values.number
        )
        return RISE.not_shown(sentence(says), Work.SOUND, where=where, **rest)
    if held.within and most <= 0:
        return RISE.met(said("Sediment has not risen."), **rest)
    says = said(
        "Sediment rose by {rise} since round {number}, asked {limit}.",
        rise=held.value,
        number=since,
        limit=held.limit,
    )
    if held.within:
        return RISE.met(says, **rest)
    return RISE.not_met(says, Work.CLEAN_AGAIN, where=named("point", [label]), **rest)


def _shown_since_cleaning(look: Look, latest: Line[SoundingRound]) -> tuple[Line[SoundingRound], ...]:
    """Earlier rounds since the last pass in which a thickness was read anywhere.

    A round of first contacts alone shows none: nothing can be held against it, then or ever.
    """
    last = look.last_pass
    return tuple(
        each
        for each in look.lines(SoundingRound)
        if seen(each) < seen(latest)
        and (last is None or seen(each) > pass_end(last))
        and any(point.thickness_m is not None for point in each.values.points)
    )


def _rises(earlier: tuple[Line[SoundingRound], ...], facts: RoundFacts) -> dict[str, tuple[Fraction, int]]:
    """Rise [m] by point since the first round with a thickness at its place, and that round's number."""
    found: dict[str, tuple[Fraction, int]] = {}
    placed = [([place_m(point) for point in each.values.points], each) for each in earlier]
    for point, now in zip(facts.line.values.points, facts.thickness_m, strict=True):
        place = place_m(point)
        before = ((_thickness_at(each, places, place), each.values.number) for places, each in placed)
        first = next(((then, number) for then, number in before if then is not None), None)
        if now is not None and first is not None:
            found[point.label] = (now - first[0], first[1])
    return found


def _thickness_at(line: Line[SoundingRound], places: list[Place], place: Place) -> Fraction | None:
    """The thickness [m] that a round shows at a place; None where it was not read there."""
    gaps = [dist(place, each) for each in places]
    nearest = gaps.index(min(gaps))
    return line.values.points[nearest].thickness_m if gaps[nearest] <= _SAME_SPOT_M else None
