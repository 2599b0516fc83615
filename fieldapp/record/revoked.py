"""Which certificates are not trusted any more, and what was recorded since with them.

A revocation counts when it names the holder and the certificate that holder really has, and when it was
made by the holder, a resident engineer or a designer.  A device's entries count as made after its
revocation from the first one in its chain that says so: a clock set back afterwards helps nobody.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Final

from fieldapp.record.attesting import DeviceKey, Revocation
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.roles import may_make
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord

_PEM: Final = re.compile(r"-----BEGIN CERTIFICATE-----(.*?)-----END CERTIFICATE-----", re.DOTALL)


def fingerprint_of(pem: str) -> str:
    """SHA-256 of the first certificate in PEM text, in hex; empty when there is none that can be read."""
    found = _PEM.search(pem)
    if found is None:
        return ""
    try:
        der = base64.b64decode("".join(found.group(1).split()), validate=True)
    except binascii.Error:
        return ""
    return hashlib.sha256(der).hexdigest()


def revoked_since(project: ProjectRecord, holder: str, fingerprint: str) -> datetime | None:
    """The moment from which a certificate of a person or device is not trusted, or None while it is."""
    since = [
        each.since
        for each in _revocations(project)
        if each.holder == holder and fingerprint and each.fingerprint == fingerprint
    ]
    return min(since, default=None)


def revoked_devices(project: ProjectRecord) -> dict[str, int]:
    """Devices whose key is revoked, each with the number of its first entry since; others are left out."""
    since = {
        line.original.device: moment
        for line in project.lines
        if isinstance(line.values, DeviceKey)
        and (moment := revoked_since(project, line.original.device, fingerprint_of(line.values.certificate)))
    }
    first: dict[str, int] = {}
    for device, moment in since.items():
        seq = project.reach.first_since(device, moment)
        if seq is not None:
            first[device] = seq
    return first


def is_since(first: Mapping[str, int], entry: Entry) -> bool:
    """Whether an entry was made on a device after its revocation, out of `revoked_devices`."""
    return entry.device in first and entry.seq >= first[entry.device]


def _revocations(project: ProjectRecord) -> Iterator[Revocation]:
    for line in project.lines:
        if isinstance(line.values, Revocation) and _may_revoke(project, line, line.values):
            yield line.values


def _may_revoke(project: ProjectRecord, line: Line[Values], revocation: Revocation) -> bool:
    author, order = line.original.draft.author, line.original.order
    if author == revocation.holder:
        return True
    setups = [
        each.values
        for each in project.lines
        if isinstance(each.values, ProjectSetup) and each.counts and each.original.order < order
    ]
    person = setups[-1].person(author) if setups else None
    return person is not None and may_make(Revocation.KIND, person.roles)
