"""Who is on a project, in which roles, and what is known of each one's key.

A key is judged by what the roster pins, now: pinned, signed by the authority, expired, revoked since.  What
cannot be read is never taken for a key that holds.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from fieldapp.criteria.phrasing import clock_seen
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.trust.revoking import key_revoked_since
from fieldapp.desk.trust.unlocking import key_file
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bounded import read_at_most
from fieldapp.identity.certificates import PersonCertificate, is_issued_by, load
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import UnreadableCertificate, WeakPassphrase
from fieldapp.identity.keys import UnlockedKey, check_passphrase
from fieldapp.identity.people import check_name
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.roles import may_make
from fieldapp.record.said import said
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.words import Role
from fieldapp.store.problems import in_plain_words

__all__ = [
    "KeyNow",
    "PersonNow",
    "UnlockedKey",
    "key_file_bytes",
    "person_now",
    "put_person",
    "roster",
    "weakness",
]
MET: Final = "met"
NOT_MET: Final = "not met"
NOT_SHOWN: Final = "not shown"
_LARGEST_KEY_BYTES: Final = 65_536


@dataclass(frozen=True, slots=True)
class KeyNow:
    """What is known of a person's key: an outcome, sentences, whether its file is here, whether it signs.

    ``revoked`` when it is not trusted any more, from whatever time on.
    """

    outcome: str
    says: tuple[str, ...]
    here: bool
    pinned: bool
    holds: bool
    revoked: bool = False


@dataclass(frozen=True, slots=True)
class PersonNow:
    """Somebody on the roster."""

    name: str
    roles: tuple[Role, ...]
    key: KeyNow


def roster(place: Workplace) -> tuple[PersonNow, ...]:
    """Everybody on the project, in the order in which they were put on it."""
    return tuple(person_now(place, each.name) for each in place.setup().people)


def person_now(place: Workplace, name: str) -> PersonNow:
    """One person of the roster.  Raises Impossible when there is no such person."""
    person = place.setup().person(name)
    if person is None:
        raise Impossible("person", name, said("somebody on the roster"))
    return PersonNow(person.name, person.roles, _key_now(place, person))


def put_person(place: Workplace, name: str, roles: tuple[Role, ...], author: str) -> Entry:
    """Put a person on the roster, or give one that is on it other roles, by a new set-up entry.

    Raises
    ------
    Impossible
        The name or the roles cannot be, or nobody would be left who may set up the project.
    Refused, StoreProblem
        The author's role may not, or it cannot be written.
    """
    setup = place.setup()
    try:
        check_name(name)
    except ValueError:
        raise Impossible("name", name, said("a name in one line of at most 64 letters")) from None
    if not roles:
        raise Impossible("roles", said("nothing"), said("at least one role"))
    known = setup.person(name)
    made = replace(known, roles=roles) if known is not None else Person(name, roles)
    people = (
        (*setup.people, made)
        if known is None
        else tuple(made if each is known else each for each in setup.people)
    )
    if not any(may_make(ProjectSetup.KIND, each.roles) for each in people):
        raise Impossible(
            "roles", ", ".join(roles), said("roles that leave somebody who may change the set-up")
        )
    return record_entry(place, Saying(None, replace(setup, people=people), author))


def weakness(passphrase: str) -> str:
    """Why a passphrase is quickly guessed, as a sentence; empty when it is not."""
    try:
        check_passphrase(passphrase)
    except WeakPassphrase as problem:
        return str(problem)
    return ""


def key_file_bytes(path: Path) -> bytes:
    """A key file of a person's own, wherever it lies.  Raises StoreProblem; Impossible for a large one."""
    with in_plain_words(path):
        found = read_at_most(path, _LARGEST_KEY_BYTES)
    if found is None:
        raise Impossible("file", path.name, said("a key file"))
    return found


def _key_now(place: Workplace, person: Person) -> KeyNow:
    here = key_file(place, person.name).exists()
    if not person.certificate:
        return KeyNow(NOT_SHOWN, (said("no key yet"),), here, pinned=False, holds=False)
    try:
        certificate = read_any(person.certificate)
    except UnreadableCertificate:
        unread = said("The certificate on the roster cannot be read. Make a new key.")
        return KeyNow(NOT_MET, (unread,), here, pinned=True, holds=False)
    against = _against(place, person, certificate)
    says = (against,) if against else (_vouched(place, person, certificate),)
    where = said("the key file is here") if here else said("the key file is on another device")
    revoked = key_revoked_since(place.record(), person.name, person.certificate) is not None
    outcome = NOT_MET if against else MET
    return KeyNow(outcome, (*says, where), here, pinned=True, holds=not against, revoked=revoked)


def _against(place: Workplace, person: Person, certificate: PersonCertificate) -> str:
    """Why the key cannot sign; empty when it can."""
    now = place.now()
    since = key_revoked_since(place.record(), person.name, person.certificate)
    if since is not None:
        return said("revoked since {time}", time=clock_seen(since, now))
    if now > certificate.valid_until:
        return said("expired {time}", time=clock_seen(certificate.valid_until, now))
    if now < certificate.valid_from:
        return said("good from {time} on", time=clock_seen(certificate.valid_from, now))
    if not certificate.from_elsewhere and set(certificate.roles) != set(person.roles):
        return said("The key was made for other roles. Make a new key.")
    return ""


def _vouched(place: Workplace, person: Person, certificate: PersonCertificate) -> str:
    until = clock_seen(certificate.valid_until, place.now())
    authority = place.setup().authority
    if certificate.from_elsewhere:
        return said("pinned on the roster, a certificate of one's own, good until {time}", time=until)
    if not authority:
        return said("pinned on the roster, good until {time}", time=until)
    if is_issued_by(load(person.certificate), load(authority)):
        return said("pinned and signed by the project's authority, good until {time}", time=until)
    return said("pinned on the roster, not yet signed by the authority, good until {time}", time=until)
