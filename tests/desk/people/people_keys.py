"""Keys of people, and what the project knows of them."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.trust.people import with_certificate_of
from fieldapp.desk.trust.unlocking import check_may_sign
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.words import Role

PASSPHRASE = "seven quiet herons on the bank"
OTHER = "eleven loud otters under a bridge"
WRONG = PASSPHRASE + "s"
ZONE = ZoneInfo("America/Denver")
START = datetime(2026, 5, 12, 9, 0, tzinfo=ZONE)
INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"
Opens = Callable[..., AbstractContextManager[Workplace]]


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


def pin(place: Workplace, key: UnlockedKey, confirmed: tuple[str, ...] = (), **more) -> None:
    setup = with_certificate_of(replace(place.setup(), **more), INSPECTOR, to_pem(key.x509_certificate))
    record_entry(place, Saying(None, setup, ENGINEER, confirmed=confirmed))
