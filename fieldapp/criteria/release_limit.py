"""How long a release can hold by the acceptance set, with the record as it is and concrete not started.

A limit is the last second at which a requirement that is met now still is: each rule that looks at the clock
is asked again at later moments.  So what a limit says is what the finding would say, without a second
formula.  What is not met or not shown already is passed over by a release, and ends none.  What is watched
while a release holds (head, water, fluid at intervals) is kept up by the next reading: it does not bound the
time of a release, and a release lapses when that reading does not come.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

from fieldapp.criteria import fluid_sampling, head_rules, time_rules, water_rules
from fieldapp.criteria.finding import Finding, Outcome
from fieldapp.criteria.look import Look
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.criteria.phrasing import as_read, clock, term
from fieldapp.criteria.rules import Rule, apply
from fieldapp.record.said import said

VALID_FOR: Final = "release_valid_for"
# A hole stands open for hours or a few days; a limit further off than this bounds no release (judgment).
HORIZON: Final = timedelta(days=14)

# The rules whose findings change by the passing of time alone, with the parameter that sets the time.
_TIMED: Final[tuple[tuple[Rule, str], ...]] = (
    (time_rules.sounding_to_concrete, "max_hours_inspect_to_concrete"),
    (time_rules.cleaning_to_concrete, "max_hours_clean_to_concrete"),
    (fluid_sampling.age_of_last_set, "fluid_test_max_age"),
    (fluid_sampling.rate_of_tests, "steady_interval"),
    (time_rules.contact_with_bottom, "max_slurry_contact_bottom_h"),
    (time_rules.open_hours, "max_open_hours_rock"),
    (time_rules.overnight, "overnight_rule"),
    (head_rules.head_findings, "max_head_gap"),
    (water_rules.standing_water, "standing_water_limit"),
    (water_rules.seepage, "water_max_age"),
)
WATCHED: Final[tuple[Rule, ...]] = (
    fluid_sampling.rate_of_tests,
    head_rules.head_findings,
    water_rules.standing_water,
    water_rules.seepage,
)


@dataclass(frozen=True, slots=True)
class ReleaseLimit:
    """The last moment at which a release can hold, the sentence that says why, and the requirement.

    ``watched``: a reading made in time keeps it up, so that it bounds no release in advance.
    """

    until: datetime
    says: str
    requirement: str
    watched: bool = False


def release_limits(look: Look, before: datetime | None = None) -> tuple[ReleaseLimit, ...]:
    """Everything in the acceptance set that ends a release made at the moment of a look, earliest first.

    Limits at or after ``before`` (14 days on, when nothing is said) are left out; times are to the second.
    Empty once concrete has started.
    """
    end = int(((before - look.at) if before is not None else HORIZON).total_seconds())
    if look.concrete_in or end <= 0:
        return ()
    found = [*_valid_for(look), *(each for rule, name in _TIMED for each in _limits(look, rule, name, end))]
    last = look.at + timedelta(seconds=end)
    return tuple(sorted((each for each in found if each.until < last), key=lambda each: each.until))


def _valid_for(look: Look) -> Iterator[ReleaseLimit]:
    asked, longest = look.limit(VALID_FOR), look.number(VALID_FOR)
    if asked is not None and asked.reading is not None and longest is not None:
        until = look.at + timedelta(seconds=int(longest))
        says = said(
            "The acceptance set lets a release hold for {span}, until {until}.",
            span=as_read(asked.reading),
            until=clock(until),
        )
        yield ReleaseLimit(until, says, VALID_FOR.replace("_", " "))


def _limits(look: Look, rule: Rule, name: str, end: int) -> Iterator[ReleaseLimit]:
    now = apply((rule,), look)
    for each in now:
        if (
            each.outcome is Outcome.MET
            and _after(look, rule, each.requirement, end).outcome is not Outcome.MET
        ):
            last = _last_met(look, rule, each.requirement, (_likely(look, now, name), end))
            broken = _after(look, rule, each.requirement, last + 1)
            yield _limit(look, name, look.at + timedelta(seconds=last), broken, rule in WATCHED)


def _likely(look: Look, now: tuple[Finding, ...], name: str) -> list[int]:
    """Where the last second is likely: the time of the parameter after what a finding hangs on."""
    span = look.number(name)
    whole = int(span) if span is not None else 0
    since = [int((each.when - look.at).total_seconds()) for each in now if each.when is not None]
    return [each + whole for each in since]


def _last_met(look: Look, rule: Rule, requirement: str, tried: tuple[list[int], int]) -> int:
    """The last second from the look on at which a requirement is met, by halving; it is not at the end."""
    likely, broken = tried
    met = 0
    for guess in sorted(second for each in likely for second in (each - 1, each, each + 1)):
        if met < guess < broken:
            met, broken = _narrowed(look, rule, requirement, (met, broken), guess)
    while broken - met > 1:
        met, broken = _narrowed(look, rule, requirement, (met, broken), (met + broken) // 2)
    return met


def _narrowed(look: Look, rule: Rule, requirement: str, between: tuple[int, int], at: int) -> tuple[int, int]:
    met, broken = between
    return (at, broken) if _after(look, rule, requirement, at).outcome is Outcome.MET else (met, at)


def _after(look: Look, rule: Rule, requirement: str, seconds: int) -> Finding:
    later = replace(look, at=look.at + timedelta(seconds=seconds))
    return next(each for each in apply((rule,), later) if each.requirement == requirement)


def _limit(look: Look, name: str, until: datetime, broken: Finding, watched: bool) -> ReleaseLimit:
    about = {"time": clock(until), "requirement": term(broken.requirement), "outcome": broken.outcome}
    value = _value(look, name)
    if value:
        about |= {"name": term(PARAMETERS[name].meaning), "value": value}
        says = (
            said(
                "After {time} {requirement} is {outcome} ({name}: {value}), unless it is read again before.",
                **about,
            )
            if watched
            else said("After {time} {requirement} is {outcome} ({name}: {value}).", **about)
        )
    elif watched:
        says = said("After {time} {requirement} is {outcome}, unless it is read again before.", **about)
    else:
        says = said("After {time} {requirement} is {outcome}.", **about)
    return ReleaseLimit(until, says, broken.requirement, watched)


def _value(look: Look, name: str) -> str:
    asked = look.limit(name)
    if asked is None or asked.value is None:
        return ""
    return term(asked.value) if asked.reading is None else as_read(asked.reading)
