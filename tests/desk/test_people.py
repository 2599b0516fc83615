"""People's keys in a project: made, renewed, brought along, endorsed, revoked, and never leaked."""

from __future__ import annotations

import base64
import json
import shutil
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from fieldapp.desk.authority import endorse, make_authority
from fieldapp.desk.inspector import Refused, Saying, record_entry
from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.paper import Pen
from fieldapp.desk.papers import write_shaft_log
from fieldapp.desk.people import adopt_key, key_file, make_key, save_and_pin, unlock_key, with_certificate_of
from fieldapp.desk.revoking import revoke
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.unlocking import change_passphrase, check_may_sign, take_endorsed, tries_of
from fieldapp.desk.workplace import UnknownShaft, Workplace, open_project, read_project
from fieldapp.identity import keys
from fieldapp.identity.certificates import Term, is_issued_by, load, read_certificate, to_pem
from fieldapp.identity.device_keys import device_certificate, new_device_key
from fieldapp.identity.errors import (
    DamagedKeyFile,
    IdentityProblem,
    NoKeyInFile,
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    TooManyTries,
    UnreadableCertificate,
    WeakPassphrase,
    WrongPassphrase,
)
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.attesting import DeviceKey, Revocation
from fieldapp.record.reading import Impossible
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.words import Role
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.identity.own_files import OWN_PHRASE, Own, file_without_key, own_file, rsa_file
from tests.identity.papers import authority_of

PASSPHRASE = "seven quiet herons on the bank"
OTHER = "eleven loud otters under a bridge"
WRONG = PASSPHRASE + "s"
ZONE = ZoneInfo("America/Denver")
START = datetime(2026, 5, 12, 9, 0, tzinfo=ZONE)
INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"
Opens = Callable[..., AbstractContextManager[Workplace]]


class RunningClock(SiteClock):
    """A clock whose identifiers follow on from those that a copied project has already."""

    def __init__(self, at: datetime = START, made: int = 500) -> None:
        super().__init__(at)
        self.made = made


@pytest.fixture(autouse=True)
def _own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))


@pytest.fixture(scope="module")
def with_key(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project in which the inspector has a key."""
    base = tmp_path_factory.mktemp("people")
    for name, text in (("project.log", SETUP), ("P1-1.log", HOLE)):
        (base / name).write_text(text, "utf-8")
    folder = base / "larkwater"
    begin_project(folder)
    with open_project(folder, RunningClock(made=0), device="tablet south") as place:
        add_logs(place, read_logs(sorted(base.glob("*.log"))))
        make_key(place, INSPECTOR, PASSPHRASE)
    return folder


@pytest.fixture(scope="module")
def with_authority(with_key: Path) -> Path:
    """The same project with an authority, whose key file lies beside it, that vouches for the inspector."""
    folder = with_key.parent / "endorsed" / "larkwater"
    shutil.copytree(with_key, folder)
    with open_project(folder, RunningClock(made=200), device="tablet south") as place:
        made = make_authority(place, folder.parent / "authority.p12", OTHER, ENGINEER)
        endorse(place, made, OTHER, INSPECTOR, ENGINEER)
    return folder


@pytest.fixture
def opened(with_key: Path, tmp_path: Path) -> Opens:
    """Opens a copy of the project; every time the same copy."""
    return _opening(with_key, tmp_path)


@pytest.fixture
def endorsed(with_authority: Path, tmp_path: Path) -> Opens:
    return _opening(with_authority, tmp_path)


def _opening(template: Path, tmp_path: Path) -> Opens:
    folder = tmp_path / "larkwater"
    shutil.copytree(template, folder)
    clock = RunningClock()

    @contextmanager
    def open_at(at: datetime = START) -> Iterator[Workplace]:
        clock.at = at
        with open_project(folder, clock, device="tablet south") as place:
            yield place

    return open_at


def certificate_of(place: Workplace, name: str = INSPECTOR) -> str:
    person = place.setup().person(name)
    assert person is not None
    return person.certificate


def a_key(name: str = INSPECTOR, roles: tuple[Role, ...] = (Role.INSPECTOR,), **more) -> UnlockedKey:
    term = Term(START - timedelta(days=1), START + timedelta(days=300))
    return new_person_key(CertifiedPerson(name, roles, "Larkwater crossing"), term, **more)


def may_sign(place: Workplace, key: UnlockedKey, at: datetime = START) -> None:
    person = place.setup().person(INSPECTOR)
    assert person is not None
    check_may_sign(place.record(), person, key, at)


def pin(place: Workplace, key: UnlockedKey, **more) -> None:
    setup = with_certificate_of(replace(place.setup(), **more), INSPECTOR, to_pem(key.x509_certificate))
    record_entry(place, Saying(None, setup, ENGINEER))


# wrong passphrases


def test_wrong_tries_outlast_a_restart_slow_down_and_are_forgotten_on_the_right_one(opened: Opens) -> None:
    for _ in range(5):
        with opened() as place, pytest.raises(WrongPassphrase):
            unlock_key(place, INSPECTOR, WRONG)
    with opened(START + timedelta(seconds=4)) as place:
        with pytest.raises(
            TooManyTries, match=r"wrong 5 times\. The next try is open in 1 s.*recording goes on"
        ):
            unlock_key(place, INSPECTOR, PASSPHRASE)
        assert tries_of(key_file(place, INSPECTOR)).wrong == 5
    with opened(START + timedelta(seconds=5)) as place:
        assert unlock_key(place, INSPECTOR, PASSPHRASE).certificate.name == INSPECTOR
        assert tries_of(key_file(place, INSPECTOR)).wrong == 0
        assert [each.name for each in (place.folder / "keys").iterdir()] == ["inspector-a.p12"]


def test_many_wrong_tries_never_lock_out_for_good(opened: Opens) -> None:
    with opened() as place:
        path = key_file(place, INSPECTOR)
        tries = {"wrong": 5000, "last_at": START.isoformat()}
        path.with_suffix(".tries.json").write_text(json.dumps(tries))
        with pytest.raises(TooManyTries, match="open in 900 s"):
            unlock_key(place, INSPECTOR, PASSPHRASE)
    with opened(START + timedelta(minutes=15)) as place:
        with pytest.raises(WrongPassphrase):  # it was tried
            unlock_key(place, INSPECTOR, WRONG)
        assert tries_of(key_file(place, INSPECTOR)).wrong == 5001


@pytest.mark.parametrize(
    "content",
    [
        b"", b"\xff\xfe", b"[]", b"{}", b"null", b'{"wrong": 9}', b'{"wrong": true, "last_at": 5}',
        b'{"wrong": -3, "last_at": "2026-05-12T09:00:00-06:00"}',
        b'{"wrong": 9, "last_at": "2026-05-12T09:00:00"}', b'{"wrong": 1e400, "last_at": "x"}', b"[" * 9000,
    ],
)  # fmt: skip
def test_a_damaged_count_of_tries_is_no_count(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "someone.tries.json").write_bytes(content)
    assert tries_of(tmp_path / "someone.p12").wrong == 0


def test_a_damaged_key_file_is_not_taken_for_a_wrong_try(opened: Opens) -> None:
    with opened() as place:
        path = key_file(place, INSPECTOR)
        path.write_bytes(path.read_bytes()[:-9])
        with pytest.raises(DamagedKeyFile):
            unlock_key(place, INSPECTOR, PASSPHRASE)
        assert tries_of(path).wrong == 0


# keys that may not sign


def test_a_revoked_key_opens_for_nobody_whatever_the_clock_or_the_moment_looked_at(opened: Opens) -> None:
    with opened(START + timedelta(days=2)) as place:
        revoke(place, INSPECTOR, START + timedelta(days=1), "tablet lost", ENGINEER)
        folder = place.folder
    with (
        read_project(folder, until=START + timedelta(hours=1)) as earlier,
        pytest.raises(RevokedKey, match=r"revoked from 2026-05-13 09:00.*what was signed before stays"),
    ):
        unlock_key(earlier, INSPECTOR, PASSPHRASE)
    key = a_key()
    with opened() as place:
        pin(place, key)
        may_sign(place, key)
        revoke(place, INSPECTOR, START, "tablet lost", ENGINEER)
        for at in (START, START - timedelta(hours=12)):  # a clock set back
            with pytest.raises(RevokedKey):
                may_sign(place, key, at)


@pytest.mark.parametrize(
    ("at", "says"),
    [
        (START - timedelta(days=2), "check the clock of this device"),
        (START + timedelta(days=301), "have a new key made"),
    ],
)
def test_a_key_out_of_its_time_does_not_sign(opened: Opens, at: datetime, says: str) -> None:
    key = a_key()
    with opened() as place:
        pin(place, key)
        may_sign(place, key)
        with pytest.raises(OutsideValidity, match=says):
            may_sign(place, key, at)


def test_a_key_that_the_roster_does_not_pin_does_not_sign(opened: Opens) -> None:
    with opened() as place:
        pin(place, a_key())
        with pytest.raises(NotThisPerson, match="not the one that the project knows for Inspector A"):
            unlock_key(place, INSPECTOR, PASSPHRASE)


def test_a_key_that_the_authority_signed_for_that_name_signs_without_a_pin(opened: Opens) -> None:
    authority, another = authority_of("Larkwater crossing"), authority_of("Larkwater crossing")
    with opened() as place:
        pin(place, a_key(), authority=to_pem(authority.certificate))
        may_sign(place, a_key(issuer=authority))
        for wrong in (a_key(issuer=another), a_key("Inspector B", issuer=authority)):
            with pytest.raises(NotThisPerson):
                may_sign(place, wrong)


def test_a_pinned_certificate_of_another_name_does_not_sign(opened: Opens) -> None:
    key = a_key("Inspector B")
    with opened() as place:
        pin(place, key)
        with pytest.raises(NotThisPerson):
            may_sign(place, key)


# making and renewing


def test_a_revoked_key_is_renewed_and_its_file_is_kept(endorsed: Opens) -> None:
    with endorsed(START + timedelta(hours=1)) as place:
        path = key_file(place, INSPECTOR)
        before, old = path.read_bytes(), certificate_of(place)
        with pytest.raises(Impossible, match="stays as it is until it is revoked or expires"):
            make_key(place, INSPECTOR, OTHER)
        revoke(place, INSPECTOR, place.now(), "passphrase seen by others", INSPECTOR)
        made = make_key(place, INSPECTOR, OTHER)
        assert made.path == path
        assert "basenote authority endorse PROJECT 'Inspector A'" in made.still_to_do
        kept = [each for each in path.parent.iterdir() if each != path]
        assert [each.name for each in kept] == ["inspector-a.kept-20260512-100000.p12"]
        assert kept[0].read_bytes() == before
        key = unlock_key(place, INSPECTOR, OTHER)
        assert certificate_of(place) == to_pem(key.x509_certificate) != old
        pinned = [
            line.original.values for line in place.record().lines if line.original.kind == "project set-up"
        ]
        assert any(each.person(INSPECTOR).certificate == old for each in pinned)


@pytest.mark.parametrize("why", ["holds", "expired", "other roles", "not pinned"])
def test_there_is_room_for_a_new_key_only_where_the_present_one_cannot_sign(opened: Opens, why: str) -> None:
    at = START + timedelta(days=3 * 365, seconds=1) if why == "expired" else START
    with opened(at) as place:
        if why == "other roles":
            pin(place, a_key(roles=(Role.INSPECTOR, Role.DESIGNER)))
        if why == "not pinned":
            record_entry(place, Saying(None, with_certificate_of(place.setup(), INSPECTOR, ""), ENGINEER))
        with pytest.raises(Impossible if why == "holds" else DamagedKeyFile):
            adopt_key(place, INSPECTOR, b"looked at only where there is room", OWN_PHRASE)


def test_with_the_set_up_refused_the_files_are_as_they_were(opened: Opens) -> None:
    with opened() as place:
        path, new = key_file(place, INSPECTOR), key_file(place, "Designer")
        before = path.read_bytes()
        changed = replace(place.setup(), name="Another name")
        for each in (path, new):
            with pytest.raises(Refused):
                save_and_pin(place, each, b"a key that is refused", changed, INSPECTOR)
        assert path.read_bytes() == before
        assert not new.exists()


def test_key_files_of_names_in_other_scripts_do_not_collide(opened: Opens) -> None:
    names = [INSPECTOR, "Łukasz Őry", "ukasz ry", "田中", "佐藤", "A/B", "A B"]
    with opened() as place:
        found = [key_file(place, each) for each in names]
        assert len(set(found)) == len(names)
        assert {each.parent for each in found} == {place.folder / "keys"}
        assert found[0].name == "inspector-a.p12"


def test_a_key_file_can_be_read_by_its_user_alone(with_key: Path) -> None:
    assert (with_key / "keys" / "inspector-a.p12").stat().st_mode & 0o777 == 0o600


# another passphrase


def test_a_new_passphrase_takes_the_place_of_the_old_one(opened: Opens) -> None:
    with opened() as place:
        before = certificate_of(place)
        change_passphrase(place, INSPECTOR, PASSPHRASE, OTHER)
        with pytest.raises(WrongPassphrase):
            unlock_key(place, INSPECTOR, PASSPHRASE)
        assert to_pem(unlock_key(place, INSPECTOR, OTHER).x509_certificate) == before


def test_a_passphrase_that_cannot_be_changed_leaves_the_file_and_counts_what_was_wrong(opened: Opens) -> None:
    with opened() as place:
        path = key_file(place, INSPECTOR)
        before = path.read_bytes()
        with pytest.raises(WeakPassphrase):
            change_passphrase(place, INSPECTOR, WRONG, "short")
        assert tries_of(path).wrong == 0
        for _ in range(5):
            with pytest.raises(WrongPassphrase):
                change_passphrase(place, INSPECTOR, WRONG, OTHER)
        with pytest.raises(TooManyTries):
            change_passphrase(place, INSPECTOR, PASSPHRASE, OTHER)
        with pytest.raises(TooManyTries):
            unlock_key(place, INSPECTOR, PASSPHRASE)
        assert path.read_bytes() == before
        with pytest.raises(Impossible, match="no key of Designer"):
            change_passphrase(place, "Designer", PASSPHRASE, OTHER)


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
        "to 2026-05-11, not now",
    ),
    "not yet": (
        lambda: own_file(Own(valid_from=START + timedelta(days=1))),
        OutsideValidity,
        "good from 2026-05-13",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_an_own_file_that_cannot_sign_here_is_refused_and_changes_nothing(opened: Opens, case: str) -> None:
    content, error, says = CASES[case]
    with opened() as place:
        entries = place.entries()
        with pytest.raises(error, match=says):
            adopt_key(place, "Designer", content(), OWN_PHRASE)
        assert place.entries() == entries
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
        with pytest.raises(OutsideValidity, match="The project's authority is good from"):
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
        (INSPECTOR, 1, ENGINEER, Impossible, "up to 09:00"),
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
        before = place.entries()
        with pytest.raises(error, match=says):
            revoke(place, holder, START + timedelta(minutes=minutes), "lost", author)
        with pytest.raises(Impossible, match="a time with its offset"):
            revoke(place, INSPECTOR, START.replace(tzinfo=None), "lost", author)
        assert place.entries() == before


# no secret anywhere


def test_neither_passphrase_nor_key_is_found_in_journal_papers_output_or_traceback(
    opened: Opens, capfd: pytest.CaptureFixture[str]
) -> None:
    with opened() as place:
        with pytest.raises(WrongPassphrase) as wrong:
            unlock_key(place, INSPECTOR, WRONG)
        key = unlock_key(place, INSPECTOR, PASSPHRASE)
        pen = Pen(key, Role.INSPECTOR)
        write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, INSPECTOR, pen)
        with pytest.raises(UnknownShaft) as inside:
            write_shaft_log(place, "P9-9", START, INSPECTOR, pen)
        told = "".join(
            text for each in (wrong, inside) for text in traceback.format_exception(each.value)
        ) + "".join(traceback.format_tb(inside.value.__traceback__))
        sys.stdout.write(f"{key} {pen} {wrong.value} {inside.value}")
        output = capfd.readouterr()
        looked_at = {
            str(each.relative_to(place.folder)): each.read_bytes()
            for each in place.folder.rglob("*")
            if each.is_file()
        }
        looked_at |= {"told": told.encode(), "out": output.out.encode(), "err": output.err.encode()}
        assert {"journal.db", "journal.db-wal", "keys/inspector-a.p12"} <= set(looked_at)
        assert any(each.startswith("reports") for each in looked_at)
        assert b"Inspector A" in looked_at["out"]
        for name, content in looked_at.items():
            for secret in secrets_of(key):
                assert secret not in content, name


def secrets_of(key: UnlockedKey) -> list[bytes]:
    """The passphrases, and the private key in every form in which it could lie about."""
    number = key.private_key.private_numbers().private_value
    raw = number.to_bytes(32, "big")
    forms = [
        key.private_key.private_bytes(encoding, format_, NoEncryption())
        for encoding in (Encoding.DER, Encoding.PEM)
        for format_ in (PrivateFormat.PKCS8, PrivateFormat.TraditionalOpenSSL)
    ]
    in_lines = [line for form in forms[2:] for line in form.splitlines()[1:-1]]
    shown = [base64.b64encode(each) for each in (raw, *forms[:2])]
    digits = [raw.hex().encode(), raw.hex().upper().encode(), str(number).encode()]
    return [PASSPHRASE.encode(), WRONG.encode(), raw, raw[::-1], *forms[:2], *in_lines, *shown, *digits]


def test_every_refusal_of_a_key_is_something_the_screens_and_the_command_line_can_show() -> None:
    from fieldapp.desk.problems import PROBLEMS

    assert IdentityProblem in PROBLEMS
    for each in (TooManyTries, RevokedKey, OutsideValidity, NotThisPerson, DamagedKeyFile):
        assert issubclass(each, IdentityProblem)
