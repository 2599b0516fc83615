"""PKCS#12 files of a person's own, as another office would hand them out; made for the tests of adopting."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import lru_cache

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, pkcs12
from cryptography.x509.oid import NameOID

OWN_PHRASE = "granite outcrop lichen"


@dataclass(frozen=True)
class Own:
    """What the other office writes into a certificate."""

    names: tuple[str, ...] = ("A. Surveyor (Qualified)",)
    valid_from: datetime = datetime(2025, 6, 1, tzinfo=UTC)
    valid_until: datetime = datetime(2027, 6, 1, tzinfo=UTC)
    signs: bool = True
    authority: bool = False
    usage: bool = True

    def but(self, **changes) -> Own:
        return replace(self, **changes)


@lru_cache(maxsize=1)
def rsa_key() -> rsa.RSAPrivateKey:
    return rsa.generate_private_key(public_exponent=65537, key_size=2048)


def own_certificate(key, own: Own) -> x509.Certificate:
    """Signed by an RSA authority that nobody here knows."""
    subject = [x509.NameAttribute(NameOID.ORGANIZATION_NAME, "Another office")]
    subject += [x509.NameAttribute(NameOID.COMMON_NAME, each) for each in own.names]
    builder = (
        x509.CertificateBuilder()
        .subject_name(x509.Name(subject))
        .issuer_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Another office, issuing")]))
        .public_key(key.public_key())
        .serial_number(815)
        .not_valid_before(own.valid_from)
        .not_valid_after(own.valid_until)
        .add_extension(x509.BasicConstraints(ca=own.authority, path_length=None), critical=True)
    )
    if own.usage:
        usage = x509.KeyUsage(
            own.signs, False, not own.signs, False, False, own.authority, False, False, False
        )
        builder = builder.add_extension(usage, critical=True)
    return builder.sign(rsa_key(), hashes.SHA256())


def own_file(own: Own | None = None, key=None, phrase: str = OWN_PHRASE) -> bytes:
    key = key or ec.generate_private_key(ec.SECP256R1())
    certificate = own_certificate(key, own or Own())
    return pkcs12.serialize_key_and_certificates(
        b"own", key, certificate, None, BestAvailableEncryption(phrase.encode())
    )


def file_without_key() -> bytes:
    certificate = own_certificate(ec.generate_private_key(ec.SECP256R1()), Own())
    return pkcs12.serialize_key_and_certificates(
        None, None, None, [certificate], BestAvailableEncryption(OWN_PHRASE.encode())
    )


def rsa_file() -> bytes:
    return own_file(key=rsa_key())
