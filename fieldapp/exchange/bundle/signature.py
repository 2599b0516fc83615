"""The sender's signature as it stands in a bundle: by the device, and by a person whose key was unlocked.

Only texts are read here; whether a signature holds, and who is trusted, is asked elsewhere.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from fieldapp.record.attesting import LONGEST_CERTIFICATE
from fieldapp.record.codec import Json
from fieldapp.record.said import said
from fieldapp.record.strict_json import NotStrict, read_strict, written_one_way

LARGEST_BYTES: Final = 32_000
_HEX: Final = re.compile(r"([0-9a-f]{2}){60,80}")  # DER of ECDSA on P-256 is 68 to 72 bytes
_FIELDS: Final = {
    "device_certificate", "device_signature", "person_certificate", "person_signature"
}  # fmt: skip


class UnreadableSignature(ValueError):
    """Bytes that are no sender's signature; the text is the rule, as a sentence."""


@dataclass(frozen=True, slots=True)
class SenderSignature:
    """Certificates (PEM text) and signatures (DER in hex); those of a person are empty without one."""

    device_certificate: str
    device_signature: str
    person_certificate: str = ""
    person_signature: str = ""


def written_signature(signature: SenderSignature) -> bytes:
    """The bytes of a signature, in one way only."""
    body: dict[str, Json] = {
        "device_certificate": signature.device_certificate,
        "device_signature": signature.device_signature,
        "person_certificate": signature.person_certificate,
        "person_signature": signature.person_signature,
    }
    return written_one_way(body)


def read_signature(data: bytes) -> SenderSignature:
    """A signature from its bytes.  Raises UnreadableSignature."""
    try:
        body = read_strict(data)
        if not isinstance(body, dict) or set(body) != _FIELDS or written_one_way(body) != data:
            raise UnreadableSignature(said("Its signature is not written as a bundle's is."))
    except NotStrict as problem:
        raise UnreadableSignature(said("Its signature cannot be read: {problem}.", problem=problem)) from None
    if not _texts_fit(body):
        raise UnreadableSignature(said("Its signature is not written as a bundle's is."))
    return SenderSignature(**body)


def _texts_fit(body: dict[str, Any]) -> bool:
    if not all(isinstance(each, str) for each in body.values()):
        return False
    signatures = [body["device_signature"], *([body["person_signature"]] if body["person_signature"] else [])]
    return (
        all(_HEX.fullmatch(each) for each in signatures)
        and bool(body["person_signature"]) == bool(body["person_certificate"])
        and 0 < len(body["device_certificate"]) <= LONGEST_CERTIFICATE
        and len(body["person_certificate"]) <= LONGEST_CERTIFICATE
    )
