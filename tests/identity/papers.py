"""Small papers, keys made in memory, and what a project knows of them: shared by the verification tests."""

from __future__ import annotations

import io

from cryptography.hazmat.primitives.asymmetric import ec
from pyhanko.pdf_utils.embed import EmbeddedFileObject, FileSpec, embed_file
from pyhanko.pdf_utils.generic import pdf_name
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from reportlab.pdfgen import canvas

from fieldapp.identity import certificates
from fieldapp.identity.certificates import Issuer, Term
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.pdf_signing import FieldPlace, prepare_fields
from fieldapp.identity.people import CertifiedPerson
from fieldapp.identity.policy import ExpectedSigner, KnownSigner, Policy, known_signer
from fieldapp.record.words import Role
from tests.identity.signers import DIGEST, TERM

PLACES = (
    FieldPlace("Inspector", 0, (40, 60, 210, 132)),
    FieldPlace("ResidentEngineer", 0, (220, 60, 390, 132)),
    FieldPlace("Designer", 0, (400, 60, 570, 132), closes=True),
)
EXPECTED = (
    ExpectedSigner("Inspector", Role.INSPECTOR, "Inspector A"),
    ExpectedSigner("ResidentEngineer", Role.RESIDENT_ENGINEER, "Engineer B"),
    ExpectedSigner("Designer", Role.DESIGNER, "Engineer B"),
)


def key_of(person: CertifiedPerson, issuer: Issuer | None = None, term: Term = TERM) -> UnlockedKey:
    """A key as `unlock` gives it, without the slow sealing."""
    key = ec.generate_private_key(ec.SECP256R1())
    if issuer is None:
        certificate, issuers = certificates.self_signed(key, person, term), ()
    else:
        certificate = certificates.issued(key.public_key(), person, term, issuer)
        issuers = (issuer.certificate,)
    return UnlockedKey(certificates.describe(certificate), certificate, issuers, key)


def authority_of(project: str, term: Term = TERM) -> Issuer:
    key = ec.generate_private_key(ec.SECP256R1())
    return Issuer(certificates.authority_certificate(key, project, term), key)


def plain_paper(lines: tuple[str, ...] = ("Shaft log, shaft P4-2",), pages: int = 1) -> bytes:
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    for number in range(pages):
        for row, line in enumerate(lines):
            sheet.drawString(60, 740 - 14 * (row % 40), f"{number + 1}: {line}")
        sheet.showPage()
    sheet.save()
    return out.getvalue()


def with_file(pdf: bytes, name: str, data: bytes) -> bytes:
    """The paper with an attached file, as a revision before the signatures."""
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    held = EmbeddedFileObject.from_file_data(writer, data=data, mime_type="application/json")
    embed_file(writer, FileSpec(file_spec_string=name, embedded_data=held, af_relationship=pdf_name("/Data")))
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def prepared_paper(lines: tuple[str, ...] = ("Shaft log, shaft P4-2",), pages: int = 1) -> bytes:
    return prepare_fields(plain_paper(lines, pages), PLACES)


def pinned(*keys: UnlockedKey) -> tuple[KnownSigner, ...]:
    return tuple(known_signer(certificates.to_pem(each.x509_certificate)) for each in keys)


def policy_for(*keys: UnlockedKey, signed: int = 1) -> Policy:
    """A project that knows these keys and expects the first ``signed`` signatures."""
    return Policy(pinned(*keys), EXPECTED[:signed], record_digest=DIGEST)
