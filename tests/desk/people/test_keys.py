"""People's keys in a project: opened, made, renewed, and never leaked."""

from __future__ import annotations

import base64
import json
import sys
import traceback
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from fieldapp.desk.inspector import Refused, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.trust.people import (
    adopt_key,
    key_file,
    make_key,
    save_and_pin,
    unlock_key,
    with_certificate_of,
)
from fieldapp.desk.trust.revoking import revoke
from fieldapp.desk.trust.unlocking import change_passphrase, tries_of
from fieldapp.desk.workplace import UnknownShaft, read_project
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.errors import (
    DamagedKeyFile,
    IdentityProblem,
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    TooManyTries,
    WeakPassphrase,
    WrongPassphrase,
)
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.reading import Impossible
from fieldapp.record.words import Role
from tests.desk.people.people_keys import (
    ENGINEER,
    INSPECTOR,
    OTHER,
    PASSPHRASE,
    START,
    WRONG,
    Opens,
    a_key,
    certificate_of,
    may_sign,
    pin,
)
from tests.identity.own_files import OWN_PHRASE
from tests.identity.papers import authority_of

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
        pytest.raises(RevokedKey, match=r"revoked from 13 May 09:00 on.*what was signed before stays"),
    ):
        unlock_key(earlier, INSPECTOR, PASSPHRASE)
    key = a_key()
    with opened() as place:
        pin(place, key, confirmed=("clock-back",))
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
