"""Whether the key of a certificate signed some bytes: the one check under every signature outside a PDF."""

from __future__ import annotations

from functools import lru_cache
from typing import Protocol

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from fieldapp.identity import certificates
from fieldapp.identity.errors import UnreadableCertificate


class Signer(Protocol):
    """A key that is ready to sign: a person's or a device's."""

    def sign(self, content: bytes) -> bytes:
        """ECDSA over SHA-256 of the content, DER."""
        ...


def signed_by(content: bytes, signature: str, certificate: str) -> bool:
    """Whether the key of a certificate (PEM text) made this signature (DER in hex) over the content.

    Only that: whether the certificate is trusted is the caller's question.  Anything unreadable is False.
    """
    try:
        _public_key(certificate).verify(bytes.fromhex(signature), content, ec.ECDSA(hashes.SHA256()))
    except (InvalidSignature, UnreadableCertificate, ValueError):
        return False
    return True


@lru_cache(maxsize=256)
def _public_key(certificate: str) -> ec.EllipticCurvePublicKey:
    return certificates.person_key(certificates.load(certificate))
