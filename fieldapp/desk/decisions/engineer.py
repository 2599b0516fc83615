"""What the resident engineer decides on concrete: release, hold, withdraw; and until when a release can hold.

A release passes over nothing in silence: what is not met or not shown takes a reason and a second
confirmation.  Nothing here tells a crew to pour.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Final

from fieldapp.criteria.evidence_rules import CLOCK_SLACK
from fieldapp.criteria.finding import Finding, ReleaseStatus
from fieldapp.criteria.phrasing import clock, clock_zoned, joined, term
from fieldapp.criteria.release import release_state
from fieldapp.criteria.release_ground import OVERRIDE, counted, passed_over
from fieldapp.criteria.release_limit import ReleaseLimit, release_limits
from fieldapp.desk.decisions.deciding import basis_now, checked_draft, decide, listed, refused
from fieldapp.desk.inspector import Refused
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.own_clock import latest_recorded
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.outlook import base_outlook
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.decisions import Hold, Release, Withdrawal
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.questions import Objection
from fieldapp.record.said import said, said_of
from fieldapp.units import OutOfRange

FORECAST: Final = "forecast"
PAST_FORECAST: Final = "past-forecast"


@dataclass(frozen=True, slots=True)
class ReleaseAsked:
    """A release as the engineer asks for it; ``confirmed`` are the codes that were answered with yes."""

    until: datetime
    conditions: str = ""
    reason: str = ""
    confirmed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ReleaseUntil:
    """How long a release can hold: every limit, earliest first, and what could not be told, in words."""

    limits: tuple[ReleaseLimit, ...]
    not_told: tuple[str, ...]

    @property
    def accepted(self) -> ReleaseLimit | None:
        """The earliest limit of the acceptance set that no reading can put off, or None."""
        return next((each for each in self.limits if each.requirement != FORECAST and not each.watched), None)

    @property
    def forecast(self) -> ReleaseLimit | None:
        """The time by which the forecast wants the base sounded again, or None."""
        return next((each for each in self.limits if each.requirement == FORECAST), None)


def release_until(place: Workplace, shaft_id: str, at: datetime | None = None) -> ReleaseUntil:
    """Until when concrete could be released at a moment or now: by the acceptance set, and by the forecast.

    Raises UnknownShaft, NotOpen.
    """
    look = look_at(place, shaft_id, at)
    forecast, not_told = _by_forecast(place, shaft_id, look.at)
    found = (*release_limits(look), *forecast)
    return ReleaseUntil(tuple(sorted(found, key=lambda each: each.until)), not_told)


def release(place: Workplace, shaft_id: str, asked: ReleaseAsked, author: str, key: UnlockedKey) -> Entry:
    """Release concrete until a time, on the record as it is here.

    Raises
    ------
    Refused
        Another role, one's own log, a time beyond the acceptance set, concrete that has started, a device
        whose clock is behind, or something not met or not shown without a reason.
    AskFirst
        ``override``: something not met or not shown is passed over; ``past-forecast``: the forecast wants
        the base sounded again before the release ends.
    NotThisPerson, RevokedKey, OutsideValidity, DeviceKeyLost
        The key may not sign this.
    UnknownShaft, Impossible, StoreProblem
        Nothing was written.
    """
    values = Release(basis_now(place, shaft_id), asked.until, asked.conditions, asked.reason)
    draft = checked_draft(place, shaft_id, values, author, key)
    found = tuple(_against_release(place, shaft_id, draft, asked))
    return decide(place, draft, key, found, asked.confirmed)


def hold(place: Workplace, shaft_id: str, reason: str, author: str, key: UnlockedKey) -> Entry:
    """Hold concrete, with the reason.  Raises as `release`; nothing is asked."""
    values = Hold(basis_now(place, shaft_id), reason)
    return decide(place, checked_draft(place, shaft_id, values, author, key), key)


def withdraw(place: Workplace, shaft_id: str, reason: str, author: str, key: UnlockedKey) -> Entry:
    """Take the last release back, with the reason.  Raises as `release`, Refused where there is none."""
    state = release_state(place.record(), place.shaft(shaft_id), place.now())
    draft = checked_draft(place, shaft_id, Withdrawal(state.entry, reason), author, key)
    if state.status not in {ReleaseStatus.RELEASED, ReleaseStatus.LAPSED}:
        says = said(
            "There is no release of shaft {shaft} to take back: {status}.",
            shaft=shaft_id,
            status=state.status,
        )
        raise Refused((refused("no-release", "release", says, str(state.status), said("a release")),))
    return decide(place, draft, key)


def _by_forecast(
    place: Workplace, shaft_id: str, at: datetime
) -> tuple[tuple[ReleaseLimit, ...], tuple[str, ...]]:
    try:
        outlook = base_outlook(place, shaft_id, at)
    except (NotOpen, OutOfRange) as problem:
        return (), (said("No forecast: {problem}", problem=said_of(problem)),)
    if outlook.sound_again_by is None and outlook.missing:
        wanted = joined(map(term, outlook.missing), "; ")
        return (), (said("The forecast sets no limit, for want of {wanted}.", wanted=wanted),)
    if outlook.sound_again_by is None:
        return (), (said("The forecast names no time by which to sound again."),)
    by = outlook.sound_again_by
    says = said(
        "By the forecast from round {from_round} the base is to be sounded again by {by}.",
        from_round=outlook.from_round,
        by=clock(by),
    )
    return (ReleaseLimit(by, says, FORECAST),), ()


def _against_release(
    place: Workplace, shaft_id: str, draft: Draft, asked: ReleaseAsked
) -> Iterator[Objection]:
    look = look_at(place, shaft_id, draft.observed_at)
    if look.concrete_at is not None:
        says = said(
            "Concrete started at {concrete_at}; there is nothing left to release.",
            concrete_at=clock(look.concrete_at),
        )
        yield refused("concrete-in", "shaft", says, clock(look.concrete_at), said("a hole without concrete"))
        return
    yield from _clock_behind(place, draft)
    bounds = release_until(place, shaft_id, draft.observed_at)
    yield from _beyond(bounds, asked.until, place.now().tzinfo)
    against = passed_over(look)
    if against:
        yield _without_reason(against) if not asked.reason.strip() else _override(against)


def _clock_behind(place: Workplace, draft: Draft) -> Iterator[Objection]:
    last = latest_recorded(place)
    if last is not None and last - draft.recorded_at > CLOCK_SLACK:
        says = said(
            "The clock of this device says {recorded_at}, and it has recorded at {last} "
            "already. Put the clock right before releasing.",
            recorded_at=clock(draft.recorded_at),
            last=clock(last),
        )
        yield refused(
            "clock-behind",
            "recorded_at",
            says,
            clock(draft.recorded_at),
            said("after {last}", last=clock(last)),
        )


def _beyond(bounds: ReleaseUntil, until: datetime, zone: tzinfo | None) -> Iterator[Objection]:
    accepted, forecast = bounds.accepted, bounds.forecast
    if accepted is not None and until > accepted.until:
        latest = clock_zoned(accepted.until, zone)
        says = said(
            "{says} A release can hold until {latest} at the latest.", says=accepted.says, latest=latest
        )
        yield refused(
            "past-limit",
            "until",
            says,
            clock_zoned(until, zone),
            said("at the latest {latest}", latest=latest),
        )
    if forecast is not None and until > forecast.until:
        would = clock_zoned(until, zone)
        says = said("{says} The release would hold until {until}.", says=forecast.says, until=would)
        latest = clock_zoned(forecast.until, zone)
        expected = said("a release until {until}, or your word that it is right", until=latest)
        yield Objection(PAST_FORECAST, "until", says, would, expected)


def _without_reason(against: tuple[Finding, ...]) -> Objection:
    says = said(
        "Give the reason for releasing over {counted}. {listed}",
        counted=counted(against),
        listed=listed(against),
    )
    return refused(
        "no-reason", "reason", says, said("nothing"), said("the reason for releasing all the same")
    )


def _override(against: tuple[Finding, ...]) -> Objection:
    says = said(
        "The release passes over {counted}. {listed}",
        counted=counted(against),
        listed=listed(against),
    )
    return Objection(
        OVERRIDE, "reason", says, counted(against), said("your word, a second time, that it is meant")
    )
