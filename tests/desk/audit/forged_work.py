"""A project that somebody forges: what the audit says of it, and what a forger makes for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from fieldapp.desk.trust.audit import audit
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.device_keys import (
    DeviceSigner,
    device_certificate,
    load_device_key,
    new_device_key,
)
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.decisions import Basis, Position, Release
from fieldapp.record.entry import Draft
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.words import Role
from tests.desk import attackers
from tests.desk.attackers import Body, Keys
from tests.desk.conftest import SiteClock
from tests.desk.signed_work import ENGINEER, SOUTH
from tests.support.papers import inspectors_signature

SIGNED, MEMORY = "signatures of chains hold", "this device remembers the same"
MAKERS, CHAINS = "everybody made what he may make", "every chain holds"
PAPER = b"%PDF-1.7 as it was signed"


@dataclass(frozen=True)
class Job:
    """A project that was worked on and closed, and the keys of its people."""

    folder: Path
    clock: SiteClock
    inspector: UnlockedKey
    engineer: UnlockedKey


def a_paper(key: UnlockedKey) -> PaperSigned:
    return inspectors_signature(PAPER, key.certificate.fingerprint)


def wrong(folder: Path) -> dict[str, str]:
    return {each.what: each.detail for each in audit(folder) if not each.ok}


def detail(folder: Path, what: str) -> str:
    return next(each.detail for each in audit(folder) if each.what == what)


def number(folder: Path, kind: str, which: int = 0) -> int:
    """The number of an entry of a kind in the chain of this device."""
    found = [each["seq"] for each in attackers.chain(folder, SOUTH) if each["kind"] == kind]
    return int(found[which])


def reworded(bodies: list[Body]) -> list[Body]:
    for each in bodies:
        if each["kind"] == "head reading":
            each["values"]["fluid_level"]["read"] = "9.9"
    return bodies


def unsigned(bodies: list[Body]) -> list[Body]:
    return [each for each in bodies if each["kind"] not in {"device key", "stretch signed"}]


def a_device_key(job: Job, device: str = SOUTH) -> DeviceSigner:
    pkcs8 = new_device_key()
    term = Term(job.clock.at, job.clock.at + timedelta(days=9))
    return load_device_key(pkcs8, device_certificate(pkcs8, device, term))


def forged_keys(job: Job) -> tuple[Keys, UnlockedKey]:
    """A device key of the forger's own, and a key in the name of the resident engineer."""
    device = a_device_key(job)
    term = Term(job.clock.at - timedelta(days=1), job.clock.at + timedelta(days=9))
    person = CertifiedPerson(ENGINEER, (Role.RESIDENT_ENGINEER,), "Larkwater crossing")
    engineer = new_person_key(person, term)
    people = ((ENGINEER, engineer.certificate.fingerprint, engineer),)
    return Keys(device, device.certificate, people), engineer


def with_pin(key: UnlockedKey) -> Callable[[list[Body]], list[Body]]:
    def change(bodies: list[Body]) -> list[Body]:
        for each in bodies:
            for person in each["values"].get("people", ()):
                if person["name"] == ENGINEER and person.get("certificate"):
                    person["certificate"] = to_pem(key.x509_certificate)
        return bodies

    return change


def without_people(bodies: list[Body]) -> list[Body]:
    """Signatures of people cannot be made anew without their keys, so a forger leaves them out."""
    for each in bodies:
        if each["kind"] == "stretch signed":
            each["values"].pop("person_fingerprint", None)
            each["values"].pop("person_signature", None)
    return bodies


def a_draft(job: Job, values: Values, author: str, **more: object) -> Draft:
    about = None if values.KIND in PROJECT_KINDS else "P1-1"
    moment = job.clock.at + timedelta(minutes=5)
    made = Draft(job.clock.new_id(), "larkwater", about, values, moment, moment, author)
    return replace(made, **more)


def a_release(job: Job, author: str) -> Draft:
    basis = Basis((Position(SOUTH, 1),), "0" * 64)
    return a_draft(job, Release(basis, job.clock.at + timedelta(hours=9)), author)


def appended(job: Job, draft: Draft) -> None:
    attackers.rewrite(job.folder, SOUTH, lambda bodies: [*bodies, attackers.body_of(draft, 900)])
