"""Opening the key files of people: wrong tries are counted on disk, and a key that may not sign stays shut.

Tries are kept beside the key file, so that a restart does not forget them; a lost or damaged count is no
count, and nobody is locked out for good.  Nothing here writes the journal.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.criteria.phrasing import clock_in_full, clock_of_year, clock_seen
from fieldapp.desk.trust.revoking import key_revoked_since, whole_record
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.identity import keys
from fieldapp.identity.attempts import Attempts
from fieldapp.identity.certificates import fingerprint, is_issued_by, key_digest, load, to_pem
from fieldapp.identity.errors import (
    NotThisPerson,
    OutsideValidity,
    RevokedKey,
    UnreadableCertificate,
    WrongPassphrase,
)
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.setup import Person
from fieldapp.record.shaft import ProjectRecord
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

_PLAIN: Final = re.compile(r"[A-Za-z0-9.]+([ -][A-Za-z0-9.]+)*")
_MOST_BYTES: Final = 2000


def key_file(place: Workplace, name: str) -> Path:
    """Where the key of a person is kept on this device."""
    stem = file_name_of(name)
    if not _PLAIN.fullmatch(name):
        stem = f"{stem}-{hashlib.sha256(name.encode()).hexdigest()[:12]}".strip("-")
    return place.folder / "keys" / f"{stem}.p12"


def present_key_file(place: Workplace, name: str) -> Path:
    """Where the key of a person lies; asked before a passphrase is typed.  Raises Impossible without one."""
    path = key_file(place, name)
    if not path.exists():
        raise Impossible(
            "key",
            said("no key of {name} in {parent_name}", name=name, parent_name=path.parent.name),
            said("a key made on this device first"),
        )
    return path


def save_key(path: Path, p12: bytes) -> None:
    """Save a key file whole, for this user alone; the earlier one stands until it is on disk.

    Raises StoreProblem.
    """
    with in_plain_words(path.parent):
        save_bytes(path, p12)
    with suppress(OSError):  # a file system without rights: the passphrase protects the key
        path.chmod(0o600)


def read_key(path: Path) -> bytes:
    """The bytes of a key file.  Raises StoreProblem."""
    with in_plain_words(path):
        return path.read_bytes()


def unlock_key(place: Workplace, name: str, passphrase: str) -> UnlockedKey:
    """Open a person's key.  A certificate that the authority has signed since is put into the file first.

    Raises
    ------
    WrongPassphrase, TooManyTries, DamagedKeyFile, NoKeyInFile
        It does not open, or was tried too often just now.
    RevokedKey, OutsideValidity, NotThisPerson
        It opens, and may not sign: revoked, out of its time, or not the key that the project knows.
    Impossible
        There is no key here, or the person is not on the roster.
    """
    path, record = present_key_file(place, name), whole_record(place)
    person = _on_roster(place, record, name)
    with counted_tries(path, place.now()):
        key = keys.unlock(read_key(path), passphrase)
    if _signed_since(key, person, _authority(record)):
        key = _take(path, key, person, _authority(record), passphrase)
    check_may_sign(record, person, key, place.now())
    return keys.vouched(key, person.name, person.roles)


def take_endorsed(place: Workplace, name: str, passphrase: str) -> bool:
    """Put the certificate that the authority signed into the person's key file; False when it is in already.

    Raises what `unlock_key` raises, and NotThisPerson when the roster's certificate is for another key.
    """
    path, record = present_key_file(place, name), whole_record(place)
    person = _on_roster(place, record, name)
    with counted_tries(path, place.now()):
        key = keys.unlock(read_key(path), passphrase)
    if not person.certificate or fingerprint(load(person.certificate)) == key.certificate.fingerprint:
        return False
    if not _authority(record):
        raise Impossible("authority", said("none in the set-up"), said("a project with an authority"))
    _take(path, key, person, _authority(record), passphrase)
    return True


def change_passphrase(place: Workplace, name: str, old: str, new: str) -> Path:
    """Seal a person's key anew; the old passphrase works until the new file is on disk.

    Copies of the key file that were made before still open with the old one.

    Raises
    ------
    WeakPassphrase
        The new one is quickly guessed.
    WrongPassphrase, TooManyTries, DamagedKeyFile, NoKeyInFile
        The old one does not open the file; that counts as a try.
    Impossible
        There is no key here.
    """
    keys.check_passphrase(new)
    path = present_key_file(place, name)
    with counted_tries(path, place.now()):
        p12 = keys.with_passphrase(read_key(path), old, new)
    save_key(path, p12)
    return path


@contextmanager
def counted_tries(path: Path, now: datetime) -> Iterator[None]:
    """Count a wrong passphrase of a key file, forget the count on the right one.

    Raises TooManyTries before anything is tried, when it is too soon.
    """
    before = tries_of(path)
    before.check(now)
    try:
        yield
    except WrongPassphrase:
        _keep(path, before.failed(now))
        raise
    if before.wrong:
        forget_tries(path)


def tries_of(path: Path) -> Attempts:
    """The wrong tries that are known for a key file; none when the count is missing or damaged."""
    try:
        with _tries_file(path).open("rb") as file:
            kept = json.loads(file.read(_MOST_BYTES))
        wrong, last_at = kept["wrong"], datetime.fromisoformat(kept["last_at"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return Attempts()
    if type(wrong) is not int or wrong < 1 or last_at.utcoffset() is None:
        return Attempts()
    return Attempts(wrong, last_at)


def forget_tries(path: Path) -> None:
    """Start counting anew."""
    with suppress(OSError):  # a count that stays delays a later try, and no more
        _tries_file(path).unlink(missing_ok=True)


def check_may_sign(record: ProjectRecord, person: Person, key: UnlockedKey, now: datetime) -> None:
    """Refuse a key that the project does not know for this person, or that is revoked or out of its time.

    Raises NotThisPerson, RevokedKey, OutsideValidity.
    """
    _check_known(key, person, _authority(record))
    certificate = key.certificate
    since = key_revoked_since(record, person.name, to_pem(key.x509_certificate))
    if since is not None:  # also when this clock stands before it: a revocation is never made ahead of time
        raise RevokedKey(
            said(
                "The key of {name} is revoked from {since} on. Nothing was "
                "signed, and what was signed before stays; make a new key: basenote key make "
                "PROJECT '{name}'.",
                name=person.name,
                since=clock_seen(since, now),
            )
        )
    if certificate.covers(now):
        return
    do = (
        said("have a new key made")
        if now > certificate.valid_until
        else said("check the clock of this device")
    )
    raise OutsideValidity(
        said(
            "The certificate of {name} is good from {first} to {last}, and it is {now} here. "
            "Nothing was signed, and what was signed in that time stays; {do}.",
            name=person.name,
            first=clock_in_full(certificate.valid_from, now),
            last=clock_in_full(certificate.valid_until, now),
            now=clock_of_year(now),
            do=do,
        )
    )


def _check_known(key: UnlockedKey, person: Person, authority: str) -> None:
    certificate = key.certificate
    known = _pinned(person) == certificate.fingerprint
    if not known and authority and not certificate.from_elsewhere:
        known = is_issued_by(key.x509_certificate, load(authority))
    if not known or not (certificate.from_elsewhere or certificate.name == person.name):
        raise NotThisPerson(
            said(
                "The key in this file is not the one that the project knows for {name}. "
                "Nothing was signed; copy the key file from the device on which the present "
                "key was made, or have that key revoked and make a new one here.",
                name=person.name,
            )
        )


def _signed_since(key: UnlockedKey, person: Person, authority: str) -> bool:
    pinned = _pinned(person)
    if not pinned or not authority or pinned == key.certificate.fingerprint:
        return False
    certificate = load(person.certificate)
    same_key = key_digest(certificate) == key_digest(key.x509_certificate)
    return same_key and is_issued_by(certificate, load(authority))


def _take(path: Path, key: UnlockedKey, person: Person, authority: str, passphrase: str) -> UnlockedKey:
    endorsed = keys.endorsed(key, person.certificate, authority)
    save_key(path, keys.seal_key(endorsed, passphrase))
    return endorsed


def _pinned(person: Person) -> str:
    try:
        return fingerprint(load(person.certificate))
    except UnreadableCertificate:
        return ""


def _authority(record: ProjectRecord) -> str:
    return record.setup.values.authority if record.setup else ""


def _on_roster(place: Workplace, record: ProjectRecord, name: str) -> Person:
    setup = record.setup.values if record.setup else place.setup()
    person = setup.person(name)
    if person is None:
        raise Impossible(
            "person", name, said("one of {names}", names=", ".join(each.name for each in setup.people))
        )
    return person


def _tries_file(path: Path) -> Path:
    return path.with_suffix(".tries.json")


def _keep(path: Path, tries: Attempts) -> None:
    assert tries.last_at is not None
    kept = {"wrong": tries.wrong, "last_at": tries.last_at.isoformat()}
    with suppress(OSError):  # a full disk must not hide that the passphrase was wrong
        save_bytes(_tries_file(path), json.dumps(kept).encode())
