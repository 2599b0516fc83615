"""Signatures in a PDF: all fields made beforehand, then filled one by one, each as an added revision.

A signature is PAdES (ETSI.CAdES.detached, SHA-256, P-256) and never changes a byte that was there.  The
first one certifies: after it only form fields may be filled.  It refuses a key that is not the signer's, a
time outside the certificate, a wrong order, a field that is missing, filled or closed.  An error leaves the
caller's bytes as they were, so signing is taken up again with the same file.
"""

from __future__ import annotations

import asyncio
import io
from datetime import datetime
from typing import Any

from asn1crypto.keys import PrivateKeyInfo
from asn1crypto.x509 import Certificate
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from pyhanko.pdf_utils.generic import parse_pdf_date
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.sign.fields import (
    FieldMDPAction,
    FieldMDPSpec,
    MDPPerm,
    SigFieldSpec,
    SigSeedSubFilter,
    append_signature_field,
    enumerate_sig_fields,
)
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko.sign.signers.pdf_cms import PdfCMSSignedAttributes
from pyhanko_certvalidator.registry import SimpleCertificateStore

from fieldapp.identity.errors import FieldProblem, NotThisPerson, OutsideValidity
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.pdf_layout import read_layout, unreadable
from fieldapp.identity.pdf_writing import repeatable_writer, written
from fieldapp.identity.sign_request import FieldPlace, SignRequest
from fieldapp.identity.signing_order import SHAFT_LOG_ORDER, SigningOrder, check_clock, check_order
from fieldapp.identity.stamp import drawn_content, fit, stamp_lines, style, text_width_pt
from fieldapp.identity.timestamps import Timestamper, bridge
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed

AROUND_BYTES = 640  # digests, signature, identifiers and lengths take some 370

__all__ = ["FieldPlace", "SignRequest", "prepare_fields", "sign_pdf"]


def prepare_fields(pdf: bytes, places: tuple[FieldPlace, ...]) -> bytes:
    """Add all signature fields of a document, empty; do this before the first signature.

    Parameters
    ----------
    pdf
        The finished document, unsigned.
    places
        One for each person who will sign, each name once.

    Returns
    -------
    bytes
        The document with one added revision; `pdf` is its beginning.  The same input gives the same bytes.

    Raises
    ------
    UnreadablePdf
        The bytes are not a whole PDF.
    FieldProblem
        A name is taken, a page does not exist, or the document is signed already.
    """
    writer = repeatable_writer(pdf, repr(places).encode())
    if next(enumerate_sig_fields(writer.prev, filled_status=True), None) is not None:
        raise FieldProblem(
            said(
                "This document is signed already, so no field can be added. It was left as it "
                "was; make the document again from the record, with all fields."
            )
        )
    pages = int(writer.prev.root["/Pages"]["/Count"])
    for place in places:
        if not 0 <= place.page_index < pages:
            raise FieldProblem(f"The field {place.name!r} wants page {place.page_index + 1} of {pages}.")
        if _field(writer, place.name) is not None:
            raise FieldProblem(f"The document has a signature field {place.name!r} already.")
        append_signature_field(writer, _spec(place))
    return written(writer)


def sign_pdf(
    pdf: bytes,
    request: SignRequest,
    key: UnlockedKey,
    order: SigningOrder = SHAFT_LOG_ORDER,
    timestamper: Timestamper | None = None,
) -> bytes:
    """Fill one prepared field with a signature.

    Parameters
    ----------
    pdf
        A document with prepared fields.
    request
        Which field, who, what it means, when.
    key
        The signer's key, unlocked.
    order
        Who signs after whom in this kind of document.
    timestamper
        Where to get a trusted timestamp; without one the time is the signer's claim.

    Returns
    -------
    bytes
        The document with one added revision; `pdf` is its beginning.

    Raises
    ------
    NotThisPerson
        The key is not the signer's, or its certificate does not have the role.
    OutsideValidity, ClockProblem
        The certificate is not good at that time, or an earlier signature is later.
    WrongOrder
        It is not this signature's turn.
    NoTimestamp
        The timestamp that was asked for could not be had.
    UnreadablePdf
        The bytes are not a whole PDF.
    FieldProblem
        The field is missing, filled, too small or closed, or it is not the first and would certify.
    """
    _check_signer(request, key)
    writer = _writer(pdf)
    field = _free_field(writer, request)
    signed = _signed(writer)
    check_order(order, request, tuple(signed))
    check_clock(request.signed_at, tuple(signed.values()))
    left, bottom, right, top = (float(each) for each in field["/Rect"])
    width_pt, height_pt = abs(right - left), abs(top - bottom)
    size_pt, lines = fit(stamp_lines(request.shown), text_width_pt(width_pt, request.drawn), height_pt)
    signer = PdfSigner(
        _metadata(request, _closes(field)),
        signer=_pyhanko_signer(key),
        timestamper=bridge(timestamper) if timestamper else None,
        stamp_style=style(size_pt, drawn_content(request.drawn, width_pt, height_pt)),
    )
    text = "\n".join(lines)
    digits = None if timestamper else _hex_digits(key)
    try:
        return asyncio.run(_fill(writer, signer, request.signed_at, text, digits))
    except PdfError:
        raise unreadable() from None


async def _fill(
    writer: IncrementalPdfFileWriter, signer: PdfSigner, signed_at: datetime, text: str, digits: int | None
) -> bytes:
    session = signer.init_signing_session(writer, existing_fields_only=True)
    # the session has read the clock; the time of a signature is the claim in the request
    session.system_time = signed_at
    size = digits or await session.estimate_signature_container_size(None)
    document = session.prepare_tbs_document(None, size, appearance_text_params={"text": text})
    out = io.BytesIO()
    prepared, _ = document.digest_tbs_document(output=out)
    await document.perform_signature(prepared.document_digest, PdfCMSSignedAttributes(signing_time=signed_at))
    return out.getvalue()


def _hex_digits(key: UnlockedKey) -> int:
    # the certificate, its issuer's name once more, and what is around them; pyHanko would sign once to know
    return 2 * (2 * len(key.x509_certificate.public_bytes(Encoding.DER)) + AROUND_BYTES)


def _writer(pdf: bytes) -> IncrementalPdfFileWriter:
    if read_layout(pdf).trailing:
        raise unreadable()
    try:
        return IncrementalPdfFileWriter(io.BytesIO(pdf), strict=True)
    except (PdfError, ValueError):
        raise unreadable() from None


def _field(writer: IncrementalPdfFileWriter, name: str) -> tuple[Any, Any] | None:
    # value (or None while empty) and dictionary of the field; pyHanko does not type them
    for _, value, reference in enumerate_sig_fields(writer, with_name=name):
        return value, reference.get_object()
    return None


def _free_field(writer: IncrementalPdfFileWriter, request: SignRequest) -> Any:
    found = _field(writer, request.field_name)
    if found is None:
        raise FieldProblem(
            said(
                "The document has no signature field {field_name!r}. It was left as it was; "
                "make it again from the record, with all fields.",
                field_name=request.field_name,
            )
        )
    if found[0] is not None:
        raise FieldProblem(
            said(
                "The field {field_name!r} is signed already. The document was left as it was.",
                field_name=request.field_name,
            )
        )
    filled = [reference.get_object() for _, _, reference in enumerate_sig_fields(writer, filled_status=True)]
    if filled and request.certify:
        raise FieldProblem(
            said("Only the first signature certifies a document, and this one is signed already.")
        )
    if any(_closes(each) for each in filled):
        raise FieldProblem(said("The last signature closed this document. It was left as it was."))
    return found[1]


def _signed(writer: IncrementalPdfFileWriter) -> dict[str, datetime]:
    # the fields that are filled, and the times that their signatures claim
    filled = enumerate_sig_fields(writer, filled_status=True)
    return {name: parse_pdf_date(value.get_object()["/M"], strict=True) for name, value, _ in filled}


def _closes(field: Any) -> bool:
    return "/Lock" in field and field["/Lock"].get("/P") == MDPPerm.NO_CHANGES.value


def _check_signer(request: SignRequest, key: UnlockedKey) -> None:
    person, who = key.certificate, request.signer
    if person.name != who.name or who.role not in person.roles:
        roles = listed(person.roles)
        raise NotThisPerson(
            said(
                "The key is of {name} ({roles}), and {who_name} is to sign as {role}. Nothing "
                "was signed; unlock the right key.",
                name=person.name,
                roles=roles,
                who_name=who.name,
                role=who.role,
            )
        )
    if not person.covers(request.signed_at):
        raise OutsideValidity(
            said(
                "The certificate of {name} is good from {valid_from:%Y-%m-%d %H:%M} to "
                "{valid_until:%Y-%m-%d %H:%M} UTC, not at {signed_at:%Y-%m-%d %H:%M %z}. "
                "Nothing was signed; check the clock of the tablet, or have the certificate "
                "renewed.",
                name=person.name,
                valid_from=person.valid_from,
                valid_until=person.valid_until,
                signed_at=request.signed_at,
            )
        )


def _metadata(request: SignRequest, closes: bool) -> PdfSignatureMetadata:
    return PdfSignatureMetadata(
        field_name=request.field_name,
        md_algorithm="sha256",
        name=request.signer.name,
        reason=request.reason.text,
        location=request.location or None,
        subfilter=SigSeedSubFilter.PADES,
        certify=request.certify,
        docmdp_permissions=MDPPerm.NO_CHANGES if closes else MDPPerm.FILL_FORMS,
    )


def _spec(place: FieldPlace) -> SigFieldSpec:
    left, bottom, right, top = (round(each) for each in place.box_pt)  # whole points, as pyHanko asks
    return SigFieldSpec(
        place.name,
        on_page=place.page_index,
        box=(left, bottom, right, top),
        field_mdp_spec=FieldMDPSpec(FieldMDPAction.ALL) if place.closes else None,
        doc_mdp_update_value=MDPPerm.NO_CHANGES if place.closes else None,
        readable_field_name=f"Signature: {place.name}",
    )


def _pyhanko_signer(key: UnlockedKey) -> SimpleSigner:
    # only the signer's certificate travels: every byte beside it would be one that nothing signs
    alone = SimpleCertificateStore()  # type: ignore[no-untyped-call]  # pyHanko leaves this one untyped
    secret = key.private_key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    return SimpleSigner(
        signing_cert=_translated(key.x509_certificate),
        signing_key=PrivateKeyInfo.load(secret),
        cert_registry=alone,
        embed_roots=False,
    )


def _translated(certificate: x509.Certificate) -> Certificate:
    return Certificate.load(certificate.public_bytes(Encoding.DER))
