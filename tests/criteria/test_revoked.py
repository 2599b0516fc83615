"""Revoked certificates: a person's decisions do not count, a device's entries leave the base not shown."""

from __future__ import annotations

import base64
import hashlib
from datetime import UTC, datetime

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseState, ReleaseStatus, Standing, Work
from fieldapp.criteria.release import release_state
from fieldapp.criteria.roles import made_by
from fieldapp.identity.certificates import Term, fingerprint, to_pem
from fieldapp.identity.keys import new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.attesting import DeviceKey, Revocation
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Hold, LogSigned, Release, Strike
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.objections import objections
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.setup import Person
from fieldapp.record.words import Role
from tests.criteria.stories import found, passing, stands
from tests.support.journals import DESIGNER, ENGINEER, INSPECTOR, SHAFT, Journal, at, five_points, reading

STOLEN = "tablet-b"
OLD, NEW = b"the certificate that was lost", b"the one made after"


def pem(der: bytes) -> str:
    body = base64.b64encode(der).decode()
    return f"-----BEGIN CERTIFICATE-----\n{body}\n-----END CERTIFICATE-----\n"


def digest(der: bytes) -> str:
    return hashlib.sha256(der).hexdigest()


def state(journal: Journal, clock: str) -> ReleaseState:
    record = journal.record()
    return release_state(record, record.shafts[SHAFT], at(clock))


def revoke(journal: Journal, holder: str, since: str, der: bytes = OLD, author: str = ENGINEER) -> Entry:
    values = Revocation(holder, digest(der), at(since), "tablet lost")
    return journal.say(values, max(at(since), at("10:50")), author=author, device="office")


def with_device(since: str = "10:40") -> Journal:
    """A passing shaft, and a second tablet whose key is revoked from a time on."""
    journal = passing()
    journal.say(DeviceKey(pem(OLD)), at("10:31"), device=STOLEN)
    revoke(journal, STOLEN, since)
    return journal


def level(journal: Journal, clock: str, device: str = STOLEN) -> Entry:
    return journal.say(HeadReading(fluid_level=reading("3 ft")), at(clock), device=device)


def test_the_fingerprint_is_that_of_the_library() -> None:
    term = Term(datetime(2026, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC))
    key = new_person_key(CertifiedPerson(INSPECTOR, (Role.INSPECTOR,), "Test job"), term)
    assert fingerprint_of(to_pem(key.x509_certificate)) == fingerprint(key.x509_certificate)


@pytest.mark.parametrize(
    "text", ["", "nothing", pem(b"").replace("\n\n", "\n*\n"), "-----BEGIN CERTIFICATE-----\nAAAA"]
)
def test_what_is_no_certificate_has_no_fingerprint(text: str) -> None:
    assert fingerprint_of(text) == ""


def test_nothing_is_asked_while_no_device_is_revoked() -> None:
    journal = passing()
    journal.say(DeviceKey(pem(OLD)), at("10:31"), device=STOLEN)
    level(journal, "10:35")
    assert found(journal)["revoked devices"].outcome is Outcome.NOT_ASKED
    assert stands(journal).standing is Standing.CLEAN


def test_what_was_recorded_before_the_revocation_stays() -> None:
    journal = with_device(since="10:40")
    level(journal, "10:39")
    assert found(journal)["revoked devices"].outcome is Outcome.NOT_ASKED
    assert stands(journal).standing is Standing.CLEAN


def test_what_a_revoked_device_recorded_leaves_the_base_not_shown_until_it_is_struck() -> None:
    journal = with_device()
    entry = level(journal, "10:40")
    got = found(journal)["revoked devices"]
    assert (got.outcome, got.work, got.entries) == (Outcome.NOT_SHOWN, Work.SETTLE, (entry.id,))
    assert "Recorded on device tablet-b after its key was revoked: head reading." in got.says
    assert stands(journal).standing is Standing.NOT_SHOWN
    journal.strike(entry, at("10:55"))
    assert found(journal)["revoked devices"].outcome is Outcome.MET
    assert stands(journal).standing is Standing.CLEAN


def test_it_stays_not_shown_once_concrete_is_in() -> None:
    journal = with_device()
    level(journal, "10:45")
    journal.concrete(at("11:00"))
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_a_clock_set_back_on_a_revoked_device_helps_nobody() -> None:
    journal = with_device()
    first = level(journal, "10:41")
    second = level(journal, "10:35")
    got = found(journal)["revoked devices"]
    assert set(got.entries) == {first.id, second.id}


def test_a_strike_from_a_revoked_device_is_said_again_by_somebody_trusted() -> None:
    journal = passing()
    dirty = journal.sound(2, at("10:32"), five_points(*["2"] * 5))
    journal.say(DeviceKey(pem(OLD)), at("10:33"), device=STOLEN)
    revoke(journal, STOLEN, "10:40")
    journal.say(Strike(dirty.id, "mine now"), at("10:45"), device=STOLEN, parents=(dirty.id,))
    line = next(each for each in journal.shaft().lines if each.id == dirty.id)
    assert line.struck, "the dirty round counts no more"
    assert stands(journal).standing is Standing.NOT_SHOWN, "but nobody calls the base clean on that"
    again = draft(journal, Strike(dirty.id, "not by us"), (line.changes[-1].id,))
    assert [each.code for each in objections(journal.record(), again)] == []
    journal.say(Strike(dirty.id, "not by us"), at("10:56"), parents=(line.changes[-1].id,))
    assert found(journal)["revoked devices"].outcome is Outcome.MET


def draft(journal: Journal, values: object, parents: tuple[str, ...]) -> Draft:
    return Draft(
        f"01900000-0000-7000-8000-{9_999_999:012x}", "test-job", SHAFT, values, at("10:56"), at("10:56"),
        INSPECTOR, parents,
    )  # fmt: skip


def test_a_struck_entry_is_not_struck_again_for_any_other_reason() -> None:
    journal = passing()
    first = next(each for each in journal.entries if each.kind == "sounding round")
    strike = journal.strike(first, at("10:35"))
    again = draft(journal, Strike(first.id, "again"), (strike.id,))
    assert "struck-entry" in [each.code for each in objections(journal.record(), again)]


def test_a_release_on_a_revoked_device_does_not_count_and_is_settled_by_deciding_again() -> None:
    journal = with_device()
    journal.say(Release(journal.basis(), at("11:50")), at("10:45"), device=STOLEN, author=ENGINEER)
    assert state(journal, "11:00").status is ReleaseStatus.NONE
    assert found(journal)["revoked devices"].outcome is Outcome.NOT_SHOWN
    journal.release(at("11:00"), at("11:50"), reason="the stolen release is known")
    assert state(journal, "11:05").status is ReleaseStatus.RELEASED
    assert found(journal)["revoked devices"].outcome is Outcome.MET


def test_a_revocation_that_comes_later_breaks_a_release_that_rests_on_the_device() -> None:
    journal = passing()
    journal.say(DeviceKey(pem(OLD)), at("10:31"), device=STOLEN)
    level(journal, "10:42")
    journal.release(at("10:45"), at("11:50"))
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED
    revoke(journal, STOLEN, "10:40")
    got = state(journal, "11:00")
    assert got.status is ReleaseStatus.LAPSED
    assert got.reason.startswith("Revoked devices: Recorded on device tablet-b")


@pytest.mark.parametrize(
    ("holder", "author", "der"),
    [
        (STOLEN, INSPECTOR, OLD),
        (INSPECTOR, INSPECTOR, OLD),
        (STOLEN, ENGINEER, NEW),
        ("tablet-a", ENGINEER, OLD),
    ],
    ids=["no role", "own name, other certificate", "other certificate", "other device"],
)
def test_a_revocation_by_the_wrong_person_or_of_another_certificate_does_nothing(
    holder: str, author: str, der: bytes
) -> None:
    journal = passing()
    journal.say(DeviceKey(pem(OLD)), at("10:31"), device=STOLEN)
    level(journal, "10:45")
    revoke(journal, holder, "10:40", der, author)
    assert found(journal)["revoked devices"].outcome is Outcome.NOT_ASKED


def with_person(der: bytes = OLD) -> Journal:
    journal = passing()
    pin(journal, der)
    return journal


def pin(journal: Journal, der: bytes) -> None:
    people = (
        Person(INSPECTOR, (Role.INSPECTOR,)),
        Person(ENGINEER, (Role.RESIDENT_ENGINEER,), pem(der)),
        Person(DESIGNER, (Role.DESIGNER,)),
    )
    journal.set_up(people=people)


def test_a_release_made_before_the_certificate_was_revoked_stays() -> None:
    journal = with_person()
    journal.release(at("10:45"), at("11:50"))
    revoke(journal, ENGINEER, "10:46")
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED


def test_a_decision_with_a_revoked_certificate_does_not_count_until_another_is_pinned() -> None:
    journal = with_person()
    journal.release(at("10:45"), at("11:50"))
    revoke(journal, ENGINEER, "10:45", author=DESIGNER)
    assert state(journal, "11:00").status is ReleaseStatus.NONE
    pin(journal, NEW)
    assert state(journal, "11:00").status is ReleaseStatus.NONE, "the one of 10:45 was made with the old one"
    journal.release(at("10:55"), at("11:50"))
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED


def test_a_revoked_hold_and_signature_do_not_count_either() -> None:
    journal = with_person()
    journal.release(at("10:45"), at("11:50"))
    revoke(journal, ENGINEER, "10:50", author=DESIGNER)
    journal.say(Hold(journal.basis(), "wait"), at("10:55"), author=ENGINEER)
    assert state(journal, "11:00").status is ReleaseStatus.RELEASED
    people = (Person(INSPECTOR, (Role.INSPECTOR,), pem(OLD)), Person(ENGINEER, (Role.RESIDENT_ENGINEER,)))
    journal.set_up(people=people)
    revoke(journal, INSPECTOR, "10:40", author=INSPECTOR)
    signed = journal.say(LogSigned(journal.basis(), "as seen"), at("10:56"))
    line = next(each for each in journal.shaft().lines if each.id == signed.id)
    assert not made_by(journal.record(), line, Role.INSPECTOR)


def test_observations_by_somebody_whose_certificate_is_revoked_stay() -> None:
    journal = passing()
    journal.set_up(people=(Person(INSPECTOR, (Role.INSPECTOR,), pem(OLD)),))
    revoke(journal, INSPECTOR, "10:00", author=INSPECTOR)
    level(journal, "10:55", device="tablet-a")
    assert stands(journal).standing is Standing.CLEAN
