"""Entries that vouch for others: a device's key, signed stretches of its chain, signed papers, revocations.

They observe nothing about a shaft; what they sign is checked by whoever holds the certificates.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, Final

from fieldapp.record.hole import check_digest, check_span
from fieldapp.record.reading import Impossible, check_text
from fieldapp.record.said import said
from fieldapp.record.words import PaperKind, Role

LONGEST_CERTIFICATE: Final = 8000
LONGEST_DRAWING: Final = 20_000
_SIGNATURE: Final = re.compile(
    r"([0-9a-f]{2}){60,80}"
)  # DER of an ECDSA signature on P-256 is 70 to 72 bytes
_DRAWN: Final = re.compile(r"[0-9., ;]*")


@dataclass(frozen=True, slots=True)
class DeviceKey:
    """The key with which the device of this chain signs it: its certificate, PEM text."""

    KIND: ClassVar[str] = "device key"
    VERSION: ClassVar[int] = 1

    certificate: str

    def __post_init__(self) -> None:
        check_text("certificate", self.certificate, LONGEST_CERTIFICATE)


@dataclass(frozen=True, slots=True)
class StretchSigned:
    """The chain of this device up to the entry before this one, signed by the device's key.

    ``seq`` and ``hash`` name that entry.  ``person_fingerprint`` (SHA-256 of the certificate) and
    ``person_signature`` stand there when a person's key was unlocked and signed the same: then the last
    decision of that person is that key's.  Signatures are DER in hex.
    """

    KIND: ClassVar[str] = "stretch signed"
    VERSION: ClassVar[int] = 1

    seq: int
    hash: str
    device_signature: str
    person_fingerprint: str = ""
    person_signature: str = ""

    def __post_init__(self) -> None:
        check_digest("hash", self.hash)
        if self.seq < 1:
            raise Impossible("seq", str(self.seq), said("the number of an entry of this device"))
        for name in ("device_signature", "person_signature"):
            content = getattr(self, name)
            if (name == "device_signature" or content) and not _SIGNATURE.fullmatch(content):
                raise Impossible(name, content[:40] or said("nothing"), said("a signature in hex"))
        if bool(self.person_fingerprint) != bool(self.person_signature):
            raise Impossible(
                "person_signature", said("one of two"), said("a fingerprint and a signature, or neither")
            )
        if self.person_fingerprint:
            check_digest("person_fingerprint", self.person_fingerprint)


@dataclass(frozen=True, slots=True)
class PaperSigned:
    """A signature on a paper, and the file as it was after it.

    ``about`` is the shaft, or the project where the paper is its summary.  ``file_digest`` is SHA-256 of the
    whole file, ``record_digest`` of the record on its pages, ``follows`` that of the file before this
    signature where it was signed already.  ``drawn`` are the strokes of the signature by hand: points
    ``x,y`` in a unit square, with spaces between, strokes parted by ``;``.
    """

    KIND: ClassVar[str] = "paper signed"
    VERSION: ClassVar[int] = 1

    paper: PaperKind
    about: str
    file_name: str
    file_digest: str
    record_digest: str
    field: str
    role: Role
    fingerprint: str
    follows: str = ""
    drawn: str = ""

    def __post_init__(self) -> None:
        check_text("about", self.about, 40)
        check_text("file_name", self.file_name, 200)
        check_text("field", self.field, 60)
        for name in ("file_digest", "record_digest", "fingerprint"):
            check_digest(name, getattr(self, name))
        if self.follows:
            check_digest("follows", self.follows)
        if len(self.drawn) > LONGEST_DRAWING or not _DRAWN.fullmatch(self.drawn):
            raise Impossible("drawn", self.drawn[:40], "strokes as points x,y between 0 and 1")


@dataclass(frozen=True, slots=True)
class Revocation:
    """A certificate that is not trusted from a time on (a lost tablet, say); what was signed before stays.

    ``holder`` is the person or the device that it names, ``fingerprint`` is SHA-256 of the certificate.
    """

    KIND: ClassVar[str] = "revocation"
    VERSION: ClassVar[int] = 1

    holder: str
    fingerprint: str
    since: datetime
    why: str

    def __post_init__(self) -> None:
        check_text("holder", self.holder, 120)
        check_digest("fingerprint", self.fingerprint)
        check_span(self.since, None)
        check_text("why", self.why)


ATTESTING: Final = (DeviceKey, StretchSigned, PaperSigned, Revocation)
SILENT: Final = (DeviceKey, StretchSigned, PaperSigned)  # a revocation can take a decision away
