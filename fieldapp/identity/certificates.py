"""Certificates of people and of a project's authority: X.509, P-256, SHA-256.

A person's certificate is signed by the person's own key, or by the project's authority when the project
has one.  It can sign documents and records and can never sign another certificate.  Times come in as
arguments.  What it cannot read whole it refuses; it does not decide whom a project trusts.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from cryptography import x509
from cryptography.exceptions import InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from fieldapp.identity.errors import NotThisPerson, UnfitText, UnreadableCertificate
from fieldapp.identity.people import CertifiedPerson, fitting
from fieldapp.record.said import said
from fieldapp.record.words import Role

AUTHORITY_NAME = "Project authority"


@dataclass(frozen=True, slots=True)
class Term:
    """How long a certificate is good, and its serial number (drawn at random when none is given)."""

    valid_from: datetime
    valid_until: datetime
    serial: int | None = None

    def __post_init__(self) -> None:
        if self.valid_from.utcoffset() is None or self.valid_until.utcoffset() is None:
            raise UnfitText("The times of a certificate need an offset from UTC.")
        if self.valid_until <= self.valid_from:
            raise UnfitText("A certificate must end after it begins. Correct the two times.")
        if self.serial is not None and not 0 < self.serial < 2**159:  # RFC 5280: positive, 20 octets at most
            raise UnfitText("The serial number of a certificate must be above 0 and below 2**159.")


@dataclass(frozen=True, slots=True)
class Issuer:
    """An authority that is unlocked and can sign certificates.  Keep it only as long as that takes."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey = field(repr=False)


@dataclass(frozen=True, slots=True)
class PersonCertificate:
    """What a person's certificate says.  ``fingerprint`` is SHA-256 of the DER bytes, in hex.

    One that was made elsewhere names no project here and gives no roles: both are empty then.
    """

    name: str
    roles: tuple[Role, ...]
    project: str
    fingerprint: str
    valid_from: datetime
    valid_until: datetime

    @property
    def from_elsewhere(self) -> bool:
        """Whether it was made for another purpose than this project, so that the roster gives the roles."""
        return not self.project

    def covers(self, moment: datetime) -> bool:
        """Whether the certificate is good at this moment (an aware datetime)."""
        return self.valid_from <= moment <= self.valid_until


def self_signed(key: ec.EllipticCurvePrivateKey, person: CertifiedPerson, term: Term) -> x509.Certificate:
    """A person's certificate, signed by the person's own key."""
    subject = _person_name(person)
    builder = _builder(subject, subject, key.public_key(), term)
    return _finish_person(builder, key.public_key(), key)


def issued(
    public_key: ec.EllipticCurvePublicKey, person: CertifiedPerson, term: Term, issuer: Issuer
) -> x509.Certificate:
    """A person's certificate, signed by the project's authority.

    Raises
    ------
    UnfitText
        When it would outlast the authority's own certificate.
    """
    authority = issuer.certificate
    if term.valid_from < authority.not_valid_before_utc or term.valid_until > authority.not_valid_after_utc:
        raise UnfitText(
            said(
                "A person's certificate must lie within the time of the authority's own, which "
                "is good from {not_valid_before_utc:%Y-%m-%d} until "
                "{not_valid_after_utc:%Y-%m-%d}.",
                not_valid_before_utc=authority.not_valid_before_utc,
                not_valid_after_utc=authority.not_valid_after_utc,
            )
        )
    builder = _builder(_person_name(person), authority.subject, public_key, term)
    return _finish_person(builder, issuer.key.public_key(), issuer.key)


def authority_certificate(key: ec.EllipticCurvePrivateKey, project: str, term: Term) -> x509.Certificate:
    """The certificate of a project's authority: it may sign people's certificates and revocation lists."""
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, fitting(project)),
            x509.NameAttribute(NameOID.COMMON_NAME, AUTHORITY_NAME),
        ]
    )
    usage = _usage(key_cert_sign=True, crl_sign=True)
    return (
        _builder(subject, subject, key.public_key(), term)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )


def endorse(pem: str, term: Term, issuer: Issuer) -> str:
    """Sign a person's self-signed certificate as the authority; the person's key never travels.

    The self-signed certificate is the request: it shows that its maker holds the key.

    Parameters
    ----------
    pem
        The self-signed certificate, PEM text.  The caller has made sure in person whose it is.

    Returns
    -------
    str
        The certificate of the same person and key, signed by the authority, PEM text.

    Raises
    ------
    NotThisPerson
        When the certificate was not signed by its own key.
    UnreadableCertificate
        When the text is no certificate of a person.
    """
    request = load(pem)
    if not is_issued_by(request, request):
        raise NotThisPerson(
            said(
                "This certificate was not signed by its own key, so it does not show who holds "
                "the key. Ask the person to export the certificate again from the tablet on "
                "which the key was made."
            )
        )
    read = describe(request)
    person = CertifiedPerson(read.name, read.roles, read.project)
    return to_pem(issued(person_key(request), person, term, issuer))


def load(pem: str) -> x509.Certificate:
    """Parse one certificate from PEM text.

    Raises
    ------
    UnreadableCertificate
        When the text holds no certificate, a damaged one, or more than one.
    """
    try:
        found = x509.load_pem_x509_certificates(pem.encode("ascii"))
    except (ValueError, x509.InvalidVersion):
        found = []
    if len(found) != 1 or not _is_whole(found[0]):
        raise UnreadableCertificate(
            said(
                "This is not one whole certificate in PEM text. Nothing was changed; ask for the file again."
            )
        )
    return found[0]


def _is_whole(certificate: x509.Certificate) -> bool:
    """Whether every part can be read; the library reads each when it is first asked for.

    A key of a kind that it does not know is a whole one, and refused as another kind.
    """
    try:
        _ = certificate.subject, certificate.issuer, certificate.extensions
        _ = certificate.not_valid_before_utc, certificate.not_valid_after_utc
        certificate.public_key()
    except UnsupportedAlgorithm:
        return True
    except (TypeError, ValueError, x509.DuplicateExtension, x509.UnsupportedGeneralNameType):
        return False
    return True


def read_certificate(pem: str) -> PersonCertificate:
    """What a person's certificate says.

    Raises
    ------
    UnreadableCertificate
        When the text is no certificate, or not of one person with known roles and a P-256 key.
    """
    return describe(load(pem))


def describe(certificate: x509.Certificate) -> PersonCertificate:
    """What a parsed certificate says; the rules are those of `read_certificate`."""
    person_key(certificate)
    subject = certificate.subject
    try:
        (name,) = _texts(subject.get_attributes_for_oid(NameOID.COMMON_NAME))
        (project,) = _texts(subject.get_attributes_for_oid(NameOID.ORGANIZATION_NAME))
        roles = tuple(
            Role(word) for word in _texts(subject.get_attributes_for_oid(NameOID.ORGANIZATIONAL_UNIT_NAME))
        )
        person = CertifiedPerson(name, roles, project)
    except ValueError:
        raise UnreadableCertificate(
            said(
                "This certificate does not name one person, one project and roles that are "
                "known here. Ask its owner for the certificate that was made for this project."
            )
        ) from None
    return PersonCertificate(
        person.name,
        person.roles,
        person.project,
        fingerprint(certificate),
        certificate.not_valid_before_utc,
        certificate.not_valid_after_utc,
    )


def person_key(certificate: x509.Certificate) -> ec.EllipticCurvePublicKey:
    """The P-256 public key in a certificate.

    Raises
    ------
    UnreadableCertificate
        When the key is of another kind.
    """
    try:
        key: object = certificate.public_key()
    except UnsupportedAlgorithm:
        key = None
    if not isinstance(key, ec.EllipticCurvePublicKey) or not isinstance(key.curve, ec.SECP256R1):
        raise UnreadableCertificate(
            said(
                "This certificate is not for a P-256 key, the only kind in use here. Ask its "
                "owner for the certificate that was made for this project."
            )
        )
    return key


def is_issued_by(certificate: x509.Certificate, authority: x509.Certificate) -> bool:
    """Whether the authority's key signed the certificate; a self-signed one is its own authority."""
    try:
        certificate.verify_directly_issued_by(authority)
    except (ValueError, TypeError, InvalidSignature):
        return False
    return True


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of the certificate's DER bytes, 64 hex digits."""
    return certificate.fingerprint(hashes.SHA256()).hex()


def key_digest(certificate: x509.Certificate) -> str:
    """SHA-256 of the public key (SubjectPublicKeyInfo), in hex: the same in every certificate of a key."""
    shown = certificate.public_key().public_bytes(
        serialization.Encoding.DER, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    return hashlib.sha256(shown).hexdigest()


def to_pem(certificate: x509.Certificate) -> str:
    """The certificate as PEM text; it holds nothing secret."""
    return certificate.public_bytes(serialization.Encoding.PEM).decode("ascii")


def _texts(attributes: Sequence[x509.NameAttribute[str | bytes]]) -> tuple[str, ...]:
    return tuple(str(each.value) for each in attributes)


def _person_name(person: CertifiedPerson) -> x509.Name:
    roles = [x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, role.value) for role in person.roles]
    return x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, fitting(person.project)),
            *roles,
            x509.NameAttribute(NameOID.COMMON_NAME, person.name),
        ]
    )


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, term: Term
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(term.serial or x509.random_serial_number())
        .not_valid_before(term.valid_from)
        .not_valid_after(term.valid_until)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _finish_person(
    builder: x509.CertificateBuilder,
    issuer_public: ec.EllipticCurvePublicKey,
    issuer_key: ec.EllipticCurvePrivateKey,
) -> x509.Certificate:
    usage = _usage(digital_signature=True, content_commitment=True)
    return (
        builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer_public), critical=False)
        .sign(issuer_key, hashes.SHA256())
    )


def _usage(
    *,
    digital_signature: bool = False,
    content_commitment: bool = False,
    key_cert_sign: bool = False,
    crl_sign: bool = False,
) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=digital_signature,
        content_commitment=content_commitment,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=key_cert_sign,
        crl_sign=crl_sign,
        encipher_only=False,
        decipher_only=False,
    )
