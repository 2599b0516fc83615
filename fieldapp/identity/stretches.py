"""What the signature of a stretch covers, how it is made, and whether it holds.

The signed bytes name the project, the device, and the number and hash of one entry; the hash stands on all
entries before it.  A word of purpose keeps such a signature from passing as one of anything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import rfc8785

from fieldapp.identity.said_by import Signer, signed_by

PURPOSE: Final = "basenote stretch of a chain, version 1"


@dataclass(frozen=True, slots=True)
class Stretch:
    """The chain of a device of a project, up to the entry of this number and hash (SHA-256, hex)."""

    project: str
    device: str
    seq: int
    hash: str


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
    return signed_by(stretch_bytes(stretch), signature, certificate)
