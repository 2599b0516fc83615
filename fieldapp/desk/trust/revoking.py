"""Which certificates the roster ever pinned, which keys are revoked, and the revocation itself.

A revocation is an entry and takes nothing out of history: what was signed before its time stays.  It covers
every certificate that was pinned for the same key, since whoever has a lost key can use each of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fieldapp.criteria.phrasing import clock_in_full, clock_of_year
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import fingerprint, key_digest, load
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.record.attesting import DeviceKey, Revocation
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.revoked import revoked_since
from fieldapp.record.said import said
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord

_FINGERPRINT: Final = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Pinned:
    """A certificate that a set-up pinned for a person, or that a device signs with.

    ``fingerprint`` is of the certificate, ``key`` of its public key; both SHA-256 in hex.
    """

    holder: str
    pem: str
    fingerprint: str
    key: str


def whole_record(place: Workplace) -> ProjectRecord:
    """All that the journal says, also where the project is looked at as it was earlier.

    Who may sign is a matter of now, whatever moment the paper is of.
    """
    return place.journal.record()


def pinned_ever(record: ProjectRecord) -> tuple[Pinned, ...]:
    """Every certificate that a set-up pinned for a person, once each, the earliest first."""
    known = (
        (person.name, person.certificate)
        for line in record.lines
        if isinstance(line.original.values, ProjectSetup)
        for person in line.original.values.people
    )
    found = [_pinned(holder, pem) for holder, pem in dict.fromkeys(known) if pem]
    return tuple(each for each in found if each is not None)


def key_revoked_since(record: ProjectRecord, name: str, pem: str) -> datetime | None:
    """From when on the key of a person's certificate is not trusted, or None while it is.

    A revocation of any certificate that was pinned for the same key and person counts.
    """
    asked = _pinned(name, pem)
    if asked is None:
        return None
    same = {each.fingerprint for each in _with_key(record, asked)} | {asked.fingerprint}
    since = [revoked_since(record, name, each) for each in same]
    return min((each for each in since if each is not None), default=None)


def revoke(place: Workplace, holder: str, since: datetime, why: str, author: str) -> tuple[Entry, ...]:
    """Record that a key is not trusted from a time on.

    Parameters
    ----------
    holder
        A person (the certificate that is pinned now), a device, or the fingerprint of any certificate that
        was ever pinned.
    since
        From when on, not later than now (an aware datetime).

    Returns
    -------
    tuple of Entry
        One revocation for each certificate of the key.

    Raises
    ------
    Impossible
        There is no such key, the time is to come, or it is revoked from then on already.
    Refused
        The author may not revoke it.
    """
    now = place.now()
    if since.utcoffset() is None:
        raise Impossible("since", clock_of_year(since), said("a time with its offset from UTC"))
    if since > now:
        at, until = clock_in_full(since, now), clock_of_year(now)
        raise Impossible("since", at, said("a time not after {now}", now=until))
    record = place.record()
    found = _held_by(record, holder)
    earlier = {each: revoked_since(record, each.holder, each.fingerprint) for each in found}
    still = [each for each in found if (was := earlier[each]) is None or since < was]
    if not still:
        at = clock_in_full(since, now)
        raise Impossible("since", at, said("an earlier time; it is revoked by then"))
    return tuple(
        record_entry(place, Saying(None, Revocation(each.holder, each.fingerprint, since, why), author))
        for each in still
    )


def _held_by(record: ProjectRecord, holder: str) -> tuple[Pinned, ...]:
    people = pinned_ever(record)
    setup = record.setup.values if record.setup else None
    person = setup.person(holder) if setup else None
    if _FINGERPRINT.fullmatch(holder):
        named = [each for each in (*people, *_devices(record)) if each.fingerprint == holder]
    elif person is not None:
        named = [each for each in people if (each.holder, each.pem) == (holder, person.certificate)]
    else:
        named = [each for each in _devices(record) if each.holder == holder]
    if not named:
        known = sorted({each.holder for each in (*people, *_devices(record))})
        who = ", ".join(known) or said("nobody has one yet")
        raise Impossible(
            "holder", holder, said("a person or device whose key the journal names ({who})", who=who)
        )
    return tuple(dict.fromkeys((*named, *(same for each in named for same in _with_key(record, each)))))


def _with_key(record: ProjectRecord, asked: Pinned) -> list[Pinned]:
    return [each for each in pinned_ever(record) if (each.holder, each.key) == (asked.holder, asked.key)]


def _devices(record: ProjectRecord) -> list[Pinned]:
    found = [
        _pinned(line.original.device, line.original.values.certificate)
        for line in record.lines
        if isinstance(line.original.values, DeviceKey)
    ]
    return [each for each in found if each is not None]


def _pinned(holder: str, pem: str) -> Pinned | None:
    try:
        certificate = load(pem)
        return Pinned(holder, pem, fingerprint(certificate), key_digest(certificate))
    except (UnreadableCertificate, ValueError):
        return None
