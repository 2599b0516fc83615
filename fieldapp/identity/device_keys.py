"""The key of a device: P-256, with a certificate of its own that names the device.

It signs the chain of that device and can sign nothing else: its certificate names no person, so that it
never passes as a person's.  It is under no passphrase, so whoever can read its file can sign as the device.
Nothing is written to disk here; times come in as arguments.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from fieldapp.identity import certificates
from fieldapp.identity.certificates import Term
from fieldapp.identity.errors import DamagedKeyFile, IdentityProblem, UnreadableCertificate
from fieldapp.record.said import said

DEVICE_UNIT: Final = "Basenote device"


class DeviceKeyLost(IdentityProblem):
    """The key that a device's chain was signed with is not on the device any more."""


@dataclass(frozen=True, slots=True)
class DeviceSigner:
    """The key of a device, ready to sign.  It shows the certificate and never the key."""

    device: str
    certificate: str
    fingerprint: str
    private_key: ec.EllipticCurvePrivateKey = field(repr=False)

    def sign(self, content: bytes) -> bytes:
        """ECDSA over SHA-256 of the content; the signature is DER."""
        return self.private_key.sign(content, ec.ECDSA(hashes.SHA256()))


def new_device_key() -> bytes:
    """A new P-256 key, PKCS#8 in PEM, not encrypted."""
    return ec.generate_private_key(ec.SECP256R1()).private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def device_certificate(pkcs8: bytes, device: str, term: Term) -> str:
    """A certificate for a device name, signed by the device's own key, PEM text.

    Raises
    ------
    DamagedKeyFile
        The bytes are not a P-256 key in PKCS#8.
    """
    key = _load_key(pkcs8)
    subject = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATIONAL_UNIT_NAME, DEVICE_UNIT),
            x509.NameAttribute(NameOID.COMMON_NAME, device),
        ]
    )
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(term.serial or x509.random_serial_number())
        .not_valid_before(term.valid_from)
        .not_valid_after(term.valid_until)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return certificates.to_pem(made)


def load_device_key(pkcs8: bytes, certificate: str) -> DeviceSigner:
    """A device's key with its certificate.

    Raises
    ------
    DamagedKeyFile
        The bytes are not a P-256 key in PKCS#8, or the certificate is not of this key and a device.
    """
    key = _load_key(pkcs8)
    try:
        device = device_named_in(certificate)
    except UnreadableCertificate:
        device = ""
    if not device or certificates.load(certificate).public_key() != key.public_key():
        raise DamagedKeyFile(said("The certificate beside the key of this device is not of this key."))
    return DeviceSigner(device, certificate, certificates.fingerprint(certificates.load(certificate)), key)


@lru_cache(maxsize=256)
def device_named_in(certificate: str) -> str:
    """The device that a certificate names; it was signed by the key in it.

    Raises
    ------
    UnreadableCertificate
        The text is no certificate of a device, or another key signed it.
    """
    found = certificates.load(certificate)
    certificates.person_key(found)
    units = found.subject.get_attributes_for_oid(NameOID.ORGANIZATIONAL_UNIT_NAME)
    names = found.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    is_device = [each.value for each in units] == [DEVICE_UNIT] and len(names) == 1
    if not is_device or not certificates.is_issued_by(found, found):
        raise UnreadableCertificate(
            said(
                "This is not the certificate of one device, signed by the device's own key. "
                "Nothing was changed."
            )
        )
    return str(names[0].value)


def same_key(certificate: str, other: str) -> bool:
    """Whether two certificates (PEM text) are of one key.  Raises UnreadableCertificate."""
    return certificates.load(certificate).public_key() == certificates.load(other).public_key()


def _load_key(pkcs8: bytes) -> ec.EllipticCurvePrivateKey:
    try:
        key = serialization.load_pem_private_key(pkcs8, None)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        key = None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or not isinstance(key.curve, ec.SECP256R1):
        raise DamagedKeyFile(said("The key file of this device holds no whole P-256 key."))
    return key
