"""People with keys, and what they record, for tests of who vouches for what."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from fieldapp.desk.inspector import Saying, record_entry, refuse_or_ask
from fieldapp.desk.trust.signatures import (
    Attribution,
    Signatures,
    SignedThrough,
    attributions,
    how_far,
    signatures_in,
)
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.chain import breaks_in
from fieldapp.record.decisions import DECISIONS, Basis, Position
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.objections import objections
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import Role

SOUTH, NORTH = "tablet south", "tablet north"
INSPECTOR, ENGINEER, DESIGNER = "Inspector A", "Resident engineer", "Designer"


def person_key(place: Workplace, name: str, *roles: Role) -> UnlockedKey:
    now = place.now()
    term = Term(now - timedelta(hours=1), now + timedelta(days=900))
    return new_person_key(CertifiedPerson(name, roles, "Larkwater crossing"), term)


def pinned(setup: ProjectSetup, name: str, key: UnlockedKey) -> ProjectSetup:
    pem = to_pem(key.x509_certificate)
    people = (replace(each, certificate=pem) if each.name == name else each for each in setup.people)
    return replace(setup, people=tuple(people))


def say(place: Workplace, values: Values, author: str = INSPECTOR, shaft: str = "P1-1") -> Entry:
    """Record an entry; a decision stands unsigned, as one typed from paper, until it is signed."""
    about = None if values.KIND in PROJECT_KINDS else shaft
    if isinstance(values, DECISIONS):
        now = place.now()
        draft = Draft(place.clock.new_id(), place.project_id, about, values, now, now, author)
        refuse_or_ask(objections(place.record(), draft), ())
        return place.append([draft])[0]
    return record_entry(place, Saying(about, values, author, confirmed=("level-jump",)))


def basis(place: Workplace, shaft: str = "P1-1") -> Basis:
    heads = place.heads().values()
    return Basis(tuple(Position(each.device, each.seq) for each in heads), place.shaft(shaft).digest)


def signatures_of(place: Workplace) -> Signatures:
    """What is signed in a journal, verified."""
    return signatures_in(place, breaks_in(place.entries()))


def signed_through(place: Workplace) -> dict[str, SignedThrough]:
    """How far each chain is signed."""
    return how_far(signatures_of(place), place.heads())


def attributed(place: Workplace) -> tuple[Attribution, ...]:
    """Whose key vouches for each decision."""
    return attributions(place, signatures_of(place), place.heads())
