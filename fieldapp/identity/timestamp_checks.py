"""A timestamp held against the signature that it is for and the authorities whose clocks count."""

from __future__ import annotations

import asyncio
import hashlib
from dataclasses import dataclass
from datetime import datetime

from asn1crypto import cms, tsp
from asn1crypto.x509 import Certificate
from cryptography.hazmat.primitives.serialization import Encoding
from pyhanko.sign.validation.generic_cms import cms_basic_validation
from pyhanko.sign.validation.status import TimestampSignatureStatus
from pyhanko_certvalidator import ValidationContext

from fieldapp.identity import certificates


@dataclass(frozen=True, slots=True)
class Stamp:
    """When, whether the token is intact and for this signature, and whether a known authority made it."""

    at: datetime
    intact: bool
    trusted: bool


def read_stamp(token: cms.ContentInfo, signature: bytes, authorities: tuple[str, ...]) -> Stamp:
    """Judge the timestamp of a signature.

    Parameters
    ----------
    token
        The token (RFC 3161).
    signature
        The signature value that it must be over.
    authorities
        Certificates (PEM) whose timestamps count.

    Raises
    ------
    ValueError, TypeError, KeyError, AttributeError
        When the token is no timestamp.
    """
    info = token["content"]["encap_content_info"]["content"].parsed
    if not isinstance(info, tsp.TSTInfo):
        raise TypeError
    at: datetime = info["gen_time"].native
    imprint = info["message_imprint"]
    same = (
        imprint["hash_algorithm"]["algorithm"].native == "sha256"
        and imprint["hashed_message"].native == hashlib.sha256(signature).digest()
    )
    roots = [Certificate.load(certificates.load(each).public_bytes(Encoding.DER)) for each in authorities]
    context = ValidationContext(trust_roots=roots, allow_fetching=False, moment=at)
    found = asyncio.run(
        cms_basic_validation(
            token["content"],
            validation_context=context,
            status_kwargs={},
            key_usage_settings=TimestampSignatureStatus.default_usage_constraints(),
        )
    )
    intact = bool(same and found["intact"] and found["valid"])
    return Stamp(
        at, intact, intact and found.get("trust_problem_indic") is None and bool(found["validation_path"])
    )
