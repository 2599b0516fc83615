"""The container of a signature: cut from the file, and held against the one way to write it.

A signature does not cover its own container, and CMS leaves part of it unsigned, so a byte there can change
unseen.  Here the container is built again from what is signed or known, and must be equal byte by byte:
one signer, one certificate, upper-case hex, and nothing but zeros behind.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from asn1crypto import cms, core
from asn1crypto.parser import emit
from asn1crypto.x509 import Certificate

from fieldapp.record.said import said

HEX = re.compile(rb"(?:[0-9A-F]{2})+")
SHA256_WAYS = (bytes.fromhex("300b0609608648016503040201"), bytes.fromhex("300d06096086480165030402010500"))
VERSION_1 = b"\x02\x01\x01"
TIMESTAMP_ATTRIBUTE = "signature_time_stamp_token"
MALFORMED = (ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError, RecursionError)


@dataclass(frozen=True, slots=True)
class Container:
    """What lies between the two signed ranges of a file, and whether it is written in the one way."""

    start: int
    end: int
    covered_to: int
    canonical: bool
    why: str = ""


def read_container(pdf: bytes, byte_range: Sequence[int]) -> Container | None:
    """Cut the container out and hold it against the one way to write it.

    Parameters
    ----------
    pdf
        The whole file.
    byte_range
        Offset and length of the two signed ranges.

    Returns
    -------
    Container or None
        None when the ranges are not "all bytes up to an offset but one container".
    """
    if len(byte_range) != 4:
        return None
    first, length, second, rest = (int(each) for each in byte_range)
    covered_to = second + rest
    whole = first == 0 and 0 < length < second - 1 and rest > 0 and covered_to <= len(pdf)
    if not whole or pdf[length : length + 1] != b"<" or pdf[second - 1 : second] != b">":
        return None
    why = _what_is_wrong(pdf[length + 1 : second - 1])
    return Container(length, second, covered_to, not why, why)


def _what_is_wrong(digits: bytes) -> str:
    if HEX.fullmatch(digits) is None:
        return said("it is not written in pairs of upper-case hex digits")
    raw = bytes.fromhex(digits.decode("ascii"))
    try:
        again = _rebuilt(cms.ContentInfo.load(raw))
    except MALFORMED:
        return said("it is not one signature by one signer with one certificate")
    if raw[: len(again)] != again:
        return said("it differs from the one way to write this signature")
    if raw[len(again) :].strip(b"\0"):
        return said("there is something behind the signature where only zeros belong")
    return ""


def _rebuilt(found: cms.ContentInfo) -> bytes:
    # RFC 5652, sections 3, 5.1 and 5.3; the signature covers what is copied, and the rest can be one thing
    signed = found["content"]
    (signer,), (wrapped,), (outer,) = (
        signed[part] for part in ("signer_infos", "certificates", "digest_algorithms")
    )
    certificate = wrapped.chosen
    if not isinstance(certificate, Certificate) or not names_certificate(signer, certificate):
        raise ValueError
    serial = certificate["tbs_certificate"]["serial_number"]
    parts = [
        VERSION_1,
        _sequence(certificate.issuer.dump(), serial.dump()),
        _sha256(signer["digest_algorithm"]),
        emit(2, 1, 0, signer["signed_attrs"].contents),
        _sequence(_oid("1.2.840.10045.4.3.2")),  # ecdsa-with-SHA256
        emit(0, 0, 4, signer["signature"].native),
    ]
    if timestamp_token(signer) is not None:
        parts.append(emit(2, 1, 1, signer["unsigned_attrs"].contents))
    content = _sequence(
        VERSION_1,
        _set(_sha256(outer)),
        _sequence(_oid("1.2.840.113549.1.7.1")),  # data, outside the container
        emit(2, 1, 0, certificate.dump()),
        _set(_sequence(*parts)),
    )
    return _sequence(_oid("1.2.840.113549.1.7.2"), emit(2, 1, 0, content))


def _sequence(*parts: bytes) -> bytes:
    return bytes(emit(0, 1, 16, b"".join(parts)))


def _set(*parts: bytes) -> bytes:
    return bytes(emit(0, 1, 17, b"".join(parts)))


def _oid(dotted: str) -> bytes:
    return bytes(core.ObjectIdentifier(dotted).dump())


def _sha256(found: Any) -> bytes:
    der = bytes(found.dump())
    if der not in SHA256_WAYS:
        raise ValueError
    return der


def names_certificate(signer: cms.SignerInfo, certificate: Certificate) -> bool:
    """Whether the signed attributes of a signature name this certificate by its SHA-256 (RFC 5035)."""
    values = [
        each["values"] for each in signer["signed_attrs"] if each["type"].native == "signing_certificate_v2"
    ]
    if len(values) != 1 or len(values[0]) != 1:
        return False
    first = values[0][0]["certs"][0]
    same = first["cert_hash"].native == hashlib.sha256(certificate.dump()).digest()
    return bool(same and first["hash_algorithm"]["algorithm"].native == "sha256")


def timestamp_token(signer: cms.SignerInfo) -> cms.ContentInfo | None:
    """The timestamp of a signature, or None when it has none.

    Raises
    ------
    ValueError
        When something else stands among the attributes that nothing signs.
    """
    if isinstance(signer["unsigned_attrs"], core.Void):
        return None
    (attribute,) = signer["unsigned_attrs"]
    if attribute["type"].native != TIMESTAMP_ATTRIBUTE:
        raise ValueError
    (token,) = attribute["values"]
    return token
