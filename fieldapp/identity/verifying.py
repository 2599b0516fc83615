"""Verify a signed paper by the policy of a project: separate facts, from the bytes up to the roster.

No network, no clock, no store: what the project knows comes in as a `Policy`.  Nothing in a file makes this
raise; what cannot be read is a fact too.  Compressed object streams, which our papers never have, are refused
before they are unpacked.  A timestamp token has a few bytes that nothing signs: a change there is noticed
only where the policy names the file's digest.
"""

from __future__ import annotations

from pyhanko.pdf_utils.reader import PdfFileReader

from fieldapp.identity.errors import UnreadablePdf
from fieldapp.identity.paper_checks import (
    certified_fact,
    expected_fact,
    fields_fact,
    file_fact,
    revisions_fact,
    same_record_fact,
    times_fact,
    whole_file_fact,
)
from fieldapp.identity.pdf_layout import Layout, read_layout, unreadable
from fieldapp.identity.policy import Policy
from fieldapp.identity.signature_checks import HOSTILE, Bytes, filled_fields, open_pdf, read_bytes
from fieldapp.identity.signer_checks import signer_facts, standing, time_says
from fieldapp.identity.verification import Answer, Fact, FactName, SignatureFacts, Verification
from fieldapp.record.said import said


def verify_pdf(pdf: bytes, policy: Policy) -> Verification:
    """Hold a signed paper against what the project expects of it.

    Parameters
    ----------
    pdf
        The whole file.
    policy
        Roster, expected signatures, fields and digests; what is None there stays unknown.

    Returns
    -------
    Verification
        Separate facts of the paper and of each signature, with a sentence each.
    """
    try:
        layout = read_layout(pdf)
        reader = open_pdf(pdf)
        if reader.xrefs.total_revisions != len(layout.ends):
            raise unreadable()
        return _verified(pdf, layout, reader, policy)
    except UnreadablePdf as problem:
        says = str(problem)
    except HOSTILE:
        says = str(unreadable())
    return Verification((Fact(FactName.READABLE, Answer.NO, says), *file_fact(pdf, policy)))


def _verified(pdf: bytes, layout: Layout, reader: PdfFileReader, policy: Policy) -> Verification:
    readable = Fact(
        FactName.READABLE, Answer.YES, said("The file is a whole PDF, laid out as our papers are.")
    )
    fields = fields_fact(reader, policy)
    filled = filled_fields(reader)
    if not filled:
        return Verification(
            (readable, _unsigned(policy), fields, expected_fact((), policy), *file_fact(pdf, policy))
        )
    judged = tuple(read_bytes(pdf, layout, each, policy.timestamp_authorities) for each in filled)
    signatures = tuple(_signature(order, each, policy) for order, each in enumerate(judged, 1))
    facts = (
        readable,
        Fact(FactName.SIGNED, Answer.YES, said("Signatures on the paper: {count}.", count=len(filled))),
        whole_file_fact(layout, judged, len(pdf)),
        revisions_fact(layout, filled),
        certified_fact(reader, filled, judged),
        fields,
        expected_fact(signatures, policy),
        times_fact(signatures, policy),
        same_record_fact(signatures),
        *file_fact(pdf, policy),
    )
    return Verification(facts, signatures)


def _unsigned(policy: Policy) -> Fact:
    if policy.may_be_unsigned:
        says = said("The paper is not signed, and need not be: nobody vouches for it.")
        return Fact(FactName.SIGNED, Answer.UNKNOWN, says)
    return Fact(FactName.SIGNED, Answer.NO, said("The paper is not signed; it proves nothing."))


def _signature(order: int, judged: Bytes, policy: Policy) -> SignatureFacts:
    claim = judged.claim
    stands = standing(claim, policy)
    person = claim.person
    return SignatureFacts(
        field_name=claim.field_name,
        order=order,
        signer=stands.name,
        fingerprint=person.fingerprint if person else None,
        role=claim.reason.role if claim.reason else None,
        meaning=claim.reason.meaning if claim.reason else "",
        record_digest=claim.reason.record_digest if claim.reason else None,
        signed_at=claim.signed_at,
        stamped_at=claim.stamped_at,
        trust=stands.trust,
        known_roles=stands.roles,
        coverage=judged.coverage,
        later_changes=judged.changes,
        facts=(*judged.facts, *signer_facts(claim, stands, policy)),
        time_says=time_says(claim),
    )
