"""What arrives from elsewhere signed is held against the keys that vouch for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldapp.desk.trust.audit import audit
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.trust.signatures import SignedBy
from fieldapp.identity.stretches import Stretch, sign_stretch_bytes
from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.decisions import Hold
from fieldapp.record.hole import Note
from fieldapp.record.words import Role
from tests.desk import attackers
from tests.desk.receiving.second_device import Second, a_basis, refused
from tests.desk.signed_work import ENGINEER, INSPECTOR, attributed, person_key, pinned, say, signed_through

# Signatures.


def test_a_signed_chain_arrives_with_what_it_vouches_for(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    east.bring_key(ENGINEER)
    east.say(pinned(place.setup(), ENGINEER, key), ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    receive(place, east.sealed)
    assert [each.by for each in attributed(place)] == [SignedBy.PERSON]
    assert signed_through(place)["tablet east"].seq == 3
    assert [each for each in audit(place.folder) if not each.ok] == []


def test_a_chain_that_arrived_signed_is_remembered_by_this_device(east: Second) -> None:
    east.bring_key()
    east.say(Note("the hole stands"))
    east.say(east.signed())
    receive(east.place, east.sealed)
    east.place.writer().close()
    attackers.cut_tail(east.place.folder, "tablet east", 2)
    (wrong,) = (each for each in audit(east.place.folder) if not each.ok)
    assert wrong.detail == "this device has seen entry 3 of device tablet east, it ends at 2"


def test_a_stretch_signed_by_another_device_key_is_refused(east: Second) -> None:
    east.bring_key()
    east.signer = east.key()
    east.say(east.signed())
    assert "not a signature of the key of device tablet east" in str(refused(east))


def test_a_stretch_of_another_project_is_refused(east: Second) -> None:
    signer = east.bring_key()
    stretch = Stretch("vesker", east.device, east.head.seq, east.head.hash)
    east.say(StretchSigned(stretch.seq, stretch.hash, sign_stretch_bytes(stretch, signer)))
    assert "not a signature of the key" in str(refused(east))


def test_a_stretch_of_another_place_is_refused(east: Second) -> None:
    east.bring_key()
    early = east.signed()
    east.say(Note("more"))
    east.say(early)
    assert "signs another place" in str(refused(east))


def test_a_stretch_before_any_device_key_is_refused(east: Second) -> None:
    east.say(Note("first"))
    east.signer = east.key()
    east.say(east.signed())
    assert "no key of device tablet east stands before it" in str(refused(east))


def test_a_second_device_key_is_refused_and_the_same_one_again_is_not(east: Second) -> None:
    signer = east.bring_key()
    east.say(DeviceKey(signer.certificate))
    assert receive(east.place, east.sealed).new == 2
    east.bring_key()
    assert "second device key" in str(refused(east))


@pytest.mark.parametrize("certificate", ["PEM", "of another device"])
def test_a_device_key_that_is_none_of_this_device_is_refused(east: Second, certificate: str) -> None:
    other = east.key("tablet west").certificate
    east.say(DeviceKey(other if certificate == "of another device" else certificate))
    assert "not one of a key of device tablet east" in str(refused(east))


def test_a_persons_signature_needs_a_certificate_that_the_project_knows(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    east.bring_key(ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    assert f"knows no certificate {key.certificate.fingerprint[:16]} of {ENGINEER}" in str(refused(east))
    say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    assert receive(place, east.sealed).new == 3


def test_a_persons_signature_does_not_stand_for_another_person(east: Second) -> None:
    place = east.place
    key = person_key(place, INSPECTOR, Role.INSPECTOR)
    say(place, pinned(place.setup(), INSPECTOR, key), INSPECTOR)
    east.bring_key(ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    assert "knows no certificate" in str(refused(east))


def test_a_persons_signature_by_another_key_is_refused(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    east.bring_key(ENGINEER)
    forged = replace(person_key(place, ENGINEER, Role.RESIDENT_ENGINEER), certificate=key.certificate)
    east.say(east.signed(forged), ENGINEER)
    assert f"not a signature of {ENGINEER}'s certificate" in str(refused(east))
