"""One signature of a PDF as bytes: intact, written in the one way, how far it reaches, what came after.

The judgement of later changes is the library's, with rules of our own: after the first signature prepared
fields may be signed, and nothing else.  What a library cannot read is not intact.
"""

from __future__ import annotations

import io
import logging
import struct
import zlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from asn1crypto import pem
from pyhanko.pdf_utils.generic import parse_pdf_date
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import (
    CatalogModificationRule,
    DiffResult,
    DocInfoRule,
    FormUpdatingRule,
    MetadataUpdateRule,
    ModificationLevel,
    SigFieldModificationRule,
    StandardDiffPolicy,
)
from pyhanko.sign.fields import enumerate_sig_fields
from pyhanko.sign.general import CMSStructuralError
from pyhanko.sign.validation.errors import SignatureValidationError
from pyhanko.sign.validation.generic_cms import validate_sig_integrity
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

from fieldapp.identity.containers import (
    MALFORMED,
    Container,
    names_certificate,
    read_container,
    timestamp_token,
)
from fieldapp.identity.pdf_layout import Layout
from fieldapp.identity.reasons import read_reason
from fieldapp.identity.signer_checks import Claim, fact_of
from fieldapp.identity.timestamp_checks import Stamp, read_stamp
from fieldapp.identity.verification import Answer, Changes, Coverage, Fact, FactName
from fieldapp.record.said import said

# what the library tells its log comes back as facts; without a handler it would go to the terminal
logging.getLogger("pyhanko").addHandler(logging.NullHandler())
logging.getLogger("pyhanko_certvalidator").addHandler(logging.NullHandler())

HOSTILE = (
    *MALFORMED,
    PdfError,
    SignatureValidationError,
    CMSStructuralError,
    ArithmeticError,
    AssertionError,
    NotImplementedError,
    OSError,
    EOFError,
    MemoryError,
    struct.error,
    zlib.error,
)
PADES = "/ETSI.CAdES.detached"
ONLY_SIGNING = StandardDiffPolicy(
    global_rules=[
        CatalogModificationRule(),  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
        DocInfoRule().as_qualified(ModificationLevel.LTA_UPDATES),
        MetadataUpdateRule().as_qualified(ModificationLevel.LTA_UPDATES),  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
    ],
    form_rule=FormUpdatingRule(field_rules=[SigFieldModificationRule()]),
)


@dataclass(frozen=True, slots=True)
class Filled:
    """A filled signature field; ``embedded`` is None when its signature cannot be read."""

    field_name: str
    value_reference: Any
    revision: int
    embedded: Any


@dataclass(frozen=True, slots=True)
class Bytes:
    """What was found of the bytes of one signature."""

    coverage: Coverage
    changes: Changes
    docmdp_ok: bool
    claim: Claim
    facts: tuple[Fact, ...]


def open_pdf(pdf: bytes) -> PdfFileReader:
    """A strict reader; raises one of ``HOSTILE``."""
    return PdfFileReader(io.BytesIO(pdf), strict=True)


def filled_fields(reader: PdfFileReader) -> tuple[Filled, ...]:
    """The filled signature fields in the order of their revisions."""
    found = []
    for name, _, reference in enumerate_sig_fields(reader, filled_status=True):
        field = reference.get_object()
        value = field.raw_get("/V")
        try:
            embedded = EmbeddedPdfSignature(reader, field, name)
            revision = embedded.signed_revision
        except HOSTILE:
            embedded, revision = None, reader.xrefs.total_revisions
        found.append(Filled(name, getattr(value, "reference", None), revision, embedded))
    return tuple(sorted(found, key=lambda each: each.revision))


def read_bytes(pdf: bytes, layout: Layout, filled: Filled, authorities: tuple[str, ...]) -> Bytes:
    """Judge the bytes of one signature; never raises for what is in the file."""
    try:
        return _read(pdf, layout, filled, authorities)
    except HOSTILE:
        name = filled.field_name
        says = said("the signature cannot be read; it was cut, damaged, or not made by a signing program.")
        facts = (fact_of(name, FactName.INTACT, Answer.NO, says),)
        claim = Claim(name, "", "", None, None, None)
        return Bytes(Coverage.PART, Changes.OTHER, False, claim, facts)


def _read(pdf: bytes, layout: Layout, filled: Filled, authorities: tuple[str, ...]) -> Bytes:
    embedded, name = filled.embedded, filled.field_name
    signature = embedded.sig_object
    container = read_container(pdf, embedded.byte_range)
    coverage = _coverage(container, layout, filled, len(pdf))
    embedded.compute_integrity_info(diff_policy=ONLY_SIGNING)
    signer = embedded.signer_info
    whole, valid = validate_sig_integrity(signer, embedded.signer_cert, "data", embedded.compute_digest())
    bound = names_certificate(signer, embedded.signer_cert)
    changes = _changes(embedded, coverage)
    stamp = _stamp(signer, authorities)
    claim = Claim(
        name,
        pem.armor("CERTIFICATE", embedded.signer_cert.dump()).decode("ascii"),
        str(signature.get("/Name", "")),
        read_reason(str(signature.get("/Reason", ""))),
        _claimed_time(signature),
        stamp.at if stamp and stamp.trusted else None,
    )
    facts = [
        _intact(name, whole, valid and bound, container is not None),
        _canonical(name, container, str(signature.get("/SubFilter", ""))),
        _later(name, coverage, changes),
    ]
    if stamp is not None and (authorities or not stamp.intact):
        facts.append(_stamped(name, stamp))
    docmdp_ok = bool(embedded.summarise_integrity_info()["docmdp_ok"])
    return Bytes(coverage, changes, docmdp_ok, claim, tuple(facts))


def _claimed_time(signature: Any) -> datetime | None:
    if "/M" not in signature:
        return None
    at: datetime = parse_pdf_date(signature["/M"], strict=True)
    return at if at.utcoffset() is not None else None


def _coverage(container: Container | None, layout: Layout, filled: Filled, size: int) -> Coverage:
    if container is None or layout.revision_ending_at(container.covered_to) != filled.revision:
        return Coverage.PART
    if container.covered_to == size:
        return Coverage.WHOLE_FILE
    return Coverage.WHOLE_REVISION


def _changes(embedded: Any, coverage: Coverage) -> Changes:
    if coverage is Coverage.WHOLE_FILE:
        return Changes.NONE
    result = embedded.diff_result
    if coverage is Coverage.PART or not isinstance(result, DiffResult):
        return Changes.OTHER
    if result.modification_level is ModificationLevel.NONE:
        return Changes.NONE
    small = (ModificationLevel.LTA_UPDATES, ModificationLevel.FORM_FILLING)
    return Changes.FORM_FILLING if result.modification_level in small else Changes.OTHER


def _stamp(signer: Any, authorities: tuple[str, ...]) -> Stamp | None:
    token = timestamp_token(signer)
    return None if token is None else read_stamp(token, signer["signature"].native, authorities)


def _intact(name: str, whole: bool, valid: bool, framed: bool) -> Fact:
    if not framed:
        answer, says = Answer.NO, said("the signature leaves out more of the file than its own container.")
    elif not whole:
        answer, says = Answer.NO, said("the bytes that were signed have been changed.")
    elif not valid:
        answer, says = (
            Answer.NO,
            said("the signature is not by the key of its certificate, or was changed."),
        )
    else:
        answer, says = Answer.YES, said("the signed bytes are as they were.")
    return fact_of(name, FactName.INTACT, answer, says)


def _canonical(name: str, container: Container | None, kind: str) -> Fact:
    if kind != PADES:
        answer, says = Answer.NO, said("the signature is not of the kind that this program makes (PAdES).")
    elif container is None or not container.canonical:
        why = container.why if container else said("its place in the file is not as it should be")
        answer, says = Answer.NO, said("the signature's container was touched: {why}.", why=why)
    else:
        answer, says = Answer.YES, said("the signature's container is written in the one way.")
    return fact_of(name, FactName.CANONICAL, answer, says)


def _later(name: str, coverage: Coverage, changes: Changes) -> Fact:
    if coverage is Coverage.PART:
        answer, says = Answer.NO, said("the signature does not cover the whole paper as it was when signed.")
    elif changes is Changes.OTHER:
        answer, says = (
            Answer.NO,
            said("after this signature more was changed than other signatures being added."),
        )
    elif changes is Changes.FORM_FILLING:
        answer, says = Answer.YES, said("after this signature only prepared fields were signed.")
    else:
        answer, says = Answer.YES, said("nothing was changed after this signature.")
    return fact_of(name, FactName.LATER_CHANGES, answer, says)


def _stamped(name: str, stamp: Stamp) -> Fact:
    if not stamp.intact:
        answer, says = Answer.NO, said("the timestamp is damaged, or belongs to another signature.")
    elif not stamp.trusted:
        answer, says = Answer.NO, said("the timestamp is by an authority that does not count here.")
    else:
        answer, says = Answer.YES, said("a trusted timestamp confirms that the signature was there.")
    return fact_of(name, FactName.TIMESTAMP, answer, says)
