"""The decision on concrete: released, lapsed, held, withdrawn."""

from __future__ import annotations

from fieldapp.criteria.finding import Outcome, ReleaseStatus
from fieldapp.record.decisions import LogSigned, Withdrawal
from fieldapp.record.hole import Note
from fieldapp.record.setup import Person
from fieldapp.record.words import Happening, InstrumentType, Role
from tests.criteria.stories import found, passing, released, state, usual
from tests.support.journals import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    Journal,
    at,
    five_points,
    parameter,
    reading,
)

BOTH = (Role.INSPECTOR, Role.RESIDENT_ENGINEER)
REASON = parameter("override_reason_required", "yes")


def test_there_is_no_release_before_the_engineer_decides():
    assert state(passing(), "10:40").status is ReleaseStatus.NONE


def test_a_release_holds_up_to_its_time_and_not_beyond():
    journal = released()
    assert state(journal, "11:50").status is ReleaseStatus.RELEASED
    lapsed = state(journal, "11:51")
    assert lapsed.status is ReleaseStatus.LAPSED
    assert "12 May 11:50" in lapsed.reason


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
