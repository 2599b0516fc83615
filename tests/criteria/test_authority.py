"""Who decides, and on what: roles at the time, entries that the journal has, the order of folding."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseState, ReleaseStatus, Standing
from fieldapp.criteria.findings import findings, findings_and_release
from fieldapp.criteria.release import release_state
from fieldapp.criteria.roles import has_role
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import (
    Amend,
    Basis,
    Disposition,
    Hold,
    LogSigned,
    Position,
    Release,
    Withdrawal,
)
from fieldapp.record.setup import Person
from fieldapp.record.words import Decision, Role
from tests.criteria.stories import found, passing, stands
from tests.support.journals import DESIGNER, ENGINEER, INSPECTOR, SHAFT, Journal, at

EVERYBODY = (
    Person(INSPECTOR, (Role.INSPECTOR,)),
    Person(ENGINEER, (Role.RESIDENT_ENGINEER,)),
    Person(DESIGNER, (Role.DESIGNER,)),
)
DIRTY = ("2", "2", "2", "2", "2")


def state(journal: Journal, clock: str) -> ReleaseState:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], at(clock))


def roster(journal: Journal, *people: Person) -> None:
    journal.set_up(people=people)


def test_a_role_given_later_makes_no_earlier_release() -> None:
    journal = passing()
    journal.release(at("10:45"), at("13:00"), author=INSPECTOR)
    both = (Person(INSPECTOR, (Role.INSPECTOR, Role.RESIDENT_ENGINEER)), *EVERYBODY[1:])
    journal.set_up(people=both, own_log_release=True)
    assert state(journal, "11:00").status is ReleaseStatus.NONE
    journal.release(at("10:50"), at("13:00"), author=INSPECTOR)
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED


def test_a_role_taken_later_leaves_what_was_decided() -> None:
    journal = passing(*DIRTY)
    full = Disposition(journal.basis(), Decision.FULL_CREDIT, "the side carries it")
    journal.say(full, at("10:50"), author=DESIGNER)
    roster(journal, *EVERYBODY[:2])
    assert stands(journal).standing is Standing.REDUCED
    assert has_role(journal.record(), DESIGNER, Role.DESIGNER) is False
    assert has_role(journal.record(), ENGINEER, Role.RESIDENT_ENGINEER)


def test_a_hold_and_a_withdrawal_count_only_from_a_resident_engineer() -> None:
    journal = passing()
    release = journal.release(at("10:45"), at("13:00"))
    journal.say(Hold(journal.basis(), "wait"), at("10:50"), author=DESIGNER)
    journal.say(Withdrawal(release.id, "no"), at("10:55"), author=INSPECTOR)
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED
    journal.say(Withdrawal(release.id, "no"), at("10:56"), author=ENGINEER)
    assert state(journal, "11:00").status is ReleaseStatus.WITHDRAWN


def test_a_log_is_signed_only_by_an_inspector() -> None:
    journal = passing()
    journal.say(LogSigned(journal.basis(), "as seen"), at("10:40"), author=DESIGNER)
    assert stands(journal).next_step.says == "Sign the log"
    journal.sign(at("10:41"))
    assert stands(journal).next_step.says == "Ask for release"


@pytest.mark.parametrize("clock", ["09:00", "10:44", "12:00"])
def test_a_later_hold_wins_whatever_its_clock_said(clock: str) -> None:
    journal = passing()
    journal.release(at("10:45"), at("13:00"))
    journal.hold(at(clock), "wait for the tremie")
    got = state(journal, "11:00")
    assert (got.status, got.reason) == (ReleaseStatus.HELD, "wait for the tremie")


@pytest.mark.parametrize("position", [Position("nobody", 1), Position("tablet-a", 10_000)])
def test_a_decision_on_what_the_journal_does_not_have_does_not_count(position: Position) -> None:
    journal = passing()
    basis = Basis((*journal.basis().positions[:-1], position), "0" * 64)
    journal.say(Release(basis, at("13:00")), at("10:45"), author=ENGINEER)
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.HELD
    assert position.device in got.reason


def test_a_disposition_that_claims_to_have_seen_the_future_rules_no_rework_out() -> None:
    journal = passing(*DIRTY)
    basis = Basis((Position("tablet-a", 10_000),), "0" * 64)
    journal.say(Disposition(basis, Decision.FULL_CREDIT, "fine"), at("10:50"), author=DESIGNER)
    assert stands(journal).standing is Standing.REWORK


def test_a_release_that_had_seen_nothing_of_the_hole_lapses_on_a_dirty_base() -> None:
    journal = passing(*DIRTY)
    basis = Basis((Position("tablet-a", 1),), "0" * 64)
    journal.say(Release(basis, at("13:00")), at("10:45"), author=ENGINEER)
    assert state(journal, "11:00").status is ReleaseStatus.LAPSED


def test_a_start_of_concrete_in_dispute_is_still_held_against_its_release() -> None:
    journal = passing()
    first = journal.concrete(at("11:00"))
    for clock in ("10:55", "11:10"):
        change = Amend(first.id, ConcreteStarted("closed tip"), "time", at(clock))
        journal.say(change, at("11:30"), parents=(first.id,))
    assert journal.shaft().concrete_started_at == at("10:55"), "the earliest that anybody says"
    assert found(journal)["release before concrete"].outcome is Outcome.NOT_MET


@pytest.mark.parametrize("thickness", [("1/4",) * 5, DIRTY], ids=["clean", "dirty"])
def test_findings_and_release_at_once_are_those_worked_out_apart(thickness) -> None:
    journal = passing(*thickness)
    journal.release(at("10:45"), at("13:00"), reason="seen")
    journal.test_fluid(3, at("10:50"))
    for concrete in (False, True):
        if concrete:
            journal.concrete(at("11:00"))
        record = journal.record()
        shaft, moment = record.shafts[SHAFT], at("11:05")
        state_now = release_state(record, shaft, moment)
        assert findings_and_release(record, shaft, moment) == (findings(record, shaft, moment), state_now)
