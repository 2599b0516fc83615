"""The paper as a whole: fields, certification, expected signatures in order, times, whole file.

These rules see what one signature cannot: a field too many, a signature cut away, a revision nobody signed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import MDPPerm, enumerate_sig_fields

from fieldapp.criteria.phrasing import sentence
from fieldapp.identity.pdf_layout import Layout, entry
from fieldapp.identity.policy import Policy
from fieldapp.identity.signature_checks import Bytes, Filled
from fieldapp.identity.signing_order import CLOCK_TOLERANCE, signed_as
from fieldapp.identity.verification import Answer, Coverage, Fact, FactName, SignatureFacts
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed

MOST_PAGES = 2000


def fields_fact(reader: PdfFileReader, policy: Policy) -> Fact:
    """Whether the paper has exactly the signature fields that it should have, and no other form field."""
    form = entry(reader.root, "/AcroForm", {})
    found = [(name, reference.reference) for name, _, reference in enumerate_sig_fields(reader)]
    known = {reference for _, reference in found}
    names = sorted(name for name, _ in found)
    strange = sorted({name for name in names if name not in policy.fields or names.count(name) > 1})
    missing = [each for each in policy.fields if each not in names]
    hidden = (
        len(entry(form, "/Fields", ()))
        - len(found)
        + sum(1 for each in _widgets(reader) if each not in known)
    )
    if strange:
        listed = ", ".join(repr(each) for each in strange)
        return Fact(
            FactName.FIELDS,
            Answer.NO,
            said("The paper has signature fields that are not its own: {listed}.", listed=listed),
        )
    if hidden:
        return Fact(
            FactName.FIELDS,
            Answer.NO,
            said("The paper has a form field that is none of its signature fields."),
        )
    if not names:
        return Fact(
            FactName.FIELDS, Answer.YES, said("The paper has no signature field: it is an unsigned copy.")
        )
    if missing:
        says = said(
            "The paper lacks signature fields that it was made with: {names}.", names=", ".join(missing)
        )
        return Fact(FactName.FIELDS, Answer.NO, says)
    return Fact(FactName.FIELDS, Answer.YES, said("The paper has its own signature fields and no other."))


def _widgets(reader: PdfFileReader) -> Iterator[Any]:
    # the references of all form fields that stand on a page
    nodes = [reader.root["/Pages"]]
    for _ in range(MOST_PAGES):
        if not nodes:
            return
        node = nodes.pop()
        nodes.extend(each.get_object() for each in entry(node, "/Kids", ()))
        marks: Any = entry(node, "/Annots", ())
        for index in range(len(marks)):
            raw = marks.raw_get(index)
            if raw.get_object().get("/Subtype") == "/Widget":
                yield getattr(raw, "reference", None)
    raise ValueError("more pages than a paper has")


def certified_fact(reader: PdfFileReader, filled: tuple[Filled, ...], judged: tuple[Bytes, ...]) -> Fact:
    """Whether the first signature certifies the paper, and everything later kept to what it allows."""
    name = FactName.CERTIFIED
    perms: Any = entry(reader.root, "/Perms", {})
    reference = perms.raw_get("/DocMDP") if "/DocMDP" in perms else None
    first = filled[0]
    if reference is None or getattr(reference, "reference", None) != first.value_reference:
        says = said("The first signature does not certify the paper, so later changes would be allowed.")
        return Fact(name, Answer.NO, says)
    allowed = (MDPPerm.FILL_FORMS, MDPPerm.NO_CHANGES)
    if first.embedded is None or first.embedded.docmdp_level not in allowed:
        return Fact(name, Answer.NO, said("The certification of the paper allows more than signing."))
    if not all(each.docmdp_ok for each in judged):
        return Fact(
            name, Answer.NO, said("The paper was changed in a way that its certification does not allow.")
        )
    return Fact(name, Answer.YES, said("The paper is certified, and later only what that allows was done."))


def whole_file_fact(layout: Layout, judged: tuple[Bytes, ...], size: int) -> Fact:
    """Whether the last signature covers the file to its last byte."""
    if judged and judged[-1].coverage is Coverage.WHOLE_FILE:
        return Fact(FactName.WHOLE_FILE, Answer.YES, said("The last signature covers the whole file."))
    over = size - layout.ends[-1]
    says = said("The last signature does not cover the whole file: something was added after it.")
    if layout.trailing:
        says = said("After the end of the paper {over} bytes follow that no signature covers.", over=over)
    return Fact(FactName.WHOLE_FILE, Answer.NO, says)


def revisions_fact(layout: Layout, filled: tuple[Filled, ...]) -> Fact:
    """Whether every revision from the first signature on was made by a signature."""
    made = [each.revision for each in filled]
    if made == list(range(made[0], len(layout.ends))):
        return Fact(
            FactName.LATER_CHANGES, Answer.YES, said("Since the first signature only signatures were added.")
        )
    says = said("Since the first signature something was added to the paper that no signature made.")
    return Fact(FactName.LATER_CHANGES, Answer.NO, says)


def expected_fact(signatures: tuple[SignatureFacts, ...], policy: Policy) -> Fact:
    """Whether exactly the expected people signed, in order."""
    name = FactName.EXPECTED
    if policy.expected is None:
        says = said(
            "Which signatures the paper must have is not known; one that was cut away stays unnoticed."
        )
        return Fact(name, Answer.UNKNOWN, says)
    wanted = [each.field_name for each in policy.expected]
    made = [each.field_name for each in signatures]
    missing = [signed_as(each.field_name) for each in policy.expected if each.field_name not in made]
    if missing:
        says = said(
            "A signature is missing that the record has: {names}. It may be an earlier state.",
            names=listed(missing),
        )
        return Fact(name, Answer.NO, says)
    extra = [each for each in made if each not in wanted]
    if extra:
        return Fact(
            name,
            Answer.NO,
            said(
                "A signature is there that the record does not have: {names}.",
                names=listed(map(signed_as, extra)),
            ),
        )
    if made != wanted:
        return Fact(
            name,
            Answer.NO,
            said("The signatures are in the wrong order: {names}.", names=listed(map(signed_as, made))),
        )
    for signature, each in zip(signatures, policy.expected, strict=True):
        if each.name is not None and signature.signer != each.name:
            says = said(
                "{who}: {name} was to sign, and {signer} did.",
                who=signed_as(each.field_name),
                name=each.name,
                signer=signature.signer,
            )
            return Fact(name, Answer.NO, sentence(says))
    return Fact(name, Answer.YES, said("Exactly the signatures that the record has are there, in order."))


def times_fact(signatures: tuple[SignatureFacts, ...], policy: Policy) -> Fact:
    """Whether the times that the signatures state can be true together; clocks may differ by 10 minutes."""
    name = FactName.TIME_ORDER
    for before, after in pairwise(signatures):
        if before.signed_at and after.signed_at and after.signed_at < before.signed_at - CLOCK_TOLERANCE:
            says = said(
                "The {later} signed after the {earlier} and states an earlier time: "
                "a clock was wrong or set back.",
                later=signed_as(after.field_name),
                earlier=signed_as(before.field_name),
            )
            return Fact(name, Answer.NO, says)
    for each in signatures:
        latest = min((at for at in (each.stamped_at, policy.at) if at is not None), default=None)
        if each.signed_at and latest and each.signed_at > latest + CLOCK_TOLERANCE:
            says = said(
                "The {who} states a time that had not come yet: a clock was wrong.",
                who=signed_as(each.field_name),
            )
            return Fact(name, Answer.NO, says)
    if any(each.signed_at is None for each in signatures):
        return Fact(
            name, Answer.UNKNOWN, said("A signature states no time, so their order cannot be compared.")
        )
    return Fact(name, Answer.YES, said("The times that the signatures state follow their order."))


def same_record_fact(signatures: tuple[SignatureFacts, ...]) -> Fact:
    """Whether all signatures name the same record."""
    named = {each.record_digest for each in signatures}
    if len(named) > 1:
        return Fact(
            FactName.DIGEST, Answer.NO, said("The signatures are over different states of the record.")
        )
    return Fact(FactName.DIGEST, Answer.YES, said("All signatures name the same state of the record."))


def file_fact(pdf: bytes, policy: Policy) -> tuple[Fact, ...]:
    """Whether the file is the one that the journal names; not asked when it names none."""
    if policy.file_digest is None:
        return ()
    if hashlib.sha256(pdf).hexdigest() == policy.file_digest:
        return (
            Fact(
                FactName.FILE_DIGEST,
                Answer.YES,
                said("The file is the one that the journal names, byte by byte."),
            ),
        )
    return (Fact(FactName.FILE_DIGEST, Answer.NO, said("The file is not the one that the journal names.")),)
