"""People with keys, and what they record, for tests of who vouches for what."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.chain import heads_of
from fieldapp.record.decisions import Basis, Position
from fieldapp.record.entry import Entry
from fieldapp.record.kinds import PROJECT_KINDS, Values
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
    about = None if values.KIND in PROJECT_KINDS else shaft
    return record_entry(place, Saying(about, values, author, confirmed=("level-jump",)))


def basis(place: Workplace, shaft: str = "P1-1") -> Basis:
    heads = heads_of(place.entries()).values()
    return Basis(tuple(Position(each.device, each.seq) for each in heads), place.shaft(shaft).digest)
