"""Whom a signature is by, held against the roster: known or not, in which role, at a time that counts.

It works on what a signature says, as plain data.  A time is the signer's claim unless a trusted timestamp
stands beside it, and the sentence says which.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.criteria.phrasing import sentence
from fieldapp.identity import certificates
from fieldapp.identity.certificates import PersonCertificate
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.identity.policy import KnownSigner, Policy
from fieldapp.identity.reasons import SignedReason
from fieldapp.identity.signing_order import signed_as
from fieldapp.identity.verification import Answer, Fact, FactName, Trust
from fieldapp.record.said import said
from fieldapp.record.words import Role


@dataclass(frozen=True, slots=True)
class Claim:
    """What a signature says of itself, and the trusted timestamp if it has one."""

    field_name: str
    pem: str
    named: str
    reason: SignedReason | None
    signed_at: datetime | None
    stamped_at: datetime | None

    @property
    def person(self) -> PersonCertificate | None:
        """What the certificate says, or None when it can sign for nobody."""
        try:
            return read_any(self.pem)
        except UnreadableCertificate:
            return None

    @property
    def at(self) -> datetime | None:
        """The time that counts: the trusted timestamp, else the claim."""
        return self.stamped_at or self.signed_at


@dataclass(frozen=True, slots=True)
class Standing:
    """Who vouches for a signer, the roles that roster and certificate both give, and the roster's entry.

    A certificate from elsewhere gives no roles and its own kind of name; where the roster pins it, the
    roster alone says who its holder is and in which roles.
    """

    trust: Trust
    name: str | None = None
    roles: tuple[Role, ...] = ()
    entry: KnownSigner | None = None


def standing(claim: Claim, policy: Policy) -> Standing:
    """Look the certificate of a signature up on the roster."""
    person = claim.person
    if person is None:
        return Standing(Trust.UNKNOWN if policy.roster is None else Trust.NOBODY)
    if policy.roster is None:
        return Standing(Trust.UNKNOWN, person.name, person.roles)
    pinned = [each for each in policy.roster if each.fingerprint == person.fingerprint]
    if pinned:
        return _stands(Trust.ROSTER, pinned, person)
    named = [each for each in policy.roster if each.fingerprint is None and each.name == person.name]
    authority = certificates.load(policy.authority_pem) if policy.authority_pem else None
    if named and authority and certificates.is_issued_by(certificates.load(claim.pem), authority):
        return _stands(Trust.AUTHORITY, named, person)
    return Standing(Trust.NOBODY, person.name)


def _stands(trust: Trust, entries: list[KnownSigner], person: PersonCertificate) -> Standing:
    entry = min(
        entries, key=lambda each: (each.revoked_from is None, each.revoked_from or person.valid_until)
    )
    if trust is Trust.ROSTER and person.from_elsewhere:
        return Standing(trust, entry.name, entry.roles, entry)
    return Standing(trust, person.name, tuple(role for role in person.roles if role in entry.roles), entry)


def signer_facts(claim: Claim, stands: Standing, policy: Policy) -> tuple[Fact, ...]:
    """Known, in a role, in time, not revoked, over the right record: one fact for each."""
    return (
        _known(claim, stands, policy),
        _role(claim, stands, policy),
        _in_time(claim),
        _not_revoked(claim, stands),
        _digest(claim, policy),
    )


def time_says(claim: Claim) -> str:
    """A sentence on what the time of a signature is worth."""
    who = signed_as(claim.field_name)
    if claim.signed_at is None:
        return sentence(said("{who}: the signature states no time.", who=who))
    if claim.stamped_at is not None:
        says = said(
            "{who}: signed at {signed_at} by the signer's clock; a trusted "
            "timestamp shows that it was there at {stamped_at}.",
            who=who,
            signed_at=_moment(claim.signed_at),
            stamped_at=_moment(claim.stamped_at),
        )
        return sentence(says)
    says = said(
        "{who}: signed at {signed_at} by the signer's own clock; no trusted timestamp confirms that time.",
        who=who,
        signed_at=_moment(claim.signed_at),
    )
    return sentence(says)


def _known(claim: Claim, stands: Standing, policy: Policy) -> Fact:
    person = claim.person
    who = stands.name or said("somebody whose certificate is not of a person on a project")
    free = stands.trust is Trust.UNKNOWN and person is not None and person.from_elsewhere
    if person and claim.named and claim.named != stands.name and not free:
        says = said("the paper names {named}, and the certificate is of {who}.", named=claim.named, who=who)
        return _fact(claim, FactName.SIGNER_KNOWN, Answer.NO, says)
    if stands.trust is Trust.UNKNOWN:
        says = said(
            "signed by {who}, as the certificate says; without a project nobody vouches for it.", who=who
        )
        return _fact(claim, FactName.SIGNER_KNOWN, Answer.UNKNOWN, says)
    if stands.trust is not Trust.NOBODY:
        return _fact(
            claim,
            FactName.SIGNER_KNOWN,
            Answer.YES,
            said("signed by {who}, {trust}.", who=who, trust=stands.trust),
        )
    if any(person and each.name == person.name for each in policy.roster or ()):
        says = said(
            "the certificate has the name {who}, but is not the one of the project: forged, or replaced.",
            who=who,
        )
    else:
        says = said("signed by {who}, who is not known to the project.", who=who)
    return _fact(claim, FactName.SIGNER_KNOWN, Answer.NO, says)


def _role(claim: Claim, stands: Standing, policy: Policy) -> Fact:
    expected = policy.expects(claim.field_name)
    if claim.reason is None:
        return _fact(
            claim, FactName.ROLE, Answer.NO, said("the signature does not say in which role it was made.")
        )
    role = claim.reason.role
    if expected and role is not expected.role:
        says = said(
            "signed as {role}, and the {expected} was to sign here.", role=role, expected=expected.role
        )
        return _fact(claim, FactName.ROLE, Answer.NO, says)
    if stands.trust is Trust.NOBODY:
        return _fact(
            claim, FactName.ROLE, Answer.UNKNOWN, said("signed as {role} by a signer not known.", role=role)
        )
    if stands.trust is Trust.UNKNOWN and claim.person and claim.person.from_elsewhere:
        says = said(
            "signed as {role}; the certificate gives no roles, and no project confirms it.", role=role
        )
        return _fact(claim, FactName.ROLE, Answer.UNKNOWN, says)
    if role not in stands.roles:
        return _fact(
            claim,
            FactName.ROLE,
            Answer.NO,
            said("signed as {role}, a role the signer does not have.", role=role),
        )
    if stands.trust is Trust.UNKNOWN:
        says = said(
            "signed as {role}; the certificate gives that role, and no project confirms it.", role=role
        )
        return _fact(claim, FactName.ROLE, Answer.UNKNOWN, says)
    return _fact(
        claim, FactName.ROLE, Answer.YES, said("signed as {role}, a role of this signer.", role=role)
    )


def _in_time(claim: Claim) -> Fact:
    person, at = claim.person, claim.at
    if at is None or person is None:
        answer, says = (
            Answer.NO,
            said("whether the certificate was good cannot be said: the time or the person is missing."),
        )
    elif at < person.valid_from:
        answer, says = (
            Answer.NO,
            said(
                "signed {at}, before the certificate was good ({valid_from}).",
                at=_moment(at),
                valid_from=_moment(person.valid_from),
            ),
        )
    elif at > person.valid_until:
        answer, says = (
            Answer.NO,
            said(
                "signed {at}, after the certificate expired ({valid_until}).",
                at=_moment(at),
                valid_until=_moment(person.valid_until),
            ),
        )
    else:
        answer, says = Answer.YES, said("the certificate was good at the time of the signature.")
    return _fact(claim, FactName.IN_TIME, answer, says)


def _not_revoked(claim: Claim, stands: Standing) -> Fact:
    if stands.entry is None or claim.at is None:
        says = said("whether the key was revoked is not known.")
        return _fact(claim, FactName.NOT_REVOKED, Answer.UNKNOWN, says)
    revoked = stands.entry.revoked_from
    if revoked is None:
        return _fact(claim, FactName.NOT_REVOKED, Answer.YES, said("the key is not revoked."))
    if claim.at >= revoked:
        says = said(
            "signed {at}, and the key was revoked from {revoked}.",
            at=_moment(claim.at),
            revoked=_moment(revoked),
        )
        return _fact(claim, FactName.NOT_REVOKED, Answer.NO, says)
    by = said("by a trusted timestamp") if claim.stamped_at else said("by the signer's own clock alone")
    says = said(
        "signed {at} {by}, before the key was revoked ({revoked}): it stays.",
        at=_moment(claim.at),
        by=by,
        revoked=_moment(revoked),
    )
    return _fact(claim, FactName.NOT_REVOKED, Answer.YES, says)


def _digest(claim: Claim, policy: Policy) -> Fact:
    stated = claim.reason.record_digest if claim.reason else None
    if stated is None:
        answer, says = Answer.NO, said("the signature does not name the record that it is over.")
    elif policy.record_digest is None:
        answer, says = (
            Answer.UNKNOWN,
            said(
                "the signature is over the record {stated}; no journal was there to compare.", stated=stated
            ),
        )
    elif stated != policy.record_digest:
        answer = Answer.NO
        says = said(
            "the signature is over the record {stated}, and the journal's is {record_digest}.",
            stated=stated,
            record_digest=policy.record_digest,
        )
    else:
        answer, says = Answer.YES, said("the signature is over the record of the journal.")
    return _fact(claim, FactName.DIGEST, answer, says)


def _fact(claim: Claim, name: FactName, answer: Answer, says: str) -> Fact:
    return fact_of(claim.field_name, name, answer, says)


def fact_of(field_name: str, name: FactName, answer: Answer, says: str) -> Fact:
    """A fact of one signature: its sentence begins with whose signature it is."""
    whole = said("{name}: {says}", name=signed_as(field_name), says=says)
    return Fact(name, answer, sentence(whole), field_name)


def _moment(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M:%S %z}"
