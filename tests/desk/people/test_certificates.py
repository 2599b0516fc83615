"""People's certificates in a project: brought along, endorsed, revoked."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric import ec

from fieldapp.desk.inspector import Refused, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.trust.authority import endorse, make_authority
from fieldapp.desk.trust.people import adopt_key, key_file, unlock_key, with_certificate_of
from fieldapp.desk.trust.revoking import revoke
from fieldapp.desk.trust.unlocking import take_endorsed
from fieldapp.identity import keys
from fieldapp.identity.certificates import Term, is_issued_by, load, read_certificate, to_pem
from fieldapp.identity.device_keys import device_certificate, new_device_key
from fieldapp.identity.errors import (
    DamagedKeyFile,
    NoKeyInFile,
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    UnreadableCertificate,
    WeakPassphrase,
    WrongPassphrase,
)
from fieldapp.record.attesting import DeviceKey, Revocation
from fieldapp.record.reading import Impossible
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.words import Role
from tests.desk.people.people_keys import (
    ENGINEER,
    INSPECTOR,
    OTHER,
    PASSPHRASE,
    START,
    Opens,
    a_key,
    certificate_of,
    may_sign,
    pin,
)
from tests.identity.own_files import OWN_PHRASE, Own, file_without_key, own_file, rsa_file

# a certificate of one's own


def test_an_own_certificate_is_sealed_anew_pinned_and_signs_the_log(opened: Opens) -> None:
    with opened() as place:
        revoke(place, INSPECTOR, place.now(), "an own certificate instead", INSPECTOR)
        made = adopt_key(place, INSPECTOR, own_file(), OWN_PHRASE, OTHER)
        assert made.certificate.from_elsewhere
        assert made.still_to_do == ""
        assert made.certificate.name == "A. Surveyor (Qualified)"
        key = unlock_key(place, INSPECTOR, OTHER)
        assert (key.certificate.name, key.certificate.roles) == (INSPECTOR, (Role.INSPECTOR,))
        pen = Pen(key, Role.INSPECTOR)
        paper = write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, INSPECTOR, pen)
        assert paper.path.read_bytes().startswith(b"%PDF")
        assert certificate_of(place) == to_pem(key.x509_certificate)


CASES = {
    "no key": (file_without_key, NoKeyInFile, "holds no P-256 key"),
    "rsa": (rsa_file, NoKeyInFile, "holds an RSA key"),
    "damaged": (lambda: own_file()[:-1], DamagedKeyFile, "not a whole key file"),
    "other passphrase": (lambda: own_file(phrase="another phrase"), WrongPassphrase, "does not open"),
    "not for signing": (lambda: own_file(Own(signs=False)), UnreadableCertificate, "not for making digital"),
    "authority": (lambda: own_file(Own(authority=True)), UnreadableCertificate, "an authority"),
    "expired": (
        lambda: own_file(Own(valid_until=START - timedelta(days=1))),
        OutsideValidity,
        r"to 11 May 2026 09:00, not now \(12 May 2026 09:00\)",
    ),
    "not yet": (
        lambda: own_file(Own(valid_from=START + timedelta(days=1))),
        OutsideValidity,
        "good from 13 May 2026 09:00 to",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_an_own_file_that_cannot_sign_here_is_refused_and_changes_nothing(opened: Opens, case: str) -> None:
    content, error, says = CASES[case]
    with opened() as place:
        entries = tuple(place.entries())
        with pytest.raises(error, match=says):
            adopt_key(place, "Designer", content(), OWN_PHRASE)
        assert tuple(place.entries()) == entries
        assert not key_file(place, "Designer").exists()


def test_the_key_of_one_person_does_not_become_that_of_another(opened: Opens) -> None:
    with opened() as place:
        theirs = key_file(place, INSPECTOR).read_bytes()
        with pytest.raises(NotThisPerson, match="This key is of Inspector A, not of Designer"):
            adopt_key(place, "Designer", theirs, PASSPHRASE)
        shared = ec.generate_private_key(ec.SECP256R1())
        pinned = keys.unlock(own_file(key=shared), OWN_PHRASE)
        pin(place, pinned)
        again = own_file(Own(names=("Another name",)), key=shared)
        with pytest.raises(NotThisPerson, match="each person signs with a key of their own"):
            adopt_key(place, "Designer", again, OWN_PHRASE)


def test_a_revoked_own_key_does_not_come_back_in_another_certificate(opened: Opens) -> None:
    shared = ec.generate_private_key(ec.SECP256R1())
    with opened() as place:
        pin(place, keys.unlock(own_file(key=shared), OWN_PHRASE))
        revoke(place, INSPECTOR, place.now(), "card lost", INSPECTOR)
        with pytest.raises(RevokedKey, match="a revoked key does not come back"):
            adopt_key(place, INSPECTOR, own_file(Own(names=("Renewed",)), key=shared), OWN_PHRASE)


def test_an_own_key_under_a_weak_passphrase_needs_a_better_one(opened: Opens) -> None:
    with opened() as place, pytest.raises(WeakPassphrase):
        adopt_key(place, "Designer", own_file(phrase="1234"), "1234")


# the authority


def test_the_authority_vouches_and_the_key_file_takes_the_certificate_in_when_unlocked(
    endorsed: Opens,
) -> None:
    with endorsed() as place:
        pinned, authority = load(certificate_of(place)), load(place.setup().authority)
        assert is_issued_by(pinned, authority)
        before = key_file(place, INSPECTOR).read_bytes()
        key = unlock_key(place, INSPECTOR, PASSPHRASE)
        assert key.x509_certificate == pinned
        assert key.certificate.roles == (Role.INSPECTOR,)
        after = key_file(place, INSPECTOR).read_bytes()
        assert after != before
        assert take_endorsed(place, INSPECTOR, PASSPHRASE) is False
        assert key_file(place, INSPECTOR).read_bytes() == after


def test_the_certificate_can_be_taken_in_by_itself(endorsed: Opens) -> None:
    with endorsed() as place:
        assert take_endorsed(place, INSPECTOR, PASSPHRASE) is True
        opened = keys.unlock(key_file(place, INSPECTOR).read_bytes(), PASSPHRASE)
        assert to_pem(opened.x509_certificate) == certificate_of(place)


def test_the_authoritys_key_stays_out_of_the_project_and_is_never_overwritten(
    opened: Opens, tmp_path: Path
) -> None:
    with opened() as place:
        (tmp_path / "short-cut").symlink_to(place.folder / "keys")
        for inside in (place.folder / "authority.p12", tmp_path / "short-cut" / "authority.p12"):
            with pytest.raises(Impossible, match="outside the project folder"):
                make_authority(place, inside, OTHER, ENGINEER)
        there = tmp_path / "there.p12"
        there.write_bytes(b"something")
        with pytest.raises(Impossible, match="the one that is there stays as it is"):
            make_authority(place, there, OTHER, ENGINEER)
        with pytest.raises(WeakPassphrase):
            make_authority(place, tmp_path / "new.p12", "short", ENGINEER)
        with pytest.raises(Refused, match="may not make a project set-up"):
            make_authority(place, tmp_path / "new.p12", OTHER, INSPECTOR)
        assert not (tmp_path / "new.p12").exists()
        assert place.setup().authority == ""


def test_a_second_authority_is_made_only_when_asked_for(endorsed: Opens, tmp_path: Path) -> None:
    with endorsed() as place, pytest.raises(Impossible, match="the present one stays as it is"):
        make_authority(place, tmp_path / "second.p12", OTHER, ENGINEER)


def test_the_authority_signs_only_what_the_roster_says(endorsed: Opens, with_authority: Path) -> None:
    file = with_authority.parent / "authority.p12"
    with endorsed() as place:
        with pytest.raises(Impossible, match="one that the authority signed for Inspector A"):
            endorse(place, file, OTHER, INSPECTOR, ENGINEER)
        with pytest.raises(Impossible, match="who has made a key"):
            endorse(place, file, OTHER, "Designer", ENGINEER)
        wrong = (a_key(roles=(Role.INSPECTOR, Role.DESIGNER)), a_key("Designer"))
        for each in wrong:
            pin(place, each)
            with pytest.raises(NotThisPerson, match="does not say what the roster says"):
                endorse(place, file, OTHER, INSPECTOR, ENGINEER)
        pin(place, keys.unlock(own_file(), OWN_PHRASE))
        with pytest.raises(NotThisPerson, match="was made elsewhere"):
            endorse(place, file, OTHER, INSPECTOR, ENGINEER)
        pin(place, a_key())
        with pytest.raises(NoKeyInFile, match="only the project's authority signs certificates"):
            endorse(place, key_file(place, INSPECTOR), PASSPHRASE, INSPECTOR, ENGINEER)


def test_a_revoked_key_an_inspector_and_an_expired_authority_get_no_new_certificate(
    endorsed: Opens, with_authority: Path
) -> None:
    file = with_authority.parent / "authority.p12"
    with endorsed() as place:
        theirs = to_pem(a_key("Designer", (Role.DESIGNER,)).x509_certificate)
        record_entry(place, Saying(None, with_certificate_of(place.setup(), "Designer", theirs), "Designer"))
        with pytest.raises(Refused, match="may not make a project set-up"):
            endorse(place, file, OTHER, "Designer", INSPECTOR)
        pin(place, a_key())
        revoke(place, INSPECTOR, place.now(), "tablet lost", ENGINEER)
        with pytest.raises(RevokedKey, match="have a new key made first"):
            endorse(place, file, OTHER, INSPECTOR, ENGINEER)
    with endorsed(START + timedelta(days=10 * 365)) as place:
        pin(place, a_key())
        with pytest.raises(
            OutsideValidity,
            match=r"authority is good from 12 May 2026 09:\d\d to .*, and it is \d+ May 2036 09:00 here",
        ):
            endorse(place, file, OTHER, INSPECTOR, ENGINEER)


# revoking


def test_a_revocation_covers_every_certificate_of_the_key(endorsed: Opens) -> None:
    with endorsed(START + timedelta(hours=2)) as place:
        made = revoke(place, INSPECTOR, START + timedelta(hours=1), "tablet lost", ENGINEER)
        said = [each.values for each in made]
        assert all(isinstance(each, Revocation) for each in said)
        assert {each.holder for each in said} == {INSPECTOR}
        assert len({each.fingerprint for each in said}) == 2  # its own, and the one that the authority signed
        with pytest.raises(Impossible, match="it is revoked by then"):
            revoke(place, INSPECTOR, START + timedelta(hours=1), "again", ENGINEER)
        with pytest.raises(Impossible, match=r"12 May 2026 1\d:\d\d.*a time not after 12 May 2026 11:\d\d"):
            revoke(place, INSPECTOR, place.now() + timedelta(hours=1), "to come", ENGINEER)
        assert len(revoke(place, INSPECTOR, START, "it was lost earlier", ENGINEER)) == 2


def test_a_certificate_that_was_replaced_is_revoked_by_its_fingerprint(opened: Opens) -> None:
    with opened() as place:
        old = read_certificate(certificate_of(place)).fingerprint
        key = a_key()
        pin(place, key)
        (made,) = revoke(place, old, place.now(), "the first tablet was lost", ENGINEER)
        assert (made.values.holder, made.values.fingerprint) == (INSPECTOR, old)
        may_sign(place, key)


def test_a_devices_key_is_revoked_by_the_name_of_the_device(opened: Opens) -> None:
    pem = device_certificate(new_device_key(), "tablet south", Term(START, START + timedelta(days=9)))
    with opened() as place:
        record_entry(place, Saying(None, DeviceKey(pem), INSPECTOR))
        (made,) = revoke(place, "tablet south", START, "left on the train", ENGINEER)
        assert made.values == Revocation("tablet south", fingerprint_of(pem), START, "left on the train")
        with pytest.raises(Refused):
            revoke(place, "tablet south", START - timedelta(hours=1), "left on the train", INSPECTOR)


@pytest.mark.parametrize(
    ("holder", "minutes", "author", "error", "says"),
    [
        (INSPECTOR, 1, ENGINEER, Impossible, "not after 12 May 2026 09:00"),
        ("Designer", 0, ENGINEER, Impossible, "a person or device whose key the journal names"),
        ("tablet south", 0, ENGINEER, Impossible, "a person or device whose key"),
        ("0" * 64, 0, ENGINEER, Impossible, "a person or device whose key"),
        (INSPECTOR, 0, "Nobody", Refused, "not on the project's roster"),
    ],
)
def test_what_cannot_be_revoked_gets_a_sentence(
    opened: Opens, holder: str, minutes: int, author: str, error: type[Exception], says: str
) -> None:
    with opened() as place:
        before = tuple(place.entries())
        with pytest.raises(error, match=says):
            revoke(place, holder, START + timedelta(minutes=minutes), "lost", author)
        with pytest.raises(Impossible, match="a time with its offset"):
            revoke(place, INSPECTOR, START.replace(tzinfo=None), "lost", author)
        assert tuple(place.entries()) == before
