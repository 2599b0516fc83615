"""What the signature of a stretch covers, how it is made, and whether it holds.

The signed bytes name the project, the device, and the number and hash of one entry; the hash stands on all
entries before it.  A word of purpose keeps such a signature from passing as one of anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Protocol

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from fieldapp.identity import certificates
from fieldapp.identity.errors import UnreadableCertificate

PURPOSE: Final = "basenote stretch of a chain, version 1"


@dataclass(frozen=True, slots=True)
class Stretch:
    """The chain of a device of a project, up to the entry of this number and hash (SHA-256, hex)."""

    project: str
    device: str
    seq: int
    hash: str


class Signer(Protocol):
    """A key that is ready to sign: a person's or a device's."""

    def sign(self, content: bytes) -> bytes:
        """ECDSA over SHA-256 of the content, DER."""
        ...


def stretch_bytes(stretch: Stretch) -> bytes:
    """What is signed: canonical JSON (RFC 8785)."""
    return rfc8785.dumps(
        {
            "purpose": PURPOSE,
            "project": stretch.project,
            "device": stretch.device,
            "seq": stretch.seq,
            "hash": stretch.hash,
        }
    )


def sign_stretch_bytes(stretch: Stretch, key: Signer) -> str:
    """The signature of a stretch by a key, DER in hex."""
    return key.sign(stretch_bytes(stretch)).hex()


def verify(stretch: Stretch, signature: str, certificate: str) -> bool:
    """Whether the key of a certificate (PEM text) made this signature (DER in hex) of this stretch.

    Only that: whether the certificate is trusted is the caller's question.  Anything unreadable is False.
    """
    try:
        key = _public_key(certificate)
        key.verify(bytes.fromhex(signature), stretch_bytes(stretch), ec.ECDSA(hashes.SHA256()))
    except (InvalidSignature, UnreadableCertificate, ValueError):
        return False
    return True


@lru_cache(maxsize=256)
def _public_key(certificate: str) -> ec.EllipticCurvePublicKey:
    return certificates.person_key(certificates.load(certificate))
