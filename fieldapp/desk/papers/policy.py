"""What the project's record expects of a paper: whose certificates it knows, and which signatures it has.

Every certificate that a set-up ever pinned is known, with the roles that its holder then had and from when
on it is revoked.  The signatures of a paper are those that the journal names, first to last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from fieldapp.desk.settings import Settings
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.identity.policy import ExpectedSigner, KnownSigner, Policy, known_signer
from fieldapp.identity.signing_order import MAY_BE_UNSIGNED, ORDERS
from fieldapp.identity.verification import SignatureFacts, Trust, Verification
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.revoked import revoked_since
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.shaft import ProjectRecord
from fieldapp.record.words import PaperKind, Role


def signed_of(entry: Entry) -> PaperSigned:
    """What a `paper signed` entry holds."""
    if not isinstance(entry.values, PaperSigned):
        raise Impossible("entry", entry.kind, PaperSigned.KIND)
    return entry.values


def signatures_up_to(project: ProjectRecord, file_digest: str) -> tuple[Entry, ...]:
    """The journalled signatures of the paper with this digest, first to last; empty when it is not named."""
    by_file: dict[str, Entry] = {}
    for each in _signed(project):
        by_file.setdefault(signed_of(each).file_digest, each)
    found: list[Entry] = []
    entry = by_file.get(file_digest)
    while entry is not None and entry not in found:
        found.append(entry)
        entry = by_file.get(signed_of(entry).follows)
    return tuple(reversed(found))


def signed_further(project: ProjectRecord, file_digest: str) -> tuple[Entry, ...]:
    """The journalled signatures that were put on the paper with this digest afterwards."""
    wanted, found = {file_digest}, []
    for each in _signed(project):
        if signed_of(each).follows in wanted:
            wanted.add(signed_of(each).file_digest)
            found.append(each)
    return tuple(found)


def policy_of(
    project: ProjectRecord,
    signatures: tuple[Entry, ...],
    settings: Settings,
    at: datetime | None,
    kind: PaperKind,
) -> Policy:
    """What to hold a paper of a kind against when the journal names these signatures; none are not known."""
    said = [signed_of(each) for each in signatures]
    expected = tuple(
        ExpectedSigner(each.field, each.role, entry.draft.author)
        for each, entry in zip(said, signatures, strict=True)
    )
    return Policy(
        roster=known_signers(project),
        expected=expected or None,
        fields=ORDERS[kind].fields,
        record_digest=said[-1].record_digest if said else None,
        authority_pem=(project.setup.values.authority or None) if project.setup else None,
        timestamp_authorities=stamping(settings),
        at=at,
        may_be_unsigned=kind in MAY_BE_UNSIGNED and not signatures,
    )


def stamping(settings: Settings) -> tuple[str, ...]:
    """The certificates of the authorities whose timestamps count on this device."""
    return (settings.timestamp_certificate,) if settings.timestamp_certificate else ()


def known_signers(project: ProjectRecord) -> tuple[KnownSigner, ...]:
    """Every certificate that a set-up ever pinned, and a name for each person an authority may vouch for."""
    pinned: dict[tuple[str, str], tuple[Role, ...]] = {}
    named: dict[str, tuple[Role, ...]] = {}
    for person in _people(project):
        key = (person.name, person.certificate)
        if person.certificate:
            pinned[key] = tuple(dict.fromkeys((*pinned.get(key, ()), *person.roles)))
        named[person.name] = tuple(dict.fromkeys((*named.get(person.name, ()), *person.roles)))
    found = [_pinned(project, name, pem, roles) for (name, pem), roles in pinned.items()]
    by_name = [KnownSigner(name, roles, None) for name, roles in named.items()]
    return (*(each for each in found if each is not None), *by_name)


def with_revoked(project: ProjectRecord, policy: Policy, found: Verification) -> Policy | None:
    """The policy with the revoked certificates of an authority that this paper uses; None without any.

    The roster cannot name them before: only the paper brings the certificates that an authority signed.
    """
    more = [entry for each in found.signatures if (entry := _revoked(project, each)) is not None]
    if not more:
        return None

    return replace(policy, roster=(*(policy.roster or ()), *more))


def _revoked(project: ProjectRecord, signature: SignatureFacts) -> KnownSigner | None:
    if signature.trust is not Trust.AUTHORITY or not signature.signer or not signature.fingerprint:
        return None
    since = revoked_since(project, signature.signer, signature.fingerprint)
    if since is None:
        return None
    return KnownSigner(signature.signer, signature.known_roles, signature.fingerprint, revoked_from=since)


def _pinned(project: ProjectRecord, name: str, pem: str, roles: tuple[Role, ...]) -> KnownSigner | None:
    """The roster entry of a pinned certificate; None when it is of nobody, or of somebody else."""
    try:
        read = read_any(pem)
        entry = known_signer(pem, roles, revoked_since(project, name, read.fingerprint), name)
    except UnreadableCertificate:
        return None
    return entry if entry.name == name else None


def _signed(project: ProjectRecord) -> Iterator[Entry]:
    for line in project.lines:
        if isinstance(line.values, PaperSigned):
            yield line.original


def _people(project: ProjectRecord) -> Iterator[Person]:
    for line in project.lines:
        if isinstance(line.values, ProjectSetup):
            yield from line.values.people
