"""People's keys: made on this device or brought along, under a passphrase, pinned in the project's roster.

The key file holds everything secret and stays in the project's ``keys`` folder; the journal learns the
certificate alone.  A key that holds is never replaced; one that is revoked or expired may be, and its file
is kept under another name.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from fieldapp.criteria.phrasing import clock_in_full, clock_of_year
from fieldapp.desk.inspector import AskFirst, Refused, Saying, record_entry
from fieldapp.desk.trust.revoking import key_revoked_since, pinned_ever
from fieldapp.desk.trust.unlocking import forget_tries, key_file, save_key, unlock_key
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import PersonCertificate, Term, key_digest, to_pem
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import NotThisPerson, OutsideValidity, RevokedKey, UnreadableCertificate
from fieldapp.identity.keys import UnlockedKey, check_passphrase, new_person_key, seal_key, unlock
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.store.problems import StoreProblem, in_plain_words

__all__ = ["MadeKey", "adopt_key", "key_file", "make_key", "room_for_key", "save_and_pin", "unlock_key"]
GOOD_FOR: Final = timedelta(days=3 * 365)


@dataclass(frozen=True, slots=True)
class MadeKey:
    """A key that the roster pins now.  ``still_to_do`` says what is missing yet, empty when nothing is."""

    path: Path
    certificate: PersonCertificate
    still_to_do: str


def make_key(place: Workplace, name: str, passphrase: str) -> MadeKey:
    """Make a person's key and pin its certificate in the roster by a new set-up entry.

    Raises
    ------
    Impossible
        The person is not on the roster, or has a key here that holds.
    WeakPassphrase
        The passphrase is quickly guessed.
    Refused, StoreProblem
        The set-up cannot be recorded; then there is no new key file either.
    """
    check_passphrase(passphrase)
    setup, now = place.setup(), place.now()
    person = room_for_key(place, name)
    key = new_person_key(CertifiedPerson(person.name, person.roles, setup.name), Term(now, now + GOOD_FOR))
    return _pin(place, person, key, passphrase)


def adopt_key(
    place: Workplace, name: str, p12: bytes, passphrase: str, new_passphrase: str | None = None
) -> MadeKey:
    """Use a person's own PKCS#12 certificate, sealed anew with our rounds, pinned in the roster.

    The key must be P-256, the certificate good now, for digital signatures, of one holder, not an
    authority's.  Its name need not be the roster's: the roster says whose it is and in which roles.

    Parameters
    ----------
    p12, passphrase
        The file's bytes, and what opens it.
    new_passphrase
        What the key is kept under here; the file's own passphrase when None.

    Raises
    ------
    WrongPassphrase, DamagedKeyFile, NoKeyInFile, UnfitKeyFile, UnreadableCertificate
        The file does not open, or holds no key and certificate that can sign here.
    NotThisPerson, OutsideValidity, RevokedKey
        It is somebody else's, out of its time, or revoked.
    Impossible, WeakPassphrase, Refused, StoreProblem
        As `make_key`.
    """
    kept_under = passphrase if new_passphrase is None else new_passphrase
    check_passphrase(kept_under)
    person = room_for_key(place, name)
    key = unlock(p12, passphrase)
    _check_own(place, person, key, place.now())
    return _pin(place, person, key, kept_under)


def save_and_pin(place: Workplace, path: Path, p12: bytes, setup: ProjectSetup, author: str) -> None:
    """Save a key file, then record the set-up that pins its certificate; with the one refused, neither.

    A file that was there is kept under another name.  Raises Refused, AskFirst, StoreProblem.
    """
    with in_plain_words(path.parent):
        earlier = path.read_bytes() if path.exists() else None
    if earlier is not None:
        save_key(_kept_name(path, place.now()), earlier)
    save_key(path, p12)
    try:
        record_entry(place, Saying(None, setup, author))
    except (Refused, AskFirst, StoreProblem):
        with suppress(OSError, StoreProblem):  # a key that nobody pinned can be made once more
            if earlier is None:
                path.unlink()
            else:
                save_key(path, earlier)
        raise
    forget_tries(path)


def with_certificate_of(setup: ProjectSetup, name: str, pem: str) -> ProjectSetup:
    """The set-up with another certificate pinned for a person."""
    people = tuple(replace(each, certificate=pem) if each.name == name else each for each in setup.people)
    return replace(setup, people=people)


def _pin(place: Workplace, person: Person, key: UnlockedKey, passphrase: str) -> MadeKey:
    setup, path = place.setup(), key_file(place, person.name)
    pem = to_pem(key.x509_certificate)
    pinned = with_certificate_of(setup, person.name, pem)
    save_and_pin(place, path, seal_key(key, passphrase), pinned, person.name)
    return MadeKey(path, key.certificate, _still_to_do(setup, key.certificate, person.name))


def _still_to_do(setup: ProjectSetup, certificate: PersonCertificate, name: str) -> str:
    if not setup.authority or certificate.from_elsewhere:
        return ""
    return said(
        "The roster vouches for this key; the project's authority does not yet. With "
        "the authority's key file at hand: basenote authority endorse PROJECT '{name}'.",
        name=name,
    )


def room_for_key(place: Workplace, name: str) -> Person:
    """The person for whom a new key can be kept here; asked before a passphrase is typed.

    Raises Impossible when they are not on the roster, or have a key here that holds.
    """
    setup = place.setup()
    person = setup.person(name)
    if person is None:
        raise Impossible(
            "person", name, said("one of {names}", names=", ".join(each.name for each in setup.people))
        )
    path = key_file(place, name)
    if path.exists() and _holds(place, person, place.now()):
        raise Impossible(
            "key",
            path.name,
            said("no key yet; the present one stays as it is until it is revoked or expires"),
        )
    return person


def _holds(place: Workplace, person: Person, now: datetime) -> bool:
    """Whether the certificate that is pinned now can sign: not one that is missing, revoked or expired."""
    try:
        certificate = read_any(person.certificate)
    except UnreadableCertificate:
        return False
    if key_revoked_since(place.record(), person.name, person.certificate) is not None:
        return False
    same_roles = certificate.from_elsewhere or set(certificate.roles) == set(person.roles)
    return now <= certificate.valid_until and same_roles


def _check_own(place: Workplace, person: Person, key: UnlockedKey, now: datetime) -> None:
    certificate, mine = key.certificate, key_digest(key.x509_certificate)
    others = [each.holder for each in pinned_ever(place.record()) if each.key == mine]
    if not certificate.from_elsewhere:
        others.append(certificate.name)
    foreign = next((each for each in others if each != person.name), None)
    if foreign is not None:
        raise NotThisPerson(
            said(
                "This key is of {foreign}, not of {name}. Nothing was changed; each person "
                "signs with a key of their own.",
                foreign=foreign,
                name=person.name,
            )
        )
    if not certificate.covers(now):
        raise OutsideValidity(
            said(
                "This certificate is good from {first} to {last}, not now ({now}). Nothing was "
                "changed; have it renewed, or check the clock of this device.",
                first=clock_in_full(certificate.valid_from, now),
                last=clock_in_full(certificate.valid_until, now),
                now=clock_of_year(now),
            )
        )
    if key_revoked_since(place.record(), person.name, to_pem(key.x509_certificate)) is not None:
        raise RevokedKey(
            said(
                "This key of {name} is revoked, and a revoked key does not come back. Nothing "
                "was changed; take another key.",
                name=person.name,
            )
        )


def _kept_name(path: Path, now: datetime) -> Path:
    stem = f"{path.stem}.kept-{now:%Y%m%d-%H%M%S}"
    taken = len(list(path.parent.glob(f"{stem}*{path.suffix}")))
    return path.with_name(f"{stem}-{taken + 1}{path.suffix}" if taken else f"{stem}{path.suffix}")
