"""The decision on concrete: released, lapsed, held, withdrawn."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseState, ReleaseStatus
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release import release_state
from fieldapp.criteria.release_limit import release_limits
from fieldapp.criteria.rules import look_at
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Basis, Hold, LogSigned, Position, Withdrawal
from fieldapp.record.hole import Event, Note, StandingWater
from fieldapp.record.setup import Person
from fieldapp.record.words import Happening, InstrumentType, Role
from tests.criteria.stories import found, passing, usual
from tests.support.journals import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    SHAFT,
    Journal,
    at,
    five_points,
    parameter,
    reading,
)

BOTH = (Role.INSPECTOR, Role.RESIDENT_ENGINEER)
REASON = parameter("override_reason_required", "yes")


def state(journal: Journal, clock: str) -> ReleaseState:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], at(clock))


def released() -> Journal:
    journal = passing()
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("11:50"))
    return journal


def test_there_is_no_release_before_the_engineer_decides():
    assert state(passing(), "10:40").status is ReleaseStatus.NONE


def test_a_release_holds_up_to_its_time_and_not_beyond():
    journal = released()
    assert state(journal, "11:50").status is ReleaseStatus.RELEASED
    lapsed = state(journal, "11:51")
    assert lapsed.status is ReleaseStatus.LAPSED
    assert "12 May 11:50" in lapsed.reason


def test_time_alone_ends_a_release_at_the_first_limit_of_the_acceptance_set_and_says_which():
    # Drilled evenly from 0 to 60 ft between 07:00 and 08:00: 5 ft above the base at 07:55, and 4 h on.
    journal = passing()
    journal.release(at("10:45"), at("23:00"))
    assert state(journal, "11:55").until == at("11:55")
    assert state(journal, "11:55").status is ReleaseStatus.RELEASED
    got = state(journal, "11:56")
    assert got.status is ReleaseStatus.LAPSED
    assert "fluid contact with the bottom is not met (max slurry contact bottom h: 4 h)" in got.reason


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


def test_evidence_that_changes_nothing_leaves_the_release_standing():
    journal = released()
    journal.say(Note("rain"), at("11:00"))
    journal.head(at("11:10"))
    journal.sound(2, at("11:20"), five_points(*["1/4"] * 5))
    assert state(journal, "11:30").status is ReleaseStatus.RELEASED


def test_a_later_sounding_over_the_limit_makes_it_lapse_and_is_named():
    journal = released()
    journal.sound(2, at("11:20"), five_points("2", "1/4", "1/4", "1/4", "1/4"))
    got = state(journal, "11:30")
    assert got.status is ReleaseStatus.LAPSED
    assert got.reason.startswith("Base largest thickness: Largest 2 in of sediment")


def test_a_slough_a_low_head_and_a_failed_instrument_make_it_lapse():
    for change in (
        lambda journal: journal.event(Happening.SLOUGH, at("11:00")),
        lambda journal: journal.head(at("11:00"), "9 ft"),
        lambda journal: journal.check("tape 1", InstrumentType.TAPE, at("11:00"), passed=False),
        lambda journal: journal.test_fluid(3, at("11:00"), sand=reading("5 %")),
        lambda journal: journal.strike(
            next(e for e in journal.entries if e.kind == "sounding round"), at("11:00")
        ),
    ):
        journal = released()
        change(journal)
        assert state(journal, "11:10").status is ReleaseStatus.LAPSED


def test_a_release_against_a_known_finding_stands_until_something_gets_worse():
    journal = passing("1", "1", "1", "1", "1")
    journal.release(at("10:45"), at("13:00"), reason="friction governs")
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED
    journal.sound(2, at("11:20"), five_points("2", "1", "1", "1", "1"))
    assert state(journal, "11:30").status is ReleaseStatus.LAPSED


def test_evidence_of_another_device_that_the_release_did_not_see_counts_as_new():
    journal = passing()
    unseen = journal.event(Happening.SLOUGH, at("10:42"))
    journal.entries.remove(unseen)
    journal.release(at("10:45"), at("13:00"), device="tablet-b")
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED
    journal.entries.append(unseen)
    assert state(journal, "11:00").status is ReleaseStatus.LAPSED


def test_concrete_within_the_release_keeps_it_released():
    journal = released()
    journal.concrete(at("11:40"))
    assert state(journal, "23:00").status is ReleaseStatus.RELEASED
    assert found(journal)["release before concrete"].outcome is Outcome.MET


def test_what_is_recorded_after_concrete_started_does_not_undo_the_release():
    journal = released()
    journal.concrete(at("11:40"))
    journal.sound(2, at("11:35"), five_points(*["2"] * 5), recorded=at("18:00"))
    assert state(journal, "23:00").status is ReleaseStatus.RELEASED
    assert found(journal)["base largest thickness"].outcome is Outcome.NOT_MET, "the base is another matter"


def test_concrete_after_the_release_ended_or_lapsed_started_without_one():
    journal = released()
    journal.concrete(at("13:01"))
    assert found(journal)["release before concrete"].outcome is Outcome.NOT_MET
    journal = released()
    journal.event(Happening.SLOUGH, at("11:00"))
    journal.concrete(at("12:00"))
    got = found(journal)["release before concrete"]
    assert got.outcome is Outcome.NOT_MET
    assert "lapsed" in got.says
    journal = passing()
    journal.concrete(at("12:00"))
    assert "there was no release" in found(journal)["release before concrete"].says


def test_a_release_that_came_after_the_first_charge_is_none():
    journal = passing()
    journal.release(at("12:10"), at("13:00"))
    journal.concrete(at("12:00"))
    assert state(journal, "12:30").status is ReleaseStatus.LAPSED


def test_hold_and_withdrawal():
    journal = released()
    journal.hold(at("11:00"), "wait for the tremie")
    held = state(journal, "11:10")
    assert (held.status, held.reason, held.author) == (ReleaseStatus.HELD, "wait for the tremie", ENGINEER)
    again = journal.release(at("11:20"), at("13:00"))
    assert state(journal, "11:30").status is ReleaseStatus.RELEASED
    journal.say(Withdrawal(again.id, "pump failed"), at("11:40"), author=ENGINEER)
    assert state(journal, "11:50").status is ReleaseStatus.WITHDRAWN


def test_a_release_by_somebody_who_is_no_engineer_does_not_count():
    journal = passing()
    journal.release(at("10:45"), at("13:00"), author=INSPECTOR)
    assert state(journal, "11:00").status is ReleaseStatus.NONE


def test_two_decisions_that_do_not_know_of_each_other_leave_concrete_on_hold():
    journal = passing()
    hold = journal.hold(at("10:44"))
    journal.entries.remove(hold)
    journal.release(at("10:45"), at("13:00"), device="tablet-b", unaware_of=(hold,))
    journal.entries.append(hold)
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.HELD
    assert "do not know of each other" in got.reason
    journal.release(at("11:00"), at("13:00"), device="tablet-b")
    assert state(journal, "11:10").status is ReleaseStatus.RELEASED


def test_a_limit_made_stricter_after_the_release_makes_it_lapse():
    journal = released()
    journal.acceptance = usual(parameter("max_thickness_anywhere", "1/2 in"))
    journal.set_up()
    assert state(journal, "11:10").status is ReleaseStatus.LAPSED


def with_two_roles(*, allowed: bool, sounded_by: str = INSPECTOR) -> Journal:
    """A passing shaft whose inspector is resident engineer too; the base may be sounded by another one."""
    journal = passing()
    people = (
        Person(INSPECTOR, BOTH),
        Person("Ben Inspector", (Role.INSPECTOR,)),
        Person(ENGINEER, (Role.RESIDENT_ENGINEER,)),
        Person(DESIGNER, (Role.DESIGNER,)),
    )
    journal.set_up(people=people, own_log_release=allowed)
    if sounded_by != INSPECTOR:
        first = next(each for each in journal.entries if each.kind == "sounding round")
        journal.strike(first, at("10:31"))
        journal.sound(2, at("10:32"), five_points(*["1/4"] * 5), author=sounded_by)
    return journal


def test_a_release_on_ones_own_log_never_was_one_unless_the_project_allows_it() -> None:
    journal = with_two_roles(allowed=False)
    journal.release(at("10:45"), at("11:50"), author=INSPECTOR)
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.HELD
    assert "Ana Inspector's own log, which the project set-up does not allow" in got.reason
    journal.concrete(at("11:30"))
    assert found(journal)["release before concrete"].outcome is Outcome.NOT_MET


def test_where_the_project_allows_it_the_release_holds_and_says_so() -> None:
    journal = with_two_roles(allowed=True)
    journal.release(at("10:45"), at("11:50"), author=INSPECTOR)
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.RELEASED
    assert got.remarks == (
        "Released by Ana Inspector on Ana Inspector's own log; the project set-up allows it.",
    )


def test_the_log_is_theirs_who_signed_it_else_theirs_who_sounded() -> None:
    signed = with_two_roles(allowed=False)
    signed.say(LogSigned(signed.basis(), "as seen"), at("10:40"), author="Ben Inspector")
    signed.release(at("10:45"), at("11:50"), author=INSPECTOR)
    assert state(signed, "11:00").status is ReleaseStatus.RELEASED, "somebody else signed"
    sounded = with_two_roles(allowed=False, sounded_by="Ben Inspector")
    sounded.release(at("10:45"), at("11:50"), author=INSPECTOR)
    assert state(sounded, "11:00").status is ReleaseStatus.RELEASED, "somebody else sounded"
    both = with_two_roles(allowed=False, sounded_by="Ben Inspector")
    both.sign(at("10:40"))
    both.release(at("10:45"), at("11:50"), author=INSPECTOR)
    assert state(both, "11:00").status is ReleaseStatus.HELD, "he signed what another sounded"


def test_who_amends_a_round_makes_it() -> None:
    journal = with_two_roles(allowed=False, sounded_by="Ben Inspector")
    last = [each for each in journal.entries if each.kind == "sounding round"][-1]
    journal.amend(last, last.values, at("10:40"), author=INSPECTOR)
    journal.release(at("10:45"), at("11:50"), author=INSPECTOR)
    assert state(journal, "11:00").status is ReleaseStatus.HELD


def test_another_engineer_may_release_on_a_log_that_is_not_theirs() -> None:
    journal = with_two_roles(allowed=False)
    journal.release(at("10:45"), at("11:50"))
    got = state(journal, "11:00")
    assert (got.status, got.remarks) == (ReleaseStatus.RELEASED, ())


def test_what_a_release_passes_over_stays_with_it_and_so_does_a_missing_second_word() -> None:
    journal = passing(*["1"] * 5)
    journal.release(at("10:45"), at("11:50"), reason="friction governs.")
    said, unconfirmed = state(journal, "11:00").remarks
    assert said.startswith("Released at 12 May 10:45 over 1 not met: 0 % of the base under 1/2 in")
    assert said.endswith("Reason: friction governs.")
    assert unconfirmed == "What the release passes over was not confirmed a second time."
    journal.release(at("10:50"), at("11:50"), reason="friction governs", confirmed=("override",))
    assert len(state(journal, "11:00").remarks) == 1
    journal.event(Happening.SLOUGH, at("11:05"))
    lapsed = state(journal, "11:10")
    assert (lapsed.status, len(lapsed.remarks)) == (ReleaseStatus.LAPSED, 1)


def test_what_is_recorded_after_a_release_adds_no_remark_to_it() -> None:
    journal = released()
    journal.sound(2, at("11:20"), five_points(*["2"] * 5))
    got = state(journal, "11:30")
    assert (got.status, got.remarks) == (ReleaseStatus.LAPSED, ())


def test_a_reason_that_is_asked_for_and_missing_holds_concrete() -> None:
    journal = passing(*["1"] * 5, acceptance=usual(REASON))
    journal.release(at("10:45"), at("11:50"))
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.HELD
    assert got.reason.startswith("Released without the reason that is asked for: 0 % of the base")


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
