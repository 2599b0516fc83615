"""Certificates that were made elsewhere: a person's own, which knows nothing of this project.

Such a certificate counts only where the roster pins it, and the roster gives its holder name and roles.  It
must be for a P-256 key, name one holder, be allowed to make digital signatures, and not be an authority's.
Who issued it is not asked: the roster vouches for it, and trust is stated, never implied.
"""

from __future__ import annotations

from cryptography import x509
from cryptography.x509.oid import NameOID

from fieldapp.identity.certificates import PersonCertificate, describe, fingerprint, load, person_key
from fieldapp.identity.errors import UnfitText, UnreadableCertificate
from fieldapp.identity.people import check_name
from fieldapp.record.said import said


def read_any(pem: str) -> PersonCertificate:
    """What a certificate says, whether it was made for a project or elsewhere.

    Raises
    ------
    UnreadableCertificate
        The text is no certificate, or one that cannot sign for a person here.
    """
    return describe_any(load(pem))


def describe_any(certificate: x509.Certificate) -> PersonCertificate:
    """What a parsed certificate says; the rules are those of `read_any`."""
    try:
        return describe(certificate)
    except UnreadableCertificate:
        return _describe_own(certificate)


def _describe_own(certificate: x509.Certificate) -> PersonCertificate:
    person_key(certificate)
    if not _may_sign(certificate):
        raise UnreadableCertificate(
            said(
                "This certificate is not for making digital signatures, or it is the "
                "certificate of an authority. Nothing was changed; take a certificate whose "
                "key usage names digital signature."
            )
        )
    return PersonCertificate(
        name=_holder(certificate),
        roles=(),
        project="",
        fingerprint=fingerprint(certificate),
        valid_from=certificate.not_valid_before_utc,
        valid_until=certificate.not_valid_after_utc,
    )


def _may_sign(certificate: x509.Certificate) -> bool:
    try:
        extensions = certificate.extensions
        usage = extensions.get_extension_for_class(x509.KeyUsage).value
    except (ValueError, x509.ExtensionNotFound, x509.DuplicateExtension):
        return False
    try:
        limits = extensions.get_extension_for_class(x509.BasicConstraints).value
    except x509.ExtensionNotFound:
        return usage.digital_signature
    return usage.digital_signature and not limits.ca


def _holder(certificate: x509.Certificate) -> str:
    try:
        (found,) = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
        name = str(found.value)
        check_name(name)
    except (ValueError, UnfitText):
        raise UnreadableCertificate(
            said(
                "This certificate does not name one holder in a line of at most 64 bytes. "
                "Nothing was changed; take another certificate, or make a key on this device."
            )
        ) from None
    return name
