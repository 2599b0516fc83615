"""The file that keeps a key at rest: PKCS#12, sealed under a passphrase.

Key and certificate are encrypted with PBES2 (AES-256-CBC, PBKDF2-HMAC-SHA256, 600,000 rounds).  The
library gives the file's integrity code 2,048 rounds only, and a guesser would attack that one; so the code
is made again with rounds that cost the same as the encryption.  Nothing is written to disk here.
"""

from __future__ import annotations

import hashlib
import hmac
import unicodedata
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from asn1crypto import pkcs12 as asn1
from cryptography import x509
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import PrivateFormat, pkcs12

from fieldapp.identity.errors import DamagedKeyFile, NoKeyInFile, UnfitKeyFile, WrongPassphrase
from fieldapp.record.said import said

KDF_ROUNDS = 600_000
MAC_ROUNDS = 2 * KDF_ROUNDS  # one round is one SHA-256 block here, and two in PBKDF2-HMAC
MOST_ROUNDS = 10_000_000  # some three seconds here; no program that is known asks for more
BLOCK_BYTES = 64
MAC_PURPOSE = b"\x03"  # RFC 7292, appendix B.3
NO_KEY = said(
    "This file opens, but holds no P-256 key with its certificate, so it cannot sign. "
    "Take the key file that was made on the tablet, or make a new key."
)


@dataclass(frozen=True, slots=True)
class KeyFile:
    """What a key file holds once open: the key, its certificate, and those who signed that."""

    key: ec.EllipticCurvePrivateKey = field(repr=False)
    certificate: x509.Certificate
    issuers: tuple[x509.Certificate, ...] = ()


def seal(content: KeyFile, passphrase: str) -> bytes:
    """Encrypt a key with its certificates under a passphrase (a file in PKCS#12)."""
    secret = typed(passphrase)
    encryption = (
        PrivateFormat.PKCS12.encryption_builder()
        .kdf_rounds(KDF_ROUNDS)
        .key_cert_algorithm(pkcs12.PBES.PBESv2SHA256AndAES256CBC)
        .hmac_hash(hashes.SHA256())
        .build(secret.encode("utf-8"))
    )
    sealed = pkcs12.serialize_key_and_certificates(
        None, content.key, content.certificate, content.issuers or None, encryption
    )
    return _with_strong_code(sealed, secret)


def open_sealed(p12: bytes, passphrase: str) -> KeyFile:
    """Open a key file.

    Raises
    ------
    DamagedKeyFile
        The bytes are not a whole PKCS#12 file.
    WrongPassphrase
        The passphrase does not open it (or it was changed since it was made; the two look alike).
    NoKeyInFile
        It holds no P-256 key with the certificate of that key.
    UnfitKeyFile
        It is sealed in a way that is not read here.
    """
    _check_whole(p12)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # a file of an older kind of writing still opens
            opened = pkcs12.load_pkcs12(p12, typed(passphrase).encode("utf-8"))
    except ValueError:
        raise WrongPassphrase(
            said(
                "The passphrase does not open this key file. Nothing was signed; check capital "
                "letters and try again. If you are sure of it, the file was damaged: take the "
                "key file from your backup."
            )
        ) from None
    except UnsupportedAlgorithm:
        raise UnfitKeyFile(
            said(
                "This key file is sealed in an old way that is not read here. Nothing was "
                "changed; export it again from the program that made it, with AES-256."
            )
        ) from None
    own = opened.cert
    key = _p256(opened.key)
    if own is None:
        raise NoKeyInFile(NO_KEY)
    if own.certificate.public_key() != key.public_key():
        raise NoKeyInFile(
            said(
                "The key and the certificate in this file do not belong together, so it cannot "
                "sign. Take the key file from your backup, or make a new key."
            )
        )
    return KeyFile(key, own.certificate, tuple(each.certificate for each in opened.additional_certs))


def _p256(key: object) -> ec.EllipticCurvePrivateKey:
    if isinstance(key, ec.EllipticCurvePrivateKey) and isinstance(key.curve, ec.SECP256R1):
        return key
    if key is None:
        raise NoKeyInFile(NO_KEY)
    kind = said("an RSA key") if isinstance(key, rsa.RSAPrivateKey) else said("a key of another kind")
    raise NoKeyInFile(
        said(
            "This file holds {kind}, and only P-256 keys sign here. Nothing was changed; "
            "take a P-256 key with its certificate, or make a new key.",
            kind=kind,
        )
    )


def typed(passphrase: str) -> str:
    """The passphrase in one Unicode form, so that every keyboard opens the file."""
    return unicodedata.normalize("NFC", passphrase)


def _check_whole(p12: bytes) -> None:
    try:
        parsed = asn1.Pfx.load(p12, strict=True)
        whole = parsed.native is not None and parsed["mac_data"].native is not None
        rounds = max(_rounds(parsed)) if whole else 0
    except (ValueError, TypeError, RecursionError):
        whole, rounds = False, 0
    if not whole:
        raise DamagedKeyFile(
            said(
                "This is not a whole key file. Nothing was signed; take the key file from your "
                "backup, or make a new key and have its certificate put on the roster."
            )
        )
    if rounds > MOST_ROUNDS:
        raise UnfitKeyFile(
            said(
                "This key file asks for more than {most_rounds:,} rounds, which would keep "
                "this device busy for minutes. Nothing was changed; export it again from the "
                "program that made it.",
                most_rounds=MOST_ROUNDS,
            )
        )


def _rounds(file: Any) -> Iterator[int]:
    """The rounds that the outside of a whole file asks for, before any of it is tried."""
    yield file["mac_data"]["iterations"].native
    for content in file.authenticated_safe:
        if content["content_type"].native == "encrypted_data":
            yield _rounds_of(content["content"]["encrypted_content_info"]["content_encryption_algorithm"])
        elif content["content_type"].native == "data":
            for bag in asn1.SafeContents.load(content["content"].native):
                if bag["bag_id"].native == "pkcs8_shrouded_key_bag":
                    yield _rounds_of(bag["bag_value"]["encryption_algorithm"])


def _rounds_of(algorithm: Any) -> int:
    try:
        return int(algorithm.kdf_iterations)
    except (ValueError, TypeError, KeyError):
        return 0


def _with_strong_code(sealed: bytes, secret: str) -> bytes:
    file = asn1.Pfx.load(sealed)
    salt = file["mac_data"]["mac_salt"].native
    code = hmac.digest(_code_key(secret, salt), file["auth_safe"]["content"].native, "sha256")
    file["mac_data"] = {
        "mac": {"digest_algorithm": {"algorithm": "sha256"}, "digest": code},
        "mac_salt": salt,
        "iterations": MAC_ROUNDS,
    }
    return bytes(file.dump(force=True))


def _code_key(secret: str, salt: bytes) -> bytes:
    # RFC 7292, appendix B.2, for a key of one SHA-256 digest: the steps for a longer key fall away.
    digest = MAC_PURPOSE * BLOCK_BYTES + _blocks(salt) + _blocks((secret + "\0").encode("utf-16-be"))
    for _ in range(MAC_ROUNDS):
        digest = hashlib.sha256(digest).digest()
    return digest


def _blocks(text: bytes) -> bytes:
    length = -(-len(text) // BLOCK_BYTES) * BLOCK_BYTES
    return (text * BLOCK_BYTES)[:length]
