"""The decision on concrete: released, lapsed, held, withdrawn."""

from __future__ import annotations

from fieldapp.criteria.finding import Outcome, ReleaseState, ReleaseStatus
from fieldapp.criteria.release import release_state
from fieldapp.record.decisions import Withdrawal
from fieldapp.record.hole import Note
from fieldapp.record.words import Happening, InstrumentType
from tests.criteria.stories import found, passing, usual
from tests.support.journals import ENGINEER, INSPECTOR, SHAFT, Journal, at, five_points, parameter, reading


def state(journal: Journal, clock: str) -> ReleaseState:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], at(clock))


def released() -> Journal:
    journal = passing()
    journal.sign(at("10:40"))
    journal.release(at("10:45"), at("13:00"))
    return journal


def test_there_is_no_release_before_the_engineer_decides():
    assert state(passing(), "10:40").status is ReleaseStatus.NONE


def test_a_release_holds_up_to_its_time_and_not_beyond():
    journal = released()
    assert state(journal, "13:00").status is ReleaseStatus.RELEASED
    lapsed = state(journal, "13:01")
    assert lapsed.status is ReleaseStatus.LAPSED
    assert "12 May 13:00" in lapsed.reason


def test_time_alone_makes_nothing_else_lapse():
    journal = passing()
    journal.release(at("10:45"), at("23:00"))
    got = state(journal, "20:00")
    assert found(journal, at("20:00"))["sounding to concrete"].outcome is Outcome.NOT_SHOWN
    assert got.status is ReleaseStatus.RELEASED


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
    journal.concrete(at("12:00"))
    assert state(journal, "23:00").status is ReleaseStatus.RELEASED
    assert found(journal)["release before concrete"].outcome is Outcome.MET


def test_what_is_recorded_after_concrete_started_does_not_undo_the_release():
    journal = released()
    journal.concrete(at("12:00"))
    journal.sound(2, at("11:50"), five_points(*["2"] * 5), recorded=at("18:00"))
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
