"""The project's authority: its key is kept off the tablets, and it signs the people's certificates.

Its key file never lies in a project folder, which is copied to every device.  It signs only what the roster
says: the name, the roles and the project of a person, for the key that the roster pins.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Final

from fieldapp.criteria.phrasing import clock_in_full, clock_of_year
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.trust.people import GOOD_FOR, save_and_pin, with_certificate_of
from fieldapp.desk.trust.revoking import key_revoked_since, pinned_ever
from fieldapp.desk.trust.unlocking import counted_tries, read_key
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import (
    Issuer,
    PersonCertificate,
    Term,
    fingerprint,
    is_issued_by,
    key_digest,
    load,
    read_certificate,
    to_pem,
)
from fieldapp.identity.certificates import endorse as sign_certificate
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import NotThisPerson, OutsideValidity, RevokedKey
from fieldapp.identity.keys import new_authority, seal_authority, unlock_authority
from fieldapp.identity.people import fitting
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.setup import Person, ProjectSetup

AUTHORITY_GOOD_FOR: Final = timedelta(days=10 * 365)


def make_authority(
    place: Workplace, path: Path, passphrase: str, author: str, *, instead: bool = False
) -> Path:
    """Make the project's authority: its key file at ``path``, its certificate into the set-up.

    Parameters
    ----------
    path
        A new file outside the project folder, on a medium that stays in the office.
    author
        Somebody whose role may change the set-up.
    instead
        Take the place of an authority that is there; what that one signed and the roster pins stays.

    Raises
    ------
    Impossible
        The file lies in the project folder or is there already, or the project has an authority.
    WeakPassphrase
        The passphrase is quickly guessed.
    Refused, StoreProblem
        The set-up cannot be recorded; then there is no key file either.
    """
    if path.resolve().is_relative_to(place.folder.resolve()):
        raise Impossible(
            "file", str(path), said("a file outside the project folder, on a medium kept in the office")
        )
    if path.exists():
        raise Impossible("file", str(path), said("a new file; the one that is there stays as it is"))
    setup, now = place.setup(), place.now()
    if setup.authority and not instead:
        raise Impossible(
            "authority", said("one in the set-up"), said("none yet; the present one stays as it is")
        )
    made = new_authority(setup.name, Term(now, now + AUTHORITY_GOOD_FOR))
    p12 = seal_authority(made, passphrase)
    save_and_pin(place, path, p12, replace(setup, authority=to_pem(made.certificate)), author)
    return path


def endorse(
    place: Workplace, authority_file: Path, passphrase: str, name: str, author: str
) -> PersonCertificate:
    """Sign the certificate that the roster pins for a person, and pin the new one.

    The person takes it into the key file by unlocking the next time.

    Parameters
    ----------
    authority_file, passphrase
        The authority's key file, and what opens it.
    name, author
        Whose certificate; and who records it, in a role that may change the set-up.

    Raises
    ------
    Impossible
        The project has no authority, the person no key, or the authority has signed it already.
    WrongPassphrase, TooManyTries, DamagedKeyFile, NoKeyInFile
        The authority's file does not open, or holds no authority.
    NotThisPerson, RevokedKey, OutsideValidity
        The file is of another authority, the certificate does not say what the roster says or is revoked,
        or the authority is out of its time.
    Refused, StoreProblem
        The set-up cannot be recorded.
    """
    setup = place.setup()
    if not setup.authority:
        raise Impossible(
            "authority", said("none in the set-up"), said("a project with an authority; make it first")
        )
    person = setup.person(name)
    if person is None or not person.certificate:
        raise Impossible("person", name, said("somebody on the roster who has made a key"))
    if is_issued_by(load(person.certificate), load(setup.authority)):
        raise Impossible(
            "certificate",
            said("one that the authority signed for {name}", name=name),
            said("one not signed yet"),
        )
    _check_says_the_roster(place, person, setup)
    issuer = _unlocked(place, authority_file, passphrase, setup.authority)
    now = place.now()
    term = Term(now, min(now + GOOD_FOR, issuer.certificate.not_valid_after_utc))
    pem = sign_certificate(_request(place, person), term, issuer)
    record_entry(place, Saying(None, with_certificate_of(setup, name, pem), author))
    return read_certificate(pem)


def _unlocked(place: Workplace, path: Path, passphrase: str, authority: str) -> Issuer:
    now = place.now()
    with counted_tries(path, now):
        issuer = unlock_authority(read_key(path), passphrase)
    if fingerprint(issuer.certificate) != fingerprint(load(authority)):
        raise NotThisPerson(
            said(
                "This key file is of another authority than the project's. Nothing was "
                "changed; take the file that was made when the authority was set up."
            )
        )
    first, last = issuer.certificate.not_valid_before_utc, issuer.certificate.not_valid_after_utc
    if not first <= now < last:
        raise OutsideValidity(
            said(
                "The project's authority is good from {first} to {last}, and it is {now} here. "
                "Nothing was changed; check the clock, or make a new authority.",
                first=clock_in_full(first, now),
                last=clock_in_full(last, now),
                now=clock_of_year(now),
            )
        )
    return issuer


def _check_says_the_roster(place: Workplace, person: Person, setup: ProjectSetup) -> None:
    read = read_any(person.certificate)
    if read.from_elsewhere:
        raise NotThisPerson(
            said(
                "The certificate of {name} was made elsewhere, so the authority does not sign "
                "it. Nothing was changed; the roster alone vouches for it.",
                name=person.name,
            )
        )
    says = (read.name, set(read.roles), read.project)
    if says != (person.name, set(person.roles), fitting(setup.name)):
        raise NotThisPerson(
            said(
                "The certificate does not say what the roster says of {name} (name, roles, "
                "project). Nothing was changed; have a new key made, and make sure in person "
                "whose it is.",
                name=person.name,
            )
        )
    if key_revoked_since(place.record(), person.name, person.certificate) is not None:
        raise RevokedKey(
            said(
                "The key of {name} is revoked. Nothing was changed; have a new key made first.",
                name=person.name,
            )
        )


def _request(place: Workplace, person: Person) -> str:
    # after a change of authority the pinned certificate is the earlier one's; the self-signed one still shows
    # that its maker holds the key
    key = key_digest(load(person.certificate))
    own = [
        each.pem
        for each in pinned_ever(place.record())
        if (each.holder, each.key) == (person.name, key) and _is_self_signed(each.pem)
    ]
    return own[-1] if own else person.certificate


def _is_self_signed(pem: str) -> bool:
    certificate = load(pem)
    return is_issued_by(certificate, certificate)
