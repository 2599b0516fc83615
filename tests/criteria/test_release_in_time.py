"""A release in time: the limits that end it, clocks that were set back, and devices out of touch."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseStatus
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release_limit import release_limits
from fieldapp.criteria.rules import look_at
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Basis, Hold, Position
from fieldapp.record.hole import Event, StandingWater
from fieldapp.record.words import Happening
from tests.criteria.stories import found, passing, released, state, usual
from tests.support.journals import (
    ENGINEER,
    SHAFT,
    Journal,
    at,
    parameter,
    reading,
)


def test_time_alone_ends_a_release_at_the_first_limit_of_the_acceptance_set_and_says_which():
    # Drilled evenly from 0 to 60 ft between 07:00 and 08:00: 5 ft above the base at 07:55, and 4 h on.
    journal = passing()
    journal.release(at("10:45"), at("23:00"))
    assert state(journal, "11:55").until == at("11:55")
    assert state(journal, "11:55").status is ReleaseStatus.RELEASED
    got = state(journal, "11:56")
    assert got.status is ReleaseStatus.LAPSED
    assert "is not met (longest that fluid may touch the bottom of the hole: 4 h)" in got.reason


def test_what_was_too_old_when_it_was_released_ends_no_release_that_passes_over_it():
    journal = passing()
    journal.release(at("14:40"), at("16:00"), reason="friction governs")
    got = state(journal, "15:59")
    assert found(journal, at("14:40"))["sounding to concrete"].outcome is Outcome.NOT_SHOWN
    assert (got.status, got.until) == (ReleaseStatus.RELEASED, at("16:00"))


def test_the_longest_that_the_set_allows_ends_a_release_sooner():
    journal = passing(acceptance=usual(parameter("release_valid_for", "1 h")))
    journal.release(at("10:45"), at("13:00"))
    assert state(journal, "11:45").status is ReleaseStatus.RELEASED
    assert state(journal, "11:46").status is ReleaseStatus.LAPSED


# By hand: round at 10:30 and 4 h; sets at 10:00 and 4 h; head at 10:20 and 2 h; see above for the contact.
BY_HAND = {
    "fluid contact with the bottom": "11:55",
    "head now": "12:20",
    "head through cleaning": "12:20",
    "fluid test age": "14:00",
    "sounding to concrete": "14:30",
    "release valid for": "16:45",
}


def limits(journal: Journal, clock: str) -> dict[str, str]:
    record = journal.record()
    look = look_at(record, record.shafts[SHAFT], at(clock))
    return {each.requirement: f"{each.until:%H:%M:%S}".removesuffix(":00") for each in release_limits(look)}


def test_the_limits_of_a_release_are_those_of_the_acceptance_set() -> None:
    journal = passing(acceptance=usual(parameter("release_valid_for", "6 h")))
    assert limits(journal, "10:45") == BY_HAND
    journal.concrete(at("11:00"))
    assert limits(journal, "11:10") == {}


def test_a_head_that_is_read_on_keeps_a_release_and_one_that_is_not_read_ends_it() -> None:
    # Head read at 10:20 and asked for every 2 h; the round of 10:30 would do until 14:30.
    journal = passing(acceptance=usual(parameter("max_slurry_contact_bottom_h", "12 h")))
    journal.release(at("10:45"), at("13:30"))
    assert state(journal, "12:20").status is ReleaseStatus.RELEASED
    unread = state(journal, "12:21")
    assert (unread.status, unread.until) == (ReleaseStatus.LAPSED, at("13:30"))
    assert "head" in unread.reason.lower()
    journal.head(at("12:10"))
    assert state(journal, "13:30").status is ReleaseStatus.RELEASED


def test_a_limit_that_refuses_its_own_value_ends_a_second_sooner() -> None:
    journal = passing(acceptance=usual(parameter("max_hours_inspect_to_concrete", "4 h", strict=True)))
    assert limits(journal, "10:45")["sounding to concrete"] == "14:29:59"


def test_a_night_and_the_rate_of_tests_and_the_cleaning_end_a_release_too() -> None:
    journal = passing(
        acceptance=usual(
            parameter("overnight_rule", "never"),
            parameter("steady_interval", "5 h"),
            parameter("initial_sets", "2 count"),
            parameter("initial_hours", "1 h"),
            parameter("max_hours_clean_to_concrete", "3 h"),
        )
    )
    got = limits(journal, "10:45")
    assert got["overnight"] == "23:59:59"
    # the first hours end at 10:40, one hour after the first set, and the steady interval runs from there
    assert got["fluid test rate"] == "15:40"
    assert got["cleaning to concrete"] == "12:00", "cleaned until 09:00"


def test_rising_water_on_a_dry_base_ends_a_release_when_it_is_over_the_limit() -> None:
    journal = Journal(usual())
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"), began=at("07:00"))
    journal.clean(1, at("08:30"), at("09:00"))
    water = StandingWater(
        pumps_off=True, depth=reading("1 in"), rise=reading("0.05 in"), window=reading("5 min")
    )
    journal.say(water, at("10:00"))
    # 1 in and 0.6 in/h: 3 in after 2 in / 0.6 in/h = 3 h 20 min
    assert limits(journal, "10:10")["standing water"] == "13:20"


@pytest.mark.parametrize("name", [each for each in BY_HAND if each != "release valid for"])
def test_a_requirement_is_met_at_its_limit_and_no_second_longer(name: str) -> None:
    journal = passing()
    record = journal.record()
    shaft = record.shafts[SHAFT]
    for after_s, outcome in ((0, True), (1, False)):
        moment = at(BY_HAND[name]) + timedelta(seconds=after_s)
        got = {each.requirement: each.outcome for each in findings(record, shaft, moment)}
        assert (got[name] is Outcome.MET) is outcome


def test_up_to_the_first_limit_nothing_gets_worse_by_time_alone() -> None:
    journal = passing(
        acceptance=usual(parameter("overnight_rule", "never"), parameter("steady_interval", "5 h"))
    )
    record = journal.record()
    shaft = record.shafts[SHAFT]
    first = release_limits(look_at(record, shaft, at("10:45")))[0].until

    def outcomes(moment: object) -> dict[str, Outcome]:
        return {each.requirement: each.outcome for each in findings(record, shaft, moment)}

    now = outcomes(at("10:45"))
    for minutes in range(0, 70, 7):
        assert outcomes(at("10:45") + timedelta(minutes=minutes)) == now
    assert outcomes(first) == now
    assert outcomes(first + timedelta(seconds=1)) != now


def test_a_device_whose_clock_was_set_back_extends_no_release() -> None:
    journal = released()
    journal.head(at("11:55"))
    got = state(journal, "11:10")
    assert got.status is ReleaseStatus.LAPSED
    assert "The journal goes on to 12 May 11:55: a clock that says 12 May 11:10 is behind." in got.reason


def test_what_a_device_recorded_before_its_clock_was_put_right_proves_no_time() -> None:
    journal = passing()
    journal.head(at("11:55"))  # the clock was an hour and more ahead
    corrected = Event(Happening.CLOCK_CORRECTED, "was 70 min ahead")
    journal.say(corrected, at("10:44"))
    journal.release(at("10:45"), at("11:50"), reason="seen on the watch")
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED


@pytest.mark.parametrize("says", ["head", "signature"])
def test_a_clock_set_back_after_a_release_is_a_finding_and_breaks_it(says: str) -> None:
    journal = released()
    if says == "head":
        journal.head(at("10:30"))
    else:
        journal.sign(at("10:30"))
    got = state(journal, "11:00")
    assert found(journal, at("11:00"))["clocks"].outcome is Outcome.NOT_SHOWN
    assert got.status is ReleaseStatus.LAPSED
    assert got.reason == "Clocks: The clock of tablet-a ran backwards at 12 May 10:30."


def test_concrete_by_a_clock_that_was_set_back_started_without_a_release() -> None:
    journal = released()
    journal.head(at("11:58"))
    journal.concrete(at("11:00"))
    got = found(journal)["release before concrete"]
    assert got.outcome is Outcome.NOT_MET
    assert "is behind" in got.says


def test_a_start_that_was_only_written_down_late_is_held_against_its_own_time() -> None:
    journal = released()
    journal.head(at("11:45"))
    journal.say(ConcreteStarted("closed tip"), at("11:40"), recorded=at("12:40"))
    assert found(journal)["release before concrete"].outcome is Outcome.MET


def test_what_a_device_out_of_touch_saw_and_decided_after_concrete_started_undoes_nothing() -> None:
    journal = released()
    unknown = tuple(journal.entries[-4:])  # the other device has not heard of the release
    started = journal.concrete(at("11:30"))
    slough = Event(Happening.SLOUGH, "from the wall")
    late = journal.say(slough, at("11:40"), device="tablet-b", unaware_of=(*unknown, started))
    hold = Hold(Basis((Position("tablet-b", 1),), "0" * 64), "wait")
    journal.say(hold, at("11:41"), device="tablet-b", author=ENGINEER, unaware_of=(*unknown, started))
    assert late.order < started.order, "it stands before the start in the order of folding all the same"
    assert state(journal, "12:00").status is ReleaseStatus.RELEASED
    assert found(journal)["release before concrete"].outcome is Outcome.MET


def test_what_a_device_out_of_touch_had_seen_before_concrete_started_does_count() -> None:
    journal = released()
    unknown = tuple(journal.entries[-4:])
    started = journal.concrete(at("11:30"))
    slough = Event(Happening.SLOUGH, "from the wall")
    journal.say(slough, at("11:25"), device="tablet-b", unaware_of=(*unknown, started))
    assert state(journal, "12:00").status is ReleaseStatus.LAPSED
    assert found(journal)["release before concrete"].outcome is Outcome.NOT_MET
