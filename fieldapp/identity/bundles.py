"""What the signature of a bundle covers, how it is made, and whether it holds.

The signed bytes name the project, the sending device, and SHA-256 of all bytes of the file before the
signature.  A word of purpose keeps it from passing as one of anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import rfc8785

from fieldapp.identity.said_by import Signer, signed_by

PURPOSE: Final = "basenote bundle, version 1"


@dataclass(frozen=True, slots=True)
class Sent:
    """A bundle as its sender signs it: project, device, and the digest (SHA-256, hex) of its bytes."""

    project: str
    device: str
    digest: str


def bundle_bytes(sent: Sent) -> bytes:
    """What is signed: canonical JSON (RFC 8785)."""
    return rfc8785.dumps(
        {"purpose": PURPOSE, "project": sent.project, "device": sent.device, "digest": sent.digest}
    )


def sign_bundle(sent: Sent, key: Signer) -> str:
    """The signature of a bundle by a key, DER in hex."""
    return key.sign(bundle_bytes(sent)).hex()


def holds(sent: Sent, signature: str, certificate: str) -> bool:
    """Whether the key of a certificate (PEM text) made this signature (DER in hex) of this bundle."""
    return signed_by(bundle_bytes(sent), signature, certificate)
