"""The attacker's list: what nothing in the file of a journal can show."""

from __future__ import annotations

from dataclasses import replace

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.trust.signatures import SignedBy
from fieldapp.desk.trust.stretches import sign_stretch
from fieldapp.desk.trust.witness import witness_file
from fieldapp.desk.workplace import open_project
from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import LogSigned
from fieldapp.record.hole import Note
from tests.desk import attackers
from tests.desk.audit.forged_work import (
    SIGNED,
    Job,
    a_device_key,
    a_draft,
    a_release,
    appended,
    detail,
    forged_keys,
    number,
    reworded,
    without_people,
    wrong,
)
from tests.desk.signed_work import ENGINEER, INSPECTOR, SOUTH, attributed, basis, pinned, say

# What nothing in the file shows.  These tests keep the documents honest.


def test_not_shown_a_tail_cut_off_when_the_memory_of_this_device_is_gone_too(job: Job) -> None:
    attackers.cut_tail(job.folder, SOUTH, number(job.folder, "stretch signed", 1))
    witness_file("larkwater").unlink()
    assert wrong(job.folder) == {}


def test_not_shown_a_chain_signed_anew_when_the_memory_of_this_device_is_gone_too(job: Job) -> None:
    keys, _ = forged_keys(job)
    forged = replace(keys, people=())
    attackers.rewrite(job.folder, SOUTH, lambda bodies: without_people(reworded(bodies)), forged)
    witness_file("larkwater").unlink()
    assert wrong(job.folder) == {}
    assert "3 by the device only" in detail(job.folder, "whose key vouches for decisions")


def test_not_shown_a_new_device_that_pins_a_certificate_and_releases_in_the_engineers_name(job: Job) -> None:
    keys, engineer = forged_keys(job)
    device = a_device_key(job, "tablet east")
    keys = replace(keys, device=device, certificate=device.certificate)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        setup = pinned(place.setup(), ENGINEER, engineer)
    signed = StretchSigned(1, "0" * 64, "30" * 70)
    drafts = [
        a_draft(job, setup, ENGINEER),
        a_draft(job, DeviceKey(device.certificate), ENGINEER),
        a_release(job, ENGINEER),
        a_draft(job, signed, ENGINEER),
    ]
    attackers.new_chain(job.folder, "tablet east", drafts, keys)
    assert wrong(job.folder) == {}
    assert f"tablet east: signed through entry 3 by key {device.fingerprint[:16]}" in detail(
        job.folder, SIGNED
    )


def test_not_shown_but_said_to_be_unsigned_a_decision_added_at_the_end_in_a_right_name(job: Job) -> None:
    appended(job, a_release(job, ENGINEER))
    assert wrong(job.folder) == {}
    assert "2 after that not signed" in detail(job.folder, SIGNED)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        last = attributed(place)[-1]
    assert (last.by, last.fingerprint) == (SignedBy.NOBODY, "")
    assert last.says.startswith(f"Not signed: typed on device {SOUTH} as a decision of {ENGINEER}")


def test_not_shown_a_dishonest_reading_that_was_signed(job: Job) -> None:
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        (seen,) = (each for each in place.entries() if isinstance(each.values, SoundingRound))
        assert isinstance(seen.values, SoundingRound)
        clean = tuple(
            replace(each, first_contact=each.firm or each.first_contact) for each in seen.values.points
        )
        say(place, replace(seen.values, number=2, points=clean))
        say(place, LogSigned(basis(place), "Recorded as seen."))
        sign_stretch(place, INSPECTOR, job.inspector)
    assert wrong(job.folder) == {}


def test_not_shown_a_clock_that_was_wrong_when_it_was_signed(job: Job) -> None:
    job.clock.move(hours=-1)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        note = Note("an hour before it was")
        record_entry(place, Saying("P1-1", note, INSPECTOR, confirmed=("clock-back",)))
        sign_stretch(place, INSPECTOR)
    assert wrong(job.folder) == {}
