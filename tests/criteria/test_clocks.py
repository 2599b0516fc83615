"""Clocks set back, set ahead, moved to another zone and over the changes of daylight saving time.

Dates of the changes: United States, second Sunday of March and first Sunday of November (15 U.S.C. 260a);
European Union, last Sundays of March and October at 01:00 UTC (Directive 2000/84/EC).
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.criteria.finding import Outcome, ReleaseStatus
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release import release_state
from fieldapp.record.fold import in_order
from fieldapp.record.hole import Note
from fieldapp.record.questions import CLOCK_BACK
from fieldapp.record.words import Happening
from tests.criteria.stories import found, passing, released
from tests.support.journals import SHAFT, Journal, at, five_points

DENVER, BERLIN = ZoneInfo("America/Denver"), ZoneInfo("Europe/Berlin")
MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_SHOWN
LAPSED, RELEASED = ReleaseStatus.LAPSED, ReleaseStatus.RELEASED


def clocks(journal: Journal, moment: datetime) -> tuple[Outcome, str]:
    got = found(journal, moment)["clocks"]
    return got.outcome, got.says


def status(journal: Journal, moment: datetime) -> ReleaseStatus:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], moment).status


def moved(end: datetime, zone: ZoneInfo) -> Journal:
    """The passing shaft with its last entry at another moment, by clocks of another zone."""
    story = passing()
    shift = end - story.entries[-1].draft.observed_at
    journal = Journal(story.acceptance, now=end - timedelta(days=1))
    for each in story.entries:
        times = {
            field.name: (value + shift).astimezone(zone)
            for field in fields(each.values)
            if isinstance(value := getattr(each.values, field.name), datetime)
        }
        journal.say(replace(each.values, **times), (each.draft.observed_at + shift).astimezone(zone))
    return journal


# --- another zone, and daylight saving time ---------------------------------------------------------------


@pytest.mark.parametrize("zone", ["UTC", "Asia/Kolkata", "Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_a_device_in_another_zone_says_the_same_moments_and_changes_nothing(zone: str) -> None:
    here, there = passing(), passing()
    here.sound(2, at("10:40"), five_points(*["1/8"] * 5))
    there.sound(2, at("10:40").astimezone(ZoneInfo(zone)), five_points(*["1/8"] * 5))
    for moment in (at("11:00"), at("14:41")):
        mine, theirs = found(here, moment), found(there, moment.astimezone(ZoneInfo(zone)))
        assert {name: each.outcome for name, each in mine.items()} == {
            name: each.outcome for name, each in theirs.items()
        }


def test_a_zone_changed_on_a_device_is_no_step_back() -> None:
    journal = passing()
    journal.say(Note("in mountain time"), at("11:00"))
    journal.say(Note("in pacific time"), at("11:05").astimezone(ZoneInfo("America/Los_Angeles")))
    assert clocks(journal, at("11:10")) == (MET, "No clock ran backwards or ahead.")


CHANGES = {
    "US, clocks go ahead": (DENVER, datetime(2026, 3, 8, 9, 0, tzinfo=UTC), 1),
    "US, clocks go back": (DENVER, datetime(2026, 11, 1, 8, 0, tzinfo=UTC), -1),
    "EU, clocks go ahead": (BERLIN, datetime(2026, 3, 29, 1, 0, tzinfo=UTC), 1),
    "EU, clocks go back": (BERLIN, datetime(2026, 10, 25, 1, 0, tzinfo=UTC), -1),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_of_daylight_saving_time_is_no_step_and_makes_no_hour(change: str) -> None:
    zone, moment, hours = CHANGES[change]
    before, after = moment - timedelta(minutes=30), moment + timedelta(minutes=30)
    local = (after.astimezone(zone).replace(tzinfo=None) - before.astimezone(zone).replace(tzinfo=None)) / (
        timedelta(hours=1)
    )
    assert local == 1 + hours, "the clock on the wall jumps there"
    journal = moved(before - timedelta(minutes=5), zone)
    for each in (before, after):
        journal.head(each.astimezone(zone))
    assert clocks(journal, after.astimezone(zone))[0] is MET
    # the head is asked for every 2 h: met until two true hours after the last reading, whatever the wall says
    last = after + timedelta(hours=2)
    assert found(journal, last.astimezone(zone))["head now"].outcome is MET
    assert found(journal, (last + timedelta(minutes=1)).astimezone(zone))["head now"].outcome is NOT_SHOWN


@pytest.mark.parametrize("change", CHANGES)
def test_a_release_over_a_change_of_daylight_saving_time_ends_at_its_own_moment(change: str) -> None:
    zone, moment, _ = CHANGES[change]
    began, until = (
        (moment + timedelta(minutes=minutes)).astimezone(zone) for minutes in (-30, 30)
    )  # one true hour, across the change
    journal = moved(began, zone)
    journal.release(began, until)
    assert status(journal, until) is RELEASED
    assert status(journal, (until.astimezone(UTC) + timedelta(minutes=1)).astimezone(zone)) is LAPSED


# --- two devices apart ------------------------------------------------------------------------------------


def test_two_devices_a_day_apart_fold_in_the_order_in_which_they_knew_of_each_other() -> None:
    journal = passing()
    first = journal.say(Note("true time"), at("10:50"), device="tablet-a")
    ahead = journal.say(Note("a day ahead"), at("10:51", day=13), device="tablet-b")
    behind = journal.say(Note("a day behind"), at("10:52", day=11), device="tablet-c")
    last = journal.say(Note("true time again"), at("10:53"), device="tablet-a")
    assert in_order(reversed(journal.entries))[-4:] == [first, ahead, behind, last]
    assert clocks(journal, at("10:54")) == (NOT_SHOWN, "A note is dated ahead, 13 May 10:51.")


def test_a_release_dated_before_what_it_rests_on_is_named_and_does_not_hold() -> None:
    journal = passing()
    journal.say(Note("seen by the office"), at("10:40"))
    release = journal.release(at("10:10"), at("11:50"), device="office")
    got = found(journal, at("10:50"))["clocks"]
    assert (got.outcome, got.entries) == (NOT_SHOWN, (release.id,))
    assert got.says == (
        "A release of office is dated 12 May 10:10, before the note that it follows, 12 May 10:40: one of "
        "the clocks is wrong."
    )
    assert status(journal, at("10:50")) is LAPSED


def test_a_correction_on_either_device_settles_which_clock_was_wrong() -> None:
    journal = passing()
    journal.say(Note("seen by the office"), at("10:40"))
    journal.release(at("10:10"), at("11:50"), device="office")
    corrected = journal.event(Happening.CLOCK_CORRECTED, at("10:41"))
    assert corrected.device == "tablet-a"
    assert clocks(journal, at("10:50"))[0] is MET


def test_within_five_minutes_two_clocks_are_the_same() -> None:
    journal = passing()
    journal.say(Note("seen by the office"), at("10:40"))
    journal.release(at("10:35"), at("11:50"), device="office")
    assert clocks(journal, at("10:50"))[0] is MET


def test_a_change_dated_before_the_entry_that_it_changes_is_named() -> None:
    journal = passing()
    note = journal.say(Note("raim"), at("10:40"))
    change = journal.amend(note, Note("rain"), at("09:00"), device="office")
    assert found(journal, at("10:50"))["clocks"].entries == (change.id,)


def test_what_an_author_let_stand_by_a_clock_that_was_behind_is_named_until_it_is_corrected() -> None:
    journal = passing()
    odd = journal.say(Note("after the other shaft"), at("10:40"), confirmed=(CLOCK_BACK,))
    got = found(journal, at("10:50"))["clocks"]
    assert (got.outcome, got.entries) == (NOT_SHOWN, (odd.id,))
    journal.event(Happening.CLOCK_CORRECTED, at("10:41"))
    assert clocks(journal, at("10:50"))[0] is MET


# --- no clock makes a release hold longer -----------------------------------------------------------------

MINUTES = st.integers(-3 * 1440, 3 * 1440)


@given(looked=MINUTES, later=st.integers(1, 400))
@settings(max_examples=150, deadline=None)
def test_no_clock_that_looks_makes_a_release_hold_beyond_what_the_shaft_has_recorded(
    looked: int, later: int
) -> None:
    """Whatever the clock at hand says: a release that is over by the record's own times is over."""
    journal = released()
    journal.head(at("10:45") + timedelta(minutes=later))
    proved = at("10:45") + timedelta(minutes=later)
    moment = proved + timedelta(minutes=looked)
    if status(journal, moment) is RELEASED:
        assert status(journal, max(moment, proved)) is RELEASED
        assert max(moment, proved) <= at("11:50")


@given(skew=MINUTES, true=st.integers(0, 300))
@settings(max_examples=150, deadline=None)
def test_no_skew_of_the_device_that_starts_concrete_makes_a_release_hold_that_was_over(
    skew: int, true: int
) -> None:
    """The device had recorded the shaft by the true time before; then its clock is set to anything.

    What is stated and not prevented: a clock may be off by the 5 minutes of slack, and one that was wrong
    throughout shows in nothing.
    """
    journal = released()
    start = at("10:46") + timedelta(minutes=true)
    journal.head(start - timedelta(seconds=30))
    journal.concrete(start + timedelta(minutes=skew))
    record = journal.record()
    made = findings(record, record.shafts[SHAFT], start + timedelta(minutes=max(skew, 0) + 1))
    got = next(each for each in made if each.requirement == "release before concrete")
    if got.outcome is MET:
        assert start <= at("11:50") + timedelta(minutes=5)


@given(skew=MINUTES, length=st.integers(1, 120), true=st.integers(0, 300))
@settings(max_examples=150, deadline=None)
def test_no_clock_of_the_office_makes_its_release_hold_on_a_tablet_beyond_the_time_that_it_names(
    skew: int, length: int, true: int
) -> None:
    """The office's clock is off when it releases, resting on the tablet's record; the tablet looks."""
    journal = passing()
    journal.say(Note("the tablet's clock is right"), at("10:44"))
    until = at("10:45") + timedelta(minutes=length)
    said_at = at("10:45") + timedelta(minutes=skew)
    journal.release(said_at, until, device="office", reason="seen")
    looks = at("10:46") + timedelta(minutes=true)
    if status(journal, looks) is RELEASED:
        assert looks <= until
